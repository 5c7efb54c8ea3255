"""Keeps what is half typed, so that a crash loses at most the field being typed."""

from dataclasses import asdict, fields
from typing import Any

from intake.desk.desk import Desk
from intake.domain.case import Case
from intake.domain.half_typed import HalfTyped


def keep(desk: Desk, half: HalfTyped) -> None:
    """Keeps the form for this desk, in place of what was kept before."""
    content: dict[str, Any] = {**asdict(half), "kept": half.kept.model_dump(mode="json") if half.kept else None}
    with desk.work() as work:
        work.drafts.keep(desk.name, content)
        work.commit()


def clear(desk: Desk, token: str | None = None) -> None:
    """Keeps nothing for this desk; with a token, only if it is that form which is kept."""
    if token is not None:
        draft = desk.store.read.draft(desk.name)
        if draft is None or draft.content.get("token") != token:
            return
    with desk.work() as work:
        work.drafts.clear(desk.name)
        work.commit()


def kept(desk: Desk) -> HalfTyped | None:
    """What was half typed at this desk when the program ended."""
    draft = desk.store.read.draft(desk.name)
    if draft is None:
        return None
    names = {field.name for field in fields(HalfTyped)}  # another release may have kept more than this one knows
    content = {name: value for name, value in draft.content.items() if name in names}
    case = content.get("kept")
    return HalfTyped(**{**content, "kept": Case.model_validate(case) if case else None})
