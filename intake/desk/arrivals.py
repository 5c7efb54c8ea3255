"""What waits to be booked in: files taken in, bags set down for later, in the order to take them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from operator import attrgetter
from pathlib import Path
from typing import Any

from intake.desk.check import file_content, fingerprint_of
from intake.desk.desk import Desk
from intake.desk.scan_looks import NO_SCANS, Scans, scans_of_all
from intake.desk.waiting_parcels import InParcel, parcels_of_waiting
from intake.domain.case import Case, NewPractice
from intake.domain.form import read_form
from intake.domain.half_typed import HalfTyped
from intake.domain.judging import judge
from intake.domain.practice import Practice
from intake.domain.priority import Urgency, explain_urgency, urgency
from intake.domain.reading import CaseUnreadable, find_practice, read_case
from intake.domain.verdict import Verdict
from intake.domain.wording import appliance_name
from intake.domain.written_dates import shown_day
from intake.errors import IntakeError
from intake.inbox.filled_blank import read_blank
from intake.store.rows import ArrivalRow, NewArrival
from intake.store.words import ArrivalState


class NotWaiting(IntakeError):
    """An arrival was booked in meanwhile, or is not there."""


@dataclass(frozen=True)
class Waiting:
    """One line of the list of what waits."""

    arrival_id: int
    version: int
    stream: str
    arrived: datetime
    practice: str
    patient: str
    appliances: str
    state: str
    """held, clear, unreadable, or unfinished: no appliance is named yet, or something typed cannot be read"""
    source: str
    """The name of the file it came in, if it came in one."""
    problem: str
    unchecked: int
    """How many of its scans nobody has looked at yet."""
    urgency: Urgency
    why: str
    """Why it stands where it stands."""
    parcel: InParcel | None = None
    """The parcel that it came in, if it came in one that is opened."""


@dataclass(frozen=True)
class Taken:
    """A file that was taken in, or why it was not read."""

    file: str
    arrival_id: int | None
    """None where nothing was taken in: the file could not be opened, or was booked without having waited."""
    already: bool
    """Whether the same content was taken in or booked before, and nothing was kept now."""
    problem: str


def take_in(desk: Desk, paths: Iterable[Path]) -> tuple[Taken, ...]:
    """Takes prescription files in, each once; one that cannot be read waits with what is wrong with it."""
    practices = desk.practices()
    return tuple(_take_in_file(desk, path, practices) for path in paths)


def waiting(desk: Desk) -> tuple[Waiting, ...]:
    """What waits to be booked in: first what is left of opened parcels, then the rest, most pressing first.

    Of a parcel that is stopped nothing waits: nobody reaches in.
    """
    now, practices = desk.now(), desk.practices()
    rows = desk.store.read.arrivals("waiting")
    scans = scans_of_all(desk, [row.arrival_id for row in rows])
    parcels = parcels_of_waiting(desk, [row.arrival_id for row in rows])
    lines = [
        replace(_line(desk, row, scans.get(row.arrival_id, NO_SCANS), practices, now), parcel=parcel)
        for row in rows
        if (parcel := parcels.get(row.arrival_id)) is None or not parcel.stopped
    ]
    opened = sorted((line for line in lines if line.parcel is not None), key=attrgetter("parcel"))
    return (*opened, *sorted((line for line in lines if line.parcel is None), key=attrgetter("urgency")))


def set_down(desk: Desk, half: HalfTyped) -> int:
    """Keeps a half-typed form among what waits, for later; gives its arrival. It arrived when it says, or now.

    The form of a case that was taken back keeps its case, so that it is booked with the same numbers later.
    Raises NotWaiting where the arrival was booked in meanwhile.
    """
    form = read_form(half.typed, desk.lab, desk.practices(), desk.now(), half.kept)
    arrived = form.case.arrived or desk.now()
    typed = {**half.typed, "arrived": half.typed.get("arrived", "").strip() or f"{shown_day(arrived)} {arrived:%H:%M}"}
    named = form.ordering.name if form.ordering else _practice_shown(form.case, ())
    known = {
        "practice": named or half.typed.get("practice", ""),
        "patient_label": form.case.patient.label or form.case.patient.found or "",
        "patient_reference": form.case.patient.reference or "",
    }
    content = {
        "typed": typed,
        "kept": half.kept.model_dump(mode="json") if half.kept else None,
        "case_id": half.case_id,
        "version": half.version,
    }
    with desk.work() as work:
        if half.arrival_id is not None:
            row = _unbooked(desk, half.arrival_id)
            version = work.arrivals.change(row.arrival_id, row.version, prescription=content, **known)
            work.arrivals.set_state(row.arrival_id, version, "waiting")
            kept = row.arrival_id
        else:
            arrival = NewArrival(form.case.stream, arrived, prescription=content, **known)
            kept = work.arrivals.add(arrival).arrival_id
        work.commit()
    return kept


def dismiss(desk: Desk, arrival_id: int) -> None:
    """Takes an arrival off the list; `bring_back` undoes it. Raises NotWaiting where it was booked in meanwhile."""
    _set_state(desk, arrival_id, "dismissed")


def bring_back(desk: Desk, arrival_id: int) -> None:
    """Lets an arrival wait again. Raises NotWaiting where it was booked in meanwhile."""
    _set_state(desk, arrival_id, "waiting")


def _set_state(desk: Desk, arrival_id: int, state: ArrivalState) -> None:
    with desk.work() as work:
        work.arrivals.set_state(arrival_id, _unbooked(desk, arrival_id).version, state)
        work.commit()


def _unbooked(desk: Desk, arrival_id: int) -> ArrivalRow:
    """The arrival as it stands; called inside a unit of work, while no other desk can write."""
    row = desk.store.read.arrival(arrival_id)
    if row is None:
        raise NotWaiting(f"There is no arrival {arrival_id}.")
    if row.state == "booked":
        raise NotWaiting("This arrival was booked in meanwhile, so it waits no longer. Look it up by its patient.")
    return row


def take_in_content(desk: Desk, content: bytes, name: str) -> Taken:
    """Takes the content of a prescription file in, once; one that cannot be read waits with what is wrong with it."""
    return _take_in(desk, content, name, desk.practices())


def take_in_blank(desk: Desk, content: bytes, name: str) -> Taken:
    """Takes a blank prescription in that came back filled in, as the form that the desk would have typed.

    What stands on it and cannot be read waits as it was written.

    Raises BlankAltered, BlankNumberRefused and PdfUnreadable.
    """
    practices = desk.practices()
    typed = read_blank(content, desk.lab, practices, desk.now().date())
    form = read_form(typed, desk.lab, practices, desk.now())
    named = form.ordering.name if form.ordering else _practice_shown(form.case, ())
    arrival = NewArrival(
        stream=form.case.stream,
        arrived=_minute(desk),
        practice=named or typed.get("practice", ""),
        patient_label=form.case.patient.label or "",
        patient_reference=form.case.patient.reference or "",
        prescription={"typed": typed, "kept": None, "case_id": None, "version": None},
        source_name=name,
        fingerprint=fingerprint_of(content),
    )
    with desk.work() as work:
        taken = work.arrivals.add(arrival)
        work.commit()
    return Taken(name, taken.arrival_id, taken.already, "")


def _take_in_file(desk: Desk, path: Path, practices: tuple[Practice, ...]) -> Taken:
    try:
        content = file_content(path)
    except CaseUnreadable as unreadable:
        return Taken(path.name, None, already=False, problem=str(unreadable))
    return _take_in(desk, content, path.name, practices)


def _take_in(desk: Desk, content: bytes, name: str, practices: tuple[Practice, ...]) -> Taken:
    problem, prescription, case = "", {}, Case()
    try:
        case = read_case(content, desk.lab, practices)
        prescription = {"case": case.model_dump(mode="json")}
    except CaseUnreadable as unreadable:
        problem = str(unreadable)
    arrival = NewArrival(
        stream=case.stream,
        arrived=case.arrived or _minute(desk),
        practice=_practice_shown(case, practices),
        patient_label=case.patient.label or "",
        patient_reference=case.patient.reference or "",
        prescription=prescription,
        problem=problem,
        source_name=name,
        fingerprint=fingerprint_of(content),
    )
    with desk.work() as work:
        booked = desk.store.read.case_of_token(fingerprint_of(content))
        if booked is not None and booked.state == "open":
            return Taken(name, None, already=True, problem="")
        taken = work.arrivals.add(arrival)
        work.commit()
    return Taken(name, taken.arrival_id, taken.already, problem)


def _minute(desk: Desk) -> datetime:
    return desk.now().replace(second=0, microsecond=0)


def _line(desk: Desk, row: ArrivalRow, scans: Scans, practices: tuple[Practice, ...], now: datetime) -> Waiting:
    case, verdict, unfinished = _judged(desk, row, scans, practices, now)
    place = urgency(verdict, row.arrived, now, f"{row.arrival_id:012d}")
    names = ", ".join(appliance_name(appliance, desk.lab) for appliance in case.appliances)
    return Waiting(
        arrival_id=row.arrival_id,
        version=row.version,
        stream=row.stream,
        arrived=row.arrived,
        practice=row.practice,
        patient=row.patient_label or row.patient_reference,
        appliances=names[:1].upper() + names[1:],
        state="unreadable" if row.problem else "unfinished" if unfinished else verdict.state,
        unchecked=scans.unchecked,
        source=row.source_name,
        problem=row.problem,
        urgency=place,
        why=explain_urgency(place, now),
    )


def _judged(
    desk: Desk, row: ArrivalRow, scans: Scans, practices: tuple[Practice, ...], now: datetime
) -> tuple[Case, Verdict, bool]:
    """The case that waits, what the lab says of it, and whether it cannot be booked as it stands."""
    wrong, prescription = False, row.prescription
    if "typed" in prescription:
        form = read_form(prescription["typed"], desk.lab, practices, now, kept_case(prescription))
        case, practice, wrong = form.case, form.ordering, bool(form.wrong)
    else:
        case = Case.model_validate(prescription.get("case", {}))
        practice = find_practice(case.practice, practices)
    case = scans.put_to(case)
    if case.arrived is None:
        case = case.model_copy(update={"arrived": row.arrived})
    return case, judge(case, desk.lab, practice, now, room=desk.room), wrong or not case.appliances


def kept_case(prescription: Mapping[str, Any]) -> Case | None:
    """The case as it came, of a form that was set down later."""
    return Case.model_validate(prescription["kept"]) if prescription.get("kept") else None


def _practice_shown(case: Case, practices: tuple[Practice, ...]) -> str:
    known = find_practice(case.practice, practices)
    if known is not None:
        return known.name
    return case.practice.name if isinstance(case.practice, NewPractice) else case.practice or ""
