"""What is open at the end of a day: what needs a reason, one by one, and how much has one by itself.

A reason by itself has a question that was asked and waits for its answer, and a job whose work need not start yet.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal

from intake.desk.day_sheet import LETTERS, PaperLine, leaving_line, next_working_day, paper_lines
from intake.desk.desk import Desk
from intake.desk.parcels import ParcelLine, open_parcels
from intake.domain.job_number import read_number
from intake.domain.ringing import UNANSWERED
from intake.domain.wording import counted, listed
from intake.domain.written_dates import shown_day, shown_moment
from intake.store.closing_rows import UnaskedRow
from intake.store.rows import DocumentRow

Kind = Literal["parcel", "arrival", "question", "reply", "letter", "ticket", "pour", "job", "bench", "incident"]
Place = Literal["parcels", "arrivals", "waiting", "look-up"]
RECENT = timedelta(days=14)
"""Benches that scanned no box for so long do not scan: nobody can say then what is not finished."""
NAMELESS = "a practice that is not named"
POURS_AGAIN = time(9)
"""Before this hour nobody has poured anything in the morning; common practice, no source."""
FEW = 3
STREAMS = {"post": "by post", "scan": "as a scan"}

USUAL: dict[Kind, tuple[str, str, str]] = {
    "parcel": ("Comes to it tomorrow", "Waits for the practice", "The rest of it comes tomorrow"),
    "arrival": ("Booked in tomorrow", "Waits for the practice", "The rest of it comes tomorrow"),
    "question": ("Rung tomorrow", "The practice was closed", "In tomorrow’s letter"),
    "reply": ("Looked at tomorrow", "Waits for the practice", "Waits for the technician"),
    "letter": ("Sent tomorrow", "The printer is out of order", "Told by telephone instead"),
    "ticket": ("Printed tomorrow", "The printer is out of order", "Written by hand"),
    "pour": ("Poured tonight", "Waits for the practice", "Poured already, and noted tomorrow"),
    "job": ("Handed over tomorrow", "Waits for the practice", "Waits for the bench"),
    "bench": ("Leaves tomorrow, the practice knows", "Waits for the practice", "The appointment was moved"),
    "incident": ("Reported, stays open", "Waits for who is responsible for safety", "Closed tomorrow"),
}
"""The three reasons that are usual for each kind of thing."""


@dataclass(frozen=True)
class Go:
    """Where something can be done about what is left over: a place of the window, and what to show there."""

    place: Place
    about: str = ""
    """A job's number, the id of an arrival or a parcel, or a practice's key, as the place takes it."""
    letter: int | None = None
    """The letter whose practice is meant."""


@dataclass(frozen=True)
class LeftOver:
    """One thing that is open and has no reason by itself."""

    key: str
    """Tells it from the others, today and tomorrow."""
    kind: Kind
    what: str
    """What it is: `Not booked in`."""
    about: str
    """What it is about, without a patient's name."""
    detail: str
    """More of it for the screen; it may name the patient as the list of arrivals does."""
    go: Go | None
    usual: tuple[str, str, str]


@dataclass(frozen=True)
class Settled:
    """So many things that have a reason by themselves."""

    words: str
    count: int


@dataclass(frozen=True)
class Evening:
    """Everything that is open at the end of a day."""

    left: tuple[LeftOver, ...]
    settled: tuple[Settled, ...]


def left_over(desk: Desk) -> tuple[LeftOver, ...]:
    """What is open and needs a reason, in the order to go through it."""
    return evening(desk).left


