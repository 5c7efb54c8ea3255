"""The day sheet: a day in numbers, what has to leave, and what is not finished, as it stands now."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from intake.desk.desk import Desk
from intake.desk.issue import title_of
from intake.desk.parcels import ParcelLine, open_parcels
from intake.desk.sheets import draw_sheet
from intake.domain.calendar import lab_calendar
from intake.domain.day_figures import DayCounts, Share
from intake.domain.job_number import read_number
from intake.domain.written_dates import shown_day, shown_moment
from intake.store.chain import Head
from intake.store.closing_rows import ClosingRow, LeavingRow
from intake.store.rows import DocumentRow
from intake.store.words import DocumentKind, JobState

MOST = 400
"""So many jobs are listed of one day; more are counted."""
NOT_HANDED_OVER: tuple[JobState, ...] = ("held", "clear")
NOT_FINISHED: tuple[JobState, ...] = ("held", "clear", "gone")
LETTERS = ("letter", "return-note", "blank")
"""What goes to practices; sheets for the lab's own use are not missed by anybody."""


@dataclass(frozen=True)
class CategoryLine:
    """What is of one category, with its box."""

    name: str
    colour: str
    hex: str
    share: Share


@dataclass(frozen=True)
class LeavingLine:
    """A job that must leave and is not finished. It names no patient: the sheet lies about."""

    number: str
    shown: str
    case_id: int
    practice: str
    category: str
    colour: str
    hex: str
    state: JobState
    where: str
    why: str
    must_leave: date | None


@dataclass(frozen=True)
class LeavingDay:
    """What must leave on one day, or should have left before."""

    words: str
    lines: tuple[LeavingLine, ...]
    more: int = 0
    """So many more are not listed."""


@dataclass(frozen=True)
class PaperLine:
    """A ticket or a letter that has not left."""

    document_id: int
    title: str
    to: str
    why: str
    job: str | None
    kind: DocumentKind


@dataclass(frozen=True)
class Unwritten:
    """Questions that no letter asks and for which nothing is promised."""

    questions: int = 0
    practices: int = 0


@dataclass(frozen=True)
class DaySheet:
    """A day as it stands now."""

    day: date
    at: datetime
    """When it was counted."""
    is_today: bool
    counts: DayCounts
    categories: tuple[CategoryLine, ...]
    leaving: tuple[LeavingDay, ...]
    """What should have left before, what must leave on the day, and on the lab's next working day."""
    parcels: tuple[ParcelLine, ...]
    letters: tuple[PaperLine, ...]
    queries: int
    """Open questions of cases that stand, asked or not."""
    unwritten: Unwritten
    tickets: tuple[PaperLine, ...]
    closed: ClosingRow | None
    """How the day was closed, if it is."""
    head: Head
    """Where the history ends."""


def day_sheet(desk: Desk, day: date | None = None) -> DaySheet:
    """A day as it stands now: today, or another one."""
    read, now = desk.store.read, desk.now()
    day = day or now.date()
    counts, documents = read.day_counts(day), read.documents_waiting()
    unasked = [row for row in read.unasked() if row.expected_on is None]
    return DaySheet(
        day=day,
        at=now,
        is_today=day == now.date(),
        counts=counts,
        categories=tuple(_category(desk, name, share) for name, share in counts.categories),
        leaving=_leaving(desk, day, {row.case_id for row in unasked}),
        parcels=open_parcels(desk),
        letters=tuple(paper_lines(documents, LETTERS)),
        queries=read.count_open_queries(),
        unwritten=Unwritten(sum(row.questions for row in unasked), len({row.key for row in unasked})),
        tickets=tuple(paper_lines(documents, ("ticket",))),
        closed=read.closing_of(day),
        head=read.head(),
    )


def print_day_sheet(desk: Desk, day: date) -> int:
    """Lets a day sheet wait for the printer; its document, to be issued."""
    with desk.work() as work:
        document_id = work.documents.add_sheet("day-sheet", {"day": day.isoformat()})
        work.commit()
    return document_id


