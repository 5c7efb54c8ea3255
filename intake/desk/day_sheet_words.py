"""What stands on a day sheet, in words."""

from collections.abc import Iterator, Sequence
from datetime import date

from intake.desk.closing import closed_words
from intake.desk.day_sheet import CategoryLine, DaySheet, LeavingDay, day_sheet
from intake.desk.desk import Desk
from intake.documents.day_sheet import draw_day_sheet
from intake.documents.day_sheet_content import Column, HourBar, SheetOfDay, SheetTable
from intake.domain.day_figures import Share, Standing
from intake.domain.wording import capital, counted
from intake.domain.written_dates import shown_day, shown_moment
from intake.store.chain import Head
from intake.store.rows import DocumentRow

STREAM_WORDS = {"post": "By post", "scan": "Scans"}
PURPOSE = "Keep this sheet. Were the history cut short or changed later, this event would no longer be in this place."
_JOBS = (
    Column("Jobs", 1, numbers=True),
    Column("Clear", 1, numbers=True),
    Column("Held", 1, numbers=True),
    Column("Handed over", 1.4, numbers=True),
)
_OPEN = (Column("What", 2.2), Column("Whom it is for", 3), Column("Why", 4))


def draw_day(desk: Desk, document: DocumentRow) -> bytes:
    """The PDF of a day sheet, by the day that the document is about as it stands now."""
    sheet = day_sheet(desk, date.fromisoformat(document.about["day"]))
    return draw_day_sheet(day_sheet_words(sheet, desk.lab.name, desk.person))


def day_sheet_words(sheet: DaySheet, lab: str, who: str) -> SheetOfDay:
    """The words of a day sheet.

    Args:
        sheet: The day.
        lab: The lab's name.
        who: Who prints it.
    """
    return SheetOfDay(
        title=f"Day sheet, {shown_day(sheet.day)}",
        lab=lab,
        open=open_words(sheet),
        counted=f"Counted on {shown_moment(sheet.at)} by {who}; what has to leave and what is open as it stood then.",
        closed=closed_words(sheet.closed, sheet.at.date()) if sheet.closed else "The day is not closed.",
        figures=figures(sheet),
        hours=tuple(bars(sheet.counts.hours)),
        tables=(_streams(sheet), _categories(sheet), *map(_leaving, sheet.leaving), *_unfinished(sheet)),
        head=head_words(sheet.head),
        purpose=PURPOSE,
    )


def figures(sheet: DaySheet) -> tuple[tuple[str, str], ...]:
    """The day's numbers, and the word for each."""
    whole, standing = sheet.counts.whole, sheet.counts.standing
    numbers = (whole.arrived, whole.booked, whole.clear, whole.held, whole.handed_over, open_now(standing))
    words = ("arrived", "cases booked", "jobs clear", "jobs held", "jobs handed over", "open just now")
    return tuple((f"{number:,}", word) for number, word in zip(numbers, words, strict=True))


def open_now(standing: Standing) -> int:
    """Arrivals and parcels that are not finished."""
    return standing.arrivals + standing.parcels


def open_words(sheet: DaySheet) -> str:
    """What is open just now, counted: `4 arrivals to book in · 1 parcel not finished · 5 jobs held in all`."""
    standing = sheet.counts.standing
    parts = [
        f"{counted(standing.arrivals, 'arrival')} to book in",
        f"{counted(standing.parcels, 'parcel')} not finished",
        f"{counted(standing.held, 'job')} held in all",
        f"{sheet.queries:,} {'query' if sheet.queries == 1 else 'queries'} open",
    ]
    return " · ".join(parts)


def bars(hours: Sequence[Share]) -> Iterator[HourBar]:
    """The hours from the first in which something happened to the last; none where nothing did."""
    busy = [at for at, share in enumerate(hours) if share.arrived or share.booked or share.handed_over]
    if busy:
        for at in range(busy[0], busy[-1] + 1):
            yield HourBar(at, hours[at].arrived, hours[at].booked, hours[at].handed_over)


def head_words(head: Head) -> str:
    """Where the history ends: `The history has 1,234 events; the last is ab12…`."""
    return f"The history has {counted(head.count, 'event')}; the last is {head.hash}."


def _streams(sheet: DaySheet) -> SheetTable:
    columns = (Column("Stream", 3), Column("Arrived", 1, numbers=True), Column("Booked", 1, numbers=True), *_JOBS)
    rows = [
        (STREAM_WORDS.get(name, name), str(share.arrived), str(share.booked), *_numbers(share))
        for name, share in sheet.counts.streams
    ]
    return SheetTable("By stream", columns, tuple(rows), "")


def _categories(sheet: DaySheet) -> SheetTable:
    rows = [(category_words(line), *_numbers(line.share)) for line in sheet.categories]
    colours = tuple(line.hex for line in sheet.categories)
    return SheetTable("By category", (Column("Category, box", 5), *_JOBS), tuple(rows), "No job.", colours=colours)


def category_words(line: CategoryLine) -> str:
    """A category with the name of its box's colour, where the setup still has it."""
    return f"{line.name}, {line.colour}" if line.colour else line.name


def _numbers(share: Share) -> tuple[str, ...]:
    return tuple(str(number) for number in (share.jobs, share.clear, share.held, share.handed_over))


def _leaving(day: LeavingDay) -> SheetTable:
    """Numbers and practices, no patients: the sheet lies about."""
    columns = (Column("Job", 1.9), Column("Practice", 3), Column("Category, box", 2.4), Column("Where", 1.6))
    rows = [(line.shown, line.practice, f"{line.category}, {line.colour}", line.where, line.why) for line in day.lines]
    more = f"and {day.more:,} more" if day.more else ""
    nothing = "Nothing that is not finished."
    return SheetTable(day.words, (*columns, Column("Why", 3)), tuple(rows), nothing, more)


def _unfinished(sheet: DaySheet) -> Iterator[SheetTable]:
    parcels = [(f"Parcel {row.label or row.parcel_id}", row.practice, row.says) for row in sheet.parcels]
    yield SheetTable("Parcels that are not finished", _OPEN, tuple(parcels), "None.")
    letters = [(row.title, row.to, row.why) for row in sheet.letters]
    if sheet.unwritten.questions:
        many = counted(sheet.unwritten.questions, "question")
        to = counted(sheet.unwritten.practices, "practice")
        letters.append(("To be written", to, f"{many} that no letter asks"))
    yield SheetTable("Letters that have not left", _OPEN, tuple(letters), "None.")
    tickets = [(row.title, "", row.why) for row in sheet.tickets]
    yield SheetTable("Tickets that wait for the printer", _OPEN, tuple(tickets), "None.")
    if sheet.closed and sheet.closed.left:
        columns = (Column("What", 1.2), Column("About", 4), Column("Reason", 4))
        left = [(capital(each["what"]), each["about"], each["reason"]) for each in sheet.closed.left]
        yield SheetTable("Left over when the day was closed", columns, tuple(left), "")
