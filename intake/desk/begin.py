"""The first day: what a new lab is offered, and its setup made from the answers."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from intake.domain.bank_holidays import Country, countries
from intake.domain.lab import Category, Lab
from intake.errors import IntakeError
from intake.outbox.print_queue import QueueInfo
from intake.setup.first_run import FirstAnswers, begin, default_setup
from intake.setup.places import DataFolder
from intake.setup.reading import read_setup
from intake.setup.time_zones import zone_offered, zones_of

__all__ = ["FirstAnswers", "Offer", "begin_lab", "list_problem", "offer", "problems", "zone_offered", "zones_of"]
_LISTS = (".csv", ".tsv", ".txt", ".xlsx")


@dataclass(frozen=True)
class Offer:
    """What can be chosen on the first day."""

    countries: tuple[Country, ...]
    categories: tuple[Category, ...]
    """The shipped kinds of work, each with the box that is offered for it."""
    queues: tuple[QueueInfo, ...]


def offer(queues: Sequence[QueueInfo]) -> Offer:
    """What can be chosen. Takes half a second: reading every country's calendar is not for the window's thread."""
    return Offer(countries(), read_setup(default_setup()).categories, tuple(queues))


def begin_lab(folder: DataFolder, answers: FirstAnswers) -> Lab:
    """Writes the new lab's setup. Raises AnswersWrong or SetupWrong when the answers cannot stand."""
    wrong = problems(answers)
    if wrong:
        raise AnswersWrong(" ".join(wrong.values()))
    return begin(folder.setup, answers)


class AnswersWrong(IntakeError):
    """Some answers cannot stand; the message has a sentence for each."""


def problems(answers: FirstAnswers) -> dict[str, str]:
    """What is wrong with the answers: a sentence by the name of its field, in the order of the page."""
    found: dict[str, str] = {}
    if not answers.name.strip():
        found["name"] = "Enter the laboratory’s name; it stands on every ticket and letter."
    if not answers.country:
        found["country"] = "Choose the country; its bank holidays are the days on which nothing is delivered."
    elif answers.subdivision is None and (parts := _parts(answers.country)):
        found["subdivision"] = f"Choose the part of the country, such as {parts[0]}: its bank holidays differ."
    if not answers.zone:
        found["zone"] = "Choose the time zone; every hour on tickets and letters is counted in it."
    names: dict[str, str] = {}
    for category, (colour, hex_value) in (answers.boxes or {}).items():
        if problem := _box_problem(colour, hex_value, names):
            found.setdefault(f"box-{category}", problem)
        names.setdefault(colour.strip().casefold(), category)
    return found


def list_problem(text: str) -> str:
    """What is wrong with the file of practices that was named; empty when nothing is, or none was named."""
    path = Path(text.strip()).expanduser()
    if not text.strip():
        return ""
    if path.suffix.lower() not in _LISTS:
        return f"“{path.name}” is no CSV or XLSX file; a spreadsheet program can save the list of practices as one."
    return "" if path.is_file() else f"There is no file {path}; choose it, or leave the field empty for now."


def _parts(country: str) -> tuple[str, ...]:
    return next((tuple(part.name for part in known.parts) for known in countries() if known.code == country), ())


def _box_problem(colour: str, hex_value: str, taken: dict[str, str]) -> str:
    if not colour.strip():
        return "Give the colour of each box a name; it is printed beside the colour."
    if colour.strip().casefold() in taken:
        return f"Two boxes are called “{colour.strip()}”. Give each its own colour, so that nobody mistakes them."
    digits = hex_value.removeprefix("#").lower()
    if len(hex_value) != 7 or len(digits) != 6 or set(digits) - set("0123456789abcdef"):
        return (
            f"“{hex_value}” is no colour. Write # and six digits or letters a to f, such as #1f6fb4, or a known name."
        )
    return ""
