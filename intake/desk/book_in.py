"""Books a case in, amends it, and takes back what was just done."""

from dataclasses import dataclass

from intake.desk.amending import bring_in_line, category_names
from intake.desk.check import Checked
from intake.desk.desk import Desk
from intake.desk.directory import enter, remember
from intake.desk.scan_looks import scans_of
from intake.desk.senders import learn_sender
from intake.domain.case import Case
from intake.domain.form import FormRead
from intake.domain.half_typed import HalfTyped
from intake.domain.job_number import read_number
from intake.domain.judging import judge
from intake.domain.practice import Practice
from intake.domain.verdict import Verdict
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.store.rows import BookedJob
from intake.store.work import Work


@dataclass(frozen=True)
class Entered:
    """What came into the directory with a case."""

    practice: Practice | None = None
    prescriber: str = ""


@dataclass(frozen=True)
class Booked:
    """A case as it was saved: its jobs with their numbers, and the tickets that wait to be printed."""

    case_id: int
    version: int
    jobs: tuple[BookedJob, ...]
    verdict: Verdict
    tickets: tuple[int, ...]
    arrival_id: int | None = None
    again: bool = False
    """Whether it was booked before, and nothing was saved now."""
    entered: Entered = Entered()


class NothingToMake(IntakeError):
    """A case without an appliance has no box and no ticket."""


class BookedElsewhere(IntakeError):
    """Another desk booked the same arrival in meanwhile."""


def save_form(desk: Desk, half: HalfTyped, form: FormRead) -> Booked:
    """Saves what a form says: books it in, or amends the case that it belongs to.

    Raises as `book` and `amend` do, and BookedElsewhere where its file was booked meanwhile and the form says more.
    """
    if half.case_id is not None and half.version is not None:
        return amend(desk, half.case_id, half.version, form.case, half.arrival_id, form.new_practice, form.remembers)
    booked = book(desk, form.case, half.token, half.arrival_id, form.new_practice, form.remembers)
    stands = desk.store.read.case(booked.case_id) if booked.again and half.arrival_id is not None else None
    if stands is not None and stands.case != _complete(desk, form.case, form.new_practice)[0]:
        raise _elsewhere(desk, booked.case_id)
    return booked


def book(
    desk: Desk,
    case: Case,
    token: str,
    arrival_id: int | None = None,
    new_practice: Practice | None = None,
    remembers: bool = False,
) -> Booked:
    """Saves a new case. When this returns the case is on the disk, with its numbers.

    Args:
        desk: The desk.
        case: The case.
        token: Made once for each form, or the fingerprint of the file that it came in: the same token again is the same
            case, never a second one. One that was taken back, and whose arrival waits, is taken up again.
        arrival_id: The arrival that it came with, where that is not known by the fingerprint.
        new_practice: The practice that it names, where the directory is to get it.
        remembers: Whether the practice's entry is to remember the prescriber.

    Raises:
        NothingToMake: The case has no appliance.
        BookedElsewhere: Its arrival was booked as another case meanwhile.
        CodeTaken: The new practice's code was given away meanwhile.
        IntakeError: The store refuses.
    """
    first = desk.store.read.case_of_token(token)
    if first is not None and first.state == "withdrawn" and _waits(desk, _arrival_id(desk, arrival_id, token)):
        arrival_id = _arrival_id(desk, arrival_id, token)
        return amend(desk, first.case_id, first.version, case, arrival_id, new_practice, remembers)
    complete, practice = _complete(desk, case, new_practice)
    verdict = judge(complete, desk.lab, practice, desk.now(), room=desk.room)
    with desk.work() as work:
        arrival_id = _arrival_id(desk, arrival_id, token)
        before = _booked_as(desk, arrival_id)
        entered = _enter(desk, work, complete, new_practice, remembers) if first is None else Entered()
        booked = work.cases.book(complete, verdict, token=token, names=category_names(desk), arrival_id=arrival_id)
        _refuse_second(desk, before, booked.case_id)
        learn_sender(desk, work, arrival_id, complete)
        work.commit()
    tickets = tuple(job.document_id for job in booked.jobs if job.document_id is not None)
    if booked.again:
        waiting = {row.document_id for row in desk.store.read.documents_waiting()}
        tickets = tuple(ticket for ticket in tickets if ticket in waiting)
    return Booked(booked.case_id, booked.version, booked.jobs, verdict, tickets, arrival_id, booked.again, entered)


def book_checked(desk: Desk, checked: Checked) -> Booked:
    """Books the case of a checked file in; the same file a second time is the same case."""
    assert checked.case is not None, "only what can be read is booked"
    assert checked.fingerprint is not None
    return book(desk, checked.case, token=checked.fingerprint)


