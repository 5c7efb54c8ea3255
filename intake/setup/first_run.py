"""The first run: a setup made from the shipped one and the answers to a few questions."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from intake.domain.lab import Lab
from intake.resources import resource
from intake.setup.reading import read_setup
from intake.setup.writing import Answers, changed, with_boxes, write_whole


@dataclass(frozen=True)
class FirstAnswers:
    """What the first run asks."""

    name: str
    country: str
    subdivision: str | None
    zone: str
    telephone: str = ""
    boxes: Mapping[str, tuple[str, str]] | None = None
    """Category id to the box's colour name and hex, where they differ from the offer."""
    ticket_queue: str | None = None
    letter_queue: str | None = None


def default_setup() -> Path:
    """The setup that comes with Intake."""
    return resource("setup", "default.toml")


def begin(target: Path, answers: FirstAnswers) -> Lab:
    """Writes a new lab's setup and reads it back. Raises SetupWrong when the answers contradict each other."""
    text = with_boxes(changed(default_setup().read_text(encoding="utf-8"), _places(answers)), answers.boxes or {})
    draft = target.with_name(f".{target.name}.draft")
    write_whole(draft, text)
    try:
        lab = read_setup(draft)
    finally:
        draft.unlink(missing_ok=True)
    write_whole(target, text)
    return lab


def _places(answers: FirstAnswers) -> Answers:
    return {
        ("name",): answers.name,
        ("telephone",): answers.telephone,
        ("calendar", "zone"): answers.zone,
        ("calendar", "country"): answers.country,
        ("calendar", "subdivision"): answers.subdivision,
        ("ticket", "queue"): answers.ticket_queue,
        ("letter", "queue"): answers.letter_queue,
    }
