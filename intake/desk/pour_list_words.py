"""What stands on a pour list."""

from datetime import datetime

from intake.desk.desk import Desk
from intake.desk.pour_list import ToPour, Unopened, how_many_to_pour, pour_list, unopened
from intake.documents.pour_list import PourBox, PourRow, PourSheet, draw_pour_list
from intake.domain.pour_order import MARKS
from intake.domain.wording import counted
from intake.domain.written_dates import shown_moment
from intake.store.rows import DocumentRow


def draw_list(desk: Desk, document: DocumentRow) -> bytes:
    """The PDF of a pour list, by what is to be poured now."""
    return draw_pour_list(sheet_of(desk, str(document.document_id), desk.now()))


def sheet_of(desk: Desk, number: str, at: datetime) -> PourSheet:
    """A pour list as it stands now."""
    lines = pour_list(desk)
    more = how_many_to_pour(desk) - len(lines)
    beyond = f"; {more} more stand in the program" if len(lines) and more > 0 else ""
    return PourSheet(
        lab=desk.lab.name,
        number=number,
        counted=f"{shown_moment(at)}: {counted(len(lines), 'case')} to pour, what keeps least first{beyond}.",
        rows=tuple(map(_row, lines)),
        unopened=unopened_words(unopened(desk)),
        caution=desk.lab.cautions.pouring,
    )


def unopened_words(waits: Unopened) -> str:
    """What of the post still waits to be opened and may hold an impression; empty where nothing does."""
    known = f"{counted(waits.with_impression, 'arrival')} with an impression" if waits.with_impression else ""
    unknown = f"{counted(waits.not_known, 'arrival')} of which nobody knows yet" if waits.not_known else ""
    both = " and ".join(filter(None, (known, unknown)))
    one = waits.with_impression + waits.not_known == 1
    return f"Not booked in yet: {both}; open {'it' if one else 'them'} first." if both else ""


def _row(line: ToPour) -> PourRow:
    first = line.first
    mark = MARKS[first.standing] or ("Estimated" if first.estimated else "")
    return PourRow(
        boxes=tuple(PourBox(job.shown, job.colour, job.hex) for job in line.jobs),
        patient=line.patient,
        practice=line.practice,
        impressions=tuple((each.words, each.when) for each in line.impressions),
        mark=mark,
    )