def evening(desk: Desk) -> Evening:
    """What is open just now: what needs a reason, and how much has one by itself."""
    read, now = desk.store.read, desk.now()
    following = next_working_day(desk, now.date())
    unasked, tried, parcels = read.unasked(), _tried_today(desk), open_parcels(desk)
    waits = [row for row in unasked if row.expected_on is None or row.expected_on < now.date()]
    silent = [row for row in waits if not _was_tried(row, tried)]
    documents = read.documents_waiting()
    left = (
        *map(_parcel, parcels),
        *_arrivals(desk, parcels),
        *_questions(silent),
        *_replies(desk),
        *_letters(documents),
        *_tickets(documents),
        *_to_pour(desk, now, following),
        *_jobs(desk, following),
        *_benches(desk, now),
        *_incidents(desk),
    )
    settled = (
        Settled("need not start before a later day", read.count_later(following)),
        Settled("wait for an answer that was asked for in writing", read.count_asked()),
        Settled("wait for what is promised", len(unasked) - len(waits)),
        Settled("wait for a practice that was rung today", len(waits) - len(silent)),
    )
    return Evening(left, tuple(each for each in settled if each.count))


def _parcel(parcel: ParcelLine) -> LeftOver:
    return LeftOver(
        f"parcel-{parcel.parcel_id}",
        "parcel",
        "A parcel that is not finished",
        f"Parcel {parcel.label or parcel.parcel_id} from {parcel.practice or NAMELESS}",
        f"{parcel.says.rstrip('.')}. Opened {shown_moment(parcel.at)} by {parcel.who}.",
        Go("parcels", str(parcel.parcel_id)),
        USUAL["parcel"],
    )


def go_of_paper(line: PaperLine) -> Go | None:
    """Where something can be done about a ticket or a letter that has not left."""
    if line.job is not None:
        return Go("look-up", line.job)
    return Go("waiting", letter=line.document_id) if line.kind == "letter" else None


def _letters(documents: Sequence[DocumentRow]) -> Iterator[LeftOver]:
    for line in paper_lines(documents, LETTERS):
        about = f"{line.title} to {line.to}" if line.to else line.title
        what = "A letter that has not left" if line.kind == "letter" else "A sheet that has not left"
        key, go = f"letter-{line.document_id}", go_of_paper(line)
        yield LeftOver(key, "letter", what, about, line.why, go, USUAL["letter"])


def _tickets(documents: Sequence[DocumentRow]) -> Iterator[LeftOver]:
    for line in paper_lines(documents, ("ticket",)):
        key, what = f"ticket-{line.document_id}", "A ticket that is not printed"
        yield LeftOver(key, "ticket", what, line.title, line.why, go_of_paper(line), USUAL["ticket"])


def _tried_today(desk: Desk) -> dict[str, datetime]:
    """When each practice was rung last today, whatever came of it but for a wrong number."""
    begin = datetime.combine(desk.now().date(), time())
    rows = desk.store.read.attempts(since=begin)
    return {row.key: row.at for row in rows if row.outcome in (*UNANSWERED, "spoke", "ring-back")}


def _was_tried(row: UnaskedRow, tried: Mapping[str, datetime]) -> bool:
    return row.key in tried and tried[row.key] >= row.opened


def _arrivals(desk: Desk, parcels: Sequence[ParcelLine]) -> Iterator[LeftOver]:
    """What waits to be booked in; what lies in a parcel that is not finished is left over with it."""
    in_parcels = {arrival_id for parcel in parcels for arrival_id in parcel.arrivals}
    for row in desk.store.read.waiting_arrivals():
        if row.arrival_id not in in_parcels:
            yield LeftOver(
                f"arrival-{row.arrival_id}",
                "arrival",
                "Not booked in",
                f"Arrival {row.arrival_id} from {row.practice or NAMELESS}",
                " · ".join(filter(None, (f"Came {STREAMS[row.stream]} {shown_moment(row.arrived)}", row.patient))),
                Go("arrivals", str(row.arrival_id)),
                USUAL["arrival"],
            )