def day_sheet_pdf(desk: Desk, day: date) -> bytes:
    """A day sheet as a PDF to keep, as it stands now. It is kept as a document too, so that the history tells of it."""
    document_id = print_day_sheet(desk, day)
    document = desk.store.read.document(document_id)
    assert document is not None
    pdf = draw_sheet(desk, document)
    with desk.work() as work:
        work.documents.keep_pdf(document_id, pdf)
        work.commit()
    with desk.work() as work:
        work.documents.mark_done(document_id)  # a file is all that was asked: no queue is to have it
        work.commit()
    return pdf


def next_working_day(desk: Desk, day: date) -> date:
    """The lab's first working day after a day."""
    return lab_calendar(desk.lab.calendar).forward(day, 1)


def paper_lines(documents: Iterable[DocumentRow], kinds: Sequence[str]) -> Iterable[PaperLine]:
    """The documents of some kinds that have not left."""
    for row in documents:
        if row.kind in kinds:
            why = f"Not sent: {row.problem}" if row.problem else "Waits for the printer."
            why = "Waits to go by e-mail." if row.way != "print" and not row.problem else why
            yield PaperLine(row.document_id, title_of(row), row.practice_name, why, row.job, row.kind)


def leaving_line(row: LeavingRow, unasked: bool = False) -> LeavingLine:
    """One job with where it is and why it is not finished."""
    return LeavingLine(
        number=row.number,
        shown=read_number(row.number).shown,
        case_id=row.case_id,
        practice=row.practice or "Practice not named",
        category=row.category,
        colour=row.box_colour,
        hex=row.box_hex,
        state=row.state,
        where=_where(row),
        why=_why(row, unasked),
        must_leave=row.must_leave,
    )


def _where(row: LeavingRow) -> str:
    if row.state != "gone":
        return "Reception"
    return row.bench or "Between benches"


def _why(row: LeavingRow, unasked: bool) -> str:
    match row.state:
        case "held":
            return "held: the practice was not asked yet" if unasked else "held: waits for the practice"
        case "gone":
            return f"not finished, there since {shown_moment(row.moved)}" if row.moved else "not finished"
        case _:
            return "clear, not handed over"


def _category(desk: Desk, name: str, share: Share) -> CategoryLine:
    """A category's share with its box, as the setup has it now; without a colour where the setup has it no more."""
    box = next((each.box for each in desk.lab.categories if each.name == name), None)
    return CategoryLine(name, box.colour if box else "", box.hex if box else "", share)


def _leaving(desk: Desk, day: date, unasked: set[int]) -> tuple[LeavingDay, ...]:
    """What should have left before and was not even handed over, then what must leave on the day and the next one."""
    following = next_working_day(desk, day)
    before = _span(desk, None, _day_before(day), NOT_HANDED_OVER, unasked)
    spans = [LeavingDay("Should have left before", *before)] if before[0] else []
    words = "Must leave today" if day == desk.now().date() else "Must leave"
    spans.append(LeavingDay(f"{words}, {shown_day(day)}", *_span(desk, day, day, NOT_FINISHED, unasked)))
    # What must leave on a closed day between the two leaves with the next working day, or is late.
    after = _span(desk, _day_after(day), following, NOT_FINISHED, unasked)
    return (*spans, LeavingDay(f"Next working day, {shown_day(following)}", *after))


def _span(
    desk: Desk, first: date | None, last: date, states: Sequence[JobState], unasked: set[int]
) -> tuple[tuple[LeavingLine, ...], int]:
    read = desk.store.read
    rows = read.leaving(first, last, states, MOST)
    more = read.count_leaving(first, last, states) - MOST if len(rows) == MOST else 0
    return tuple(leaving_line(row, row.case_id in unasked) for row in rows), more


def _day_before(day: date) -> date:
    return date.fromordinal(day.toordinal() - 1)


def _day_after(day: date) -> date:
    return date.fromordinal(day.toordinal() + 1)
