"""What The day asks of the desk, on the threads of the job runner.

The desk brings the database and the drawing of paper with it, which are slow to import: that happens in the jobs,
behind the painted window.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from intake.domain.day_figures import Share
from intake.errors import IntakeError

if TYPE_CHECKING:
    from intake.desk.closing import Closed
    from intake.desk.day_sheet import DaySheet
    from intake.desk.desk import Desk
    from intake.desk.evening import Evening, Go
    from intake.desk.issue import Issued
    from intake.documents.day_sheet_content import HourBar


class NotKept(IntakeError):
    """A file could not be written."""


@dataclass(frozen=True)
class ShareRow:
    """One line of the table of streams and categories."""

    name: str
    hex: str
    """The colour of its box; empty where it has none."""
    share: Share
    is_stream: bool


@dataclass(frozen=True)
class Line:
    """One thing of the list, and where something can be done about it."""

    title: str
    about: str
    where: str
    why: str
    hex: str
    go: "Go | None"
    pressing: bool = False
    """Whether it should have left before."""


@dataclass(frozen=True)
class Section:
    """The lines under one heading; `empty` is said where there are none."""

    words: str
    lines: tuple[Line, ...]
    empty: str = ""
    more: int = 0


@dataclass(frozen=True)
class Shown:
    """A day as the screen shows it."""

    day: date
    is_today: bool
    title: str
    counted: str
    closed: str
    figures: tuple[tuple[str, str], ...]
    open: str
    hours: "tuple[HourBar, ...]"
    rows: tuple[ShareRow, ...]
    sections: tuple[Section, ...]
    is_empty: bool
    """Whether nothing happened on the day and nothing is open."""


@dataclass(frozen=True)
class Begun:
    """What is left over, and the reasons that were given before."""

    evening: "Evening"
    reasons: dict[str, str]


def sheet(desk: "Desk", day: date | None) -> Shown:
    """A day as it stands; today without one."""
    from intake.desk.closing import closed_words
    from intake.desk.day_sheet import day_sheet
    from intake.desk.day_sheet_words import bars, figures, open_words
    from intake.domain.written_dates import shown_day

    found = day_sheet(desk, day)
    sections = tuple(_sections(found))
    hours = tuple(bars(found.counts.hours))
    return Shown(
        day=found.day,
        is_today=found.is_today,
        title=shown_day(found.day),
        counted=f"counted at {found.at:%H:%M}",
        closed=closed_words(found.closed, found.at.date()) if found.closed else "",
        figures=figures(found),
        open=open_words(found),
        hours=hours,
        rows=tuple(_rows(found)),
        sections=sections,
        is_empty=not hours and not any(section.lines for section in sections) and not found.queries,
    )


def print_sheet(desk: "Desk", day: date) -> "tuple[Issued, ...]":
    """The day sheet, handed to the printer."""
    from intake.desk.day_sheet import print_day_sheet
    from intake.desk.issue import issue

    return (issue(desk, print_day_sheet(desk, day)),)


def keep_sheet(desk: "Desk", day: date, file: Path) -> str:
    """The day sheet as a PDF in a file; what is said of it."""
    from intake.desk.day_sheet import day_sheet_pdf

    try:
        file.write_bytes(day_sheet_pdf(desk, day))
    except OSError as problem:
        raise NotKept(f"The day sheet was not kept: {problem.strerror or problem}. Choose another folder.") from problem
    return f"The day sheet is kept as {file.name}."


def begin_closing(desk: "Desk", day: date) -> Begun:
    """What is left over, with the reasons that were given before."""
    from intake.desk.closing import kept_reasons
    from intake.desk.evening import evening

    return Begun(evening(desk), kept_reasons(desk, day))


def keep_reasons(desk: "Desk", day: date, reasons: Mapping[str, str]) -> None:
    """Keeps the reasons so far."""
    from intake.desk.closing import keep_reasons as keep

    keep(desk, day, reasons)


def close_day(desk: "Desk", day: date, reasons: Mapping[str, str]) -> "Closed":
    """Closes the day."""
    from intake.desk.closing import close_day as close

    return close(desk, reasons, day)


def _rows(sheet: "DaySheet") -> Iterator[ShareRow]:
    from intake.desk.day_sheet_words import STREAM_WORDS, category_words

    for name, share in sheet.counts.streams:
        yield ShareRow(STREAM_WORDS.get(name, name), "", share, is_stream=True)
    for line in sheet.categories:
        yield ShareRow(category_words(line), line.hex, line.share, is_stream=False)


def _sections(sheet: "DaySheet") -> Iterator[Section]:
    from intake.desk.evening import Go
    from intake.desk.evening import go_of_paper as go_of

    for day in sheet.leaving:
        lines = [
            Line(
                line.shown,
                line.practice,
                line.where,
                line.why,
                line.hex,
                Go("look-up", line.number),
                line.must_leave is not None and line.must_leave < sheet.day,
            )
            for line in day.lines
        ]
        yield Section(day.words, tuple(lines), "None.", day.more)
    parcels = [
        Line(f"Parcel {row.label or row.parcel_id}", row.practice, "", row.says, "", Go("parcels", str(row.parcel_id)))
        for row in sheet.parcels
    ]
    yield Section("Parcels that are not finished", tuple(parcels), "None.")
    letters = [Line(row.title, row.to, "", row.why, "", go_of(row)) for row in sheet.letters]
    if sheet.unwritten.questions:
        from intake.domain.wording import counted

        many = counted(sheet.unwritten.questions, "question")
        to = counted(sheet.unwritten.practices, "practice")
        letters.append(Line("To be written", to, "", f"{many} that no letter asks", "", Go("waiting")))
    yield Section("Letters that have not left", tuple(letters), "None.")
    tickets = [Line(row.title, "", "", row.why, "", go_of(row)) for row in sheet.tickets]
    yield Section("Tickets that wait for the printer", tuple(tickets), "None.")