def _questions(silent: Sequence[UnaskedRow]) -> Iterator[LeftOver]:
    """The practices that nobody asked, each once with all its cases."""
    by_practice: defaultdict[str, list[UnaskedRow]] = defaultdict(list)
    for row in silent:
        by_practice[row.key].append(row)
    for key, rows in by_practice.items():
        first, several = rows[0], len(rows) > 1
        numbers = [read_number(row.job).shown for row in rows[:FEW] if row.job]
        numbers += [f"{len(rows) - FEW} more"] if len(rows) > FEW else []
        days = [row.expected_on for row in rows if row.expected_on]
        late = f" What was promised for {shown_day(min(days))} did not come." if days else ""
        practice = first.practice or NAMELESS
        asked = f"{counted(sum(row.questions for row in rows), 'question')} that no letter asks"
        yield LeftOver(
            f"question-{key}",
            "question",
            "The practice has not been asked",
            f"{len(rows)} cases of {practice}" if several else f"{numbers[0] if numbers else 'A case'} of {practice}",
            f"{asked}{f', of {listed(numbers)}' if several and numbers else ''}. Nobody rang today.{late}",
            Go("waiting", key),
            USUAL["question"],
        )


def _replies(desk: Desk) -> Iterator[LeftOver]:
    for row in desk.store.read.replies("waiting"):
        letter = f"Reply to letter {row.letter_id}" if row.letter_id else f"Returned form {row.reply_id}"
        yield LeftOver(
            f"reply-{row.reply_id}",
            "reply",
            "A returned form that nobody has looked at",
            letter,
            f"Came back {shown_moment(row.at)}.",
            Go("waiting", letter=row.letter_id),
            USUAL["reply"],
        )


def _to_pour(desk: Desk, now: datetime, following: date) -> Iterator[LeftOver]:
    """The impressions that do not keep until the lab pours again; what is past its time is not saved by staying."""
    read = desk.store.read
    due = read.pour_between(now, datetime.combine(following, POURS_AGAIN))
    benches = [bench.name for bench in desk.lab.bench_by_name.values() if bench.pours]
    waiting = set(read.cases_to_pour(benches)) if due else set()
    for row in due:
        if row.case_id not in waiting:
            continue
        yield LeftOver(
            f"pour-{row.case_id}",
            "pour",
            "Impressions that do not keep until the morning",
            f"{read_number(row.job).shown if row.job else 'A case'} of {row.practice or NAMELESS}",
            f"Pour by {shown_moment(row.pour_by)}.",
            Go("look-up", row.job) if row.job else None,
            USUAL["pour"],
        )


def _jobs(desk: Desk, following: date) -> Iterable[LeftOver]:
    """What is clear, stands at reception, and has to be at its first bench by the next working day, or has no date."""
    for row in desk.store.read.to_hand_over(following):
        line = leaving_line(row)
        start = f"Work has to start by {shown_day(row.latest_start)}" if row.latest_start else "No date is known for it"
        leaves = f", it must leave on {shown_day(row.must_leave)}" if row.must_leave else ""
        yield LeftOver(
            f"job-{row.number}",
            "job",
            "Clear, but not handed over",
            f"{line.shown} of {line.practice}",
            f"{row.category}, {row.box_colour} box. {start}{leaves}.",
            Go("look-up", row.number),
            USUAL["job"],
        )


def _benches(desk: Desk, now: datetime) -> Iterable[LeftOver]:
    """What is at a bench and should have left by today, where the benches scan what they finish."""
    if not desk.store.read.bench_scans(now - RECENT):
        return
    for row in desk.store.read.leaving(None, now.date(), ("gone",)):
        line = leaving_line(row)
        yield LeftOver(
            f"bench-{row.number}",
            "bench",
            "Must have left by today, but is not finished",
            f"{line.shown} of {line.practice}",
            f"{row.category}. {line.where}: {line.why}.",
            Go("look-up", row.number),
            USUAL["bench"],
        )


def _incidents(desk: Desk) -> Iterator[LeftOver]:
    for row in desk.store.read.incidents_open():
        yield LeftOver(
            f"incident-{row.incident_id}",
            "incident",
            "An incident that is not closed",
            f"Incident {row.incident_id}, {row.kind}",
            f"Entered {shown_moment(row.at)}.",
            Go("parcels", str(row.parcel_id)) if row.parcel_id else None,
            USUAL["incident"],
        )