def book_arrival(desk: Desk, arrival_id: int) -> Booked:
    """Books an arrival in as it was taken in, with nothing typed to it."""
    row = desk.store.read.arrival(arrival_id)
    if row is None or "case" not in row.prescription:
        raise NothingToMake("No case could be read from this arrival. Open it and type what stands on the paper.")
    token = row.fingerprint or f"arrival-{arrival_id}"
    case = scans_of(desk, arrival_id).put_to(Case.model_validate(row.prescription["case"]))
    return book(desk, case, token, arrival_id)


def amend(
    desk: Desk,
    case_id: int,
    version: int,
    case: Case,
    arrival_id: int | None = None,
    new_practice: Practice | None = None,
    remembers: bool = False,
) -> Booked:
    """Replaces a case's prescription; a ticket that is out already gets its next copy.

    A case that was taken back just before is taken up again with its numbers. The directory gets a new practice or
    prescriber as in `book`. Raises ChangedMeanwhile when another desk changed the case since it was read.
    """
    complete, practice = _complete(desk, case, new_practice)
    before = desk.store.read.case(case_id)
    with desk.work() as work:
        if before is not None and before.state == "withdrawn":
            version = work.cases.reinstate(case_id, version, "taken up again at the desk")
        entered = _enter(desk, work, complete, new_practice, remembers)
        amended = bring_in_line(desk, work, case_id, version, complete, practice)
        if arrival_id is not None:
            book_arrival_as(desk, work, arrival_id, case_id)
        work.commit()
    return Booked(case_id, amended.version, amended.jobs, amended.verdict, amended.tickets, arrival_id, entered=entered)


def book_arrival_as(desk: Desk, work: Work, arrival_id: int, case_id: int) -> None:
    """Marks an arrival as booked, in a unit of work. Raises BookedElsewhere where it is another case by now."""
    _refuse_second(desk, _booked_as(desk, arrival_id), case_id)
    work.arrivals.booked(arrival_id, case_id)


def take_back(desk: Desk, booked: Booked) -> int:
    """Undoes a booking: the case is withdrawn, its arrival waits again. Gives the case's new version."""
    with desk.work() as work:
        version = work.cases.withdraw(booked.case_id, booked.version, "taken back at the desk")
        let_wait_again(desk, work, booked.arrival_id)
        work.commit()
    return version


def let_wait_again(desk: Desk, work: Work, arrival_id: int | None) -> None:
    """Lets the arrival of what is taken back wait again, in a unit of work."""
    arrival = desk.store.read.arrival(arrival_id) if arrival_id is not None else None
    if arrival is not None:
        work.arrivals.set_state(arrival.arrival_id, arrival.version, "waiting")


def _enter(desk: Desk, work: Work, case: Case, new: Practice | None, remembers: bool) -> Entered:
    """What the directory gets with a case, in the same unit of work."""
    if new is not None:
        return Entered(practice=new if enter(desk, work, new) else None)
    signs, code = case.prescriber, case.practice
    if remembers and signs and isinstance(code, str) and remember(desk, work, code, signs):
        return Entered(prescriber=signs)
    return Entered()


def _complete(desk: Desk, case: Case, new_practice: Practice | None) -> tuple[Case, Practice | None]:
    """The case with what the desk knows by itself: the practice's code as the directory writes it, and when it came."""
    if not case.appliances:
        raise NothingToMake("Enter at least one appliance; without one there is no box to put the case in.")
    known = desk.practice_of(case) or new_practice
    told = {
        "practice": known.code if known else case.practice,
        "arrived": case.arrived or desk.now().replace(second=0, microsecond=0),
    }
    return case.model_copy(update=told), known


def _arrival_id(desk: Desk, arrival_id: int | None, token: str) -> int | None:
    """The arrival that is booked: the one that is named, or the one of the file whose fingerprint the token is."""
    if arrival_id is not None:
        return arrival_id
    arrival = desk.store.read.arrival_of(token)
    return arrival.arrival_id if arrival else None


def _waits(desk: Desk, arrival_id: int | None) -> bool:
    arrival = desk.store.read.arrival(arrival_id) if arrival_id is not None else None
    return arrival is not None and arrival.state == "waiting"


def _booked_as(desk: Desk, arrival_id: int | None) -> int | None:
    """The case that an arrival is booked as; asked inside a unit of work, while no other desk can write."""
    arrival = desk.store.read.arrival(arrival_id) if arrival_id is not None else None
    return arrival.case_id if arrival else None


def _refuse_second(desk: Desk, booked_as: int | None, case_id: int) -> None:
    """An arrival is one case: refuse another one for it."""
    if booked_as is not None and booked_as != case_id:
        raise _elsewhere(desk, booked_as)


def _elsewhere(desk: Desk, case_id: int) -> BookedElsewhere:
    numbers = listed([read_number(job.number).shown for job in desk.store.read.jobs_of(case_id)])
    return BookedElsewhere(
        f"This arrival was booked in meanwhile, as {numbers}. Nothing was saved now; clear the form and go on."
    )
