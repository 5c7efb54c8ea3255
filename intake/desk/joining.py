"""Puts two arrivals together that are one case; undoes it exactly, as long as nobody changed what it made."""

from collections.abc import Mapping
from dataclasses import dataclass

from intake.desk.arrivals import dismiss, kept_case, set_down
from intake.desk.desk import Desk
from intake.desk.expected import CannotJoin
from intake.desk.open_form import arrival_form
from intake.desk.partners import waiting_case
from intake.desk.scan_looks import scans_of
from intake.domain.case import Case
from intake.domain.form_joining import joined_form
from intake.domain.form_writing import written_form
from intake.domain.half_typed import HalfTyped
from intake.domain.matching import both_conditions, left_out
from intake.domain.partners import appliance_names
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.store.rows import ArrivalRow, Details


@dataclass(frozen=True)
class Joined:
    """Two arrivals that were put together."""

    kept_id: int
    kept_version: int
    emptied_id: int
    emptied_version: int
    files: tuple[int, ...]
    """The ids of the files that were put to the kept one."""
    before: ArrivalRow
    """The kept one as it was."""
    left_out: tuple[str, ...] = ()
    """What the two say otherwise and only the kept prescription says now: `the appointment`."""
    contents: tuple[int, ...] = ()
    """The ids of what lay in parcels and waits in the kept one now."""


@dataclass(frozen=True)
class Together:
    """A form that was put together with an arrival that waits."""

    joined: Joined
    before: HalfTyped
    """The form as it was."""
    made: int | None
    """The arrival that was made of the form; None where it had one."""
    form: HalfTyped
    """The form of both."""
    replaced: tuple[str, ...] = ()
    """The jaws of which the later scan counts now."""


def join_arrivals(desk: Desk, arrival_id: int, into_id: int) -> Joined:
    """Puts what one arrival brought to another one, which is all that waits then; the emptied one is set aside.

    The prescription that names something to make is kept; of the other one, what only it says is taken.

    Raises:
        CannotJoin: one of them waits no longer, or both are orders and for different appliances.
    """
    with desk.work() as work:
        row, into = _waiting(desk, arrival_id), _waiting(desk, into_id)
        if row.arrival_id == into.arrival_id:
            raise CannotJoin("These are one arrival already.")
        prescription = _Joint.of(desk, into, row)
        changed = work.arrivals.change(
            into_id,
            into.version,
            prescription=prescription.content,
            practice=prescription.practice,
            patient_label=prescription.label,
            patient_reference=prescription.reference,
            problem=prescription.problem,
        )
        files = work.scans.move_files(arrival_id, into_id)
        contents = work.parcels.follow(arrival_id, into_id)
        emptied = work.arrivals.set_state(arrival_id, row.version, "set-aside")
        work.commit()
    return Joined(into_id, changed, arrival_id, emptied, files, into, prescription.left_out, contents)


def part_arrivals(desk: Desk, joined: Joined) -> None:
    """Undoes `join_arrivals`: both wait again as they were. Raises ChangedMeanwhile where one was changed since."""
    before = joined.before
    with desk.work() as work:
        work.arrivals.change(
            joined.kept_id,
            joined.kept_version,
            prescription=before.prescription,
            practice=before.practice,
            patient_label=before.patient_label,
            patient_reference=before.patient_reference,
            problem=before.problem,
        )
        work.arrivals.set_state(joined.emptied_id, joined.emptied_version, "waiting")
        work.scans.move_back(joined.files, joined.emptied_id)
        work.parcels.follow_back(joined.contents, joined.emptied_id)
        work.commit()


def put_together(desk: Desk, half: HalfTyped, partner_id: int) -> Together:
    """Puts what is in a form together with an arrival that waits. Raises as `join_arrivals`; nothing is kept then.

    How the arches of both stand is to be measured by `measure_arches`.
    """
    mine, made = half.arrival_id, None
    if mine is None:
        mine = made = set_down(desk, half)
    elif _said(half.typed) != _said(arrival_form(desk, mine).typed):
        set_down(desk, half)
    try:
        kept_id = _keeps(desk, mine, partner_id)
        joined = join_arrivals(desk, partner_id if kept_id == mine else mine, kept_id)
    except IntakeError:
        if made is not None:
            dismiss(desk, made)
        raise
    replaced = tuple(scan.seen.shows or scan.seen.name for scan in scans_of(desk, kept_id).replaced)
    return Together(joined, half, made, arrival_form(desk, kept_id), replaced)


