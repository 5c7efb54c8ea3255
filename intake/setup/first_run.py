"""The first run: a setup made from the shipped one and the answers to a few questions."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from intake.domain.bank_holidays import HolidaysUnknown, bank_holidays
from intake.domain.lab import Lab
from intake.resources import resource
from intake.setup.reading import SetupWrong, setup_of
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
    """Writes a new lab's setup and reads it back.

    Raises:
        SetupWrong: the answers contradict each other; nothing was written.
        NotWritten: the folder cannot be written to.
    """
    text = with_boxes(changed(default_setup().read_text(encoding="utf-8"), _places(answers)), answers.boxes or {})
    lab = setup_of(text, target)
    _know_holidays(lab)
    write_whole(target, text)
    return lab


def _know_holidays(lab: Lab) -> None:
    """Without bank holidays no date can be counted: say so now, not with the first bag."""
    try:
        bank_holidays(lab.calendar.country, lab.calendar.subdivision, datetime.now().year)
    except HolidaysUnknown as problem:
        raise SetupWrong(str(problem)) from None


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
