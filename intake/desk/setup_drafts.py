"""Keeps a setup that is being changed and not in force yet, so that a crash loses at most the field being typed."""

from dataclasses import dataclass

from intake.desk.desk import Desk


@dataclass(frozen=True)
class KeptDraft:
    """A changed setup: the whole file, and the edition that was changed."""

    text: str
    edition: int | None


def keep_draft(desk: Desk, text: str, edition: int | None) -> None:
    """Keeps the changed setup for this desk, in place of what was kept before."""
    with desk.work() as work:
        work.drafts.keep(_key(desk), {"text": text, "edition": edition})
        work.commit()


def clear_draft(desk: Desk) -> None:
    """Keeps no changed setup for this desk."""
    if desk.store.read.draft(_key(desk)) is not None:
        with desk.work() as work:
            work.drafts.clear(_key(desk))
            work.commit()


def kept_draft(desk: Desk) -> KeptDraft | None:
    """The setup that was being changed at this desk when the program ended."""
    draft = desk.store.read.draft(_key(desk))
    if draft is None:
        return None
    return KeptDraft(str(draft.content["text"]), draft.content.get("edition"))


def _key(desk: Desk) -> str:
    return f"{desk.name}/setup"