def part_again(desk: Desk, together: Together) -> HalfTyped:
    """Undoes `put_together`, and gives the form as it was. Raises ChangedMeanwhile where one was changed since."""
    part_arrivals(desk, together.joined)
    if together.made is not None:
        dismiss(desk, together.made)
    return together.before


def _waiting(desk: Desk, arrival_id: int) -> ArrivalRow:
    row = desk.store.read.arrival(arrival_id)
    if row is None or row.state != "waiting":
        raise CannotJoin("One of the two waits no longer: another desk booked it, or took it off the list.")
    return row


def _keeps(desk: Desk, mine: int, other: int) -> int:
    """Which of two arrivals goes on: one that is known by its file, or has files already, else the one in the form."""
    rows = [_waiting(desk, each) for each in (mine, other)]
    files = desk.store.read.files_of([mine, other])
    return max(rows, key=lambda row: (row.fingerprint is not None, row.arrival_id in files)).arrival_id


@dataclass(frozen=True)
class _Joint:
    """What two arrivals prescribe together, as the kept one is to have it."""

    content: Details
    practice: str
    label: str
    reference: str
    problem: str
    left_out: tuple[str, ...] = ()

    @classmethod
    def of(cls, desk: Desk, into: ArrivalRow, row: ArrivalRow) -> "_Joint":
        """Raises CannotJoin where both are orders, and for different appliances."""
        practices = desk.practices()
        cases = {each.arrival_id: waiting_case(desk, each, practices) for each in (into, row)}
        _refuse_two_orders(desk, *cases.values())
        first, second = into, row
        if cases[row.arrival_id].appliances and not cases[into.arrival_id].appliances:
            first, second = row, into
        case, other = cases[first.arrival_id], cases[second.arrival_id]
        content = _content(desk, (first, case), (second, other))
        return cls(
            content=content,
            practice=first.practice or second.practice,
            label=first.patient_label or second.patient_label,
            reference=first.patient_reference or second.patient_reference,
            problem="" if content else first.problem or second.problem,
            left_out=left_out(case.model_copy(update={"notes": other.notes}), other),  # notes are of both
        )


def _content(desk: Desk, first: tuple[ArrivalRow, Case], second: tuple[ArrivalRow, Case]) -> Details:
    said, other = first[0].prescription, second[0].prescription
    if not said or not other:
        return said or other
    typed = _typed(desk, *first)
    both = joined_form(typed, _typed(desk, *second))
    kept, more = _kept(said), _kept(other)
    condition = both_conditions(kept.condition if kept else None, more.condition if more else None)
    if both == typed and condition == (kept.condition if kept else None):
        return said
    taken_back = said if said.get("case_id") else other
    kept = kept or more
    if kept is not None or condition is not None:
        kept = (kept or Case()).model_copy(update={"condition": condition})
    return {
        "typed": both,
        "kept": kept.model_dump(mode="json") if kept else None,
        "case_id": taken_back.get("case_id"),
        "version": taken_back.get("version"),
    }


def _kept(prescription: Details) -> Case | None:
    return Case.model_validate(prescription["case"]) if "case" in prescription else kept_case(prescription)


def _typed(desk: Desk, row: ArrivalRow, case: Case) -> Mapping[str, str]:
    """An arrival's form. Of scans alone nothing is said of disinfection, so that a parcel that joins them is asked."""
    typed = row.prescription.get("typed") or written_form(case, desk.lab, desk.practices())
    if scans_of(desk, row.arrival_id).put_to(case).stream == "scan" and case.hygiene != "not-disinfected":
        typed = {place: text for place, text in typed.items() if place != "hygiene"}
    return _said(typed)


def _said(typed: Mapping[str, str]) -> dict[str, str]:
    return {place: text.strip() for place, text in typed.items() if text.strip()}


def _refuse_two_orders(desk: Desk, *cases: Case) -> None:
    orders = [names for names in (appliance_names(case, desk.lab) for case in cases) if names]
    if len(set(orders)) > 1:
        named = " and the other ".join(listed(names) for names in orders)
        raise CannotJoin(f"These are two orders: one asks for {named}. Book each of them in.")
