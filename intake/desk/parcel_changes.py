"""What is said of a parcel, corrected, and with it what was booked or waits with what was said before."""

from collections.abc import Sequence
from dataclasses import replace

from intake.desk.amending import bring_in_line
from intake.desk.desk import Desk
from intake.desk.parcel_arrivals import condition_of, correct
from intake.desk.parcel_entries import NewParcel, contents_in, facts_of, the_parcel
from intake.domain.case import Case, SeenCondition
from intake.store.parcel_rows import ContentRow, ParcelFacts
from intake.store.work import Work


def change_parcel(desk: Desk, parcel_id: int, version: int, new: NewParcel) -> int:
    """Corrects what is said of a parcel (`contents` and `arrived` of `new` do not count); its new version.

    What waits to be booked in gets the corrected facts where it still has the former ones, and so do cases that are
    booked; tickets that are out get their next copies, which wait to be printed. Raises ChangedMeanwhile.
    """
    return _change(desk, parcel_id, version, facts_of(desk, new))


def accept(desk: Desk, parcel_id: int, by: str) -> int:
    """Takes a parcel on in spite of what was seen; its new version. Empty `by` takes that back.

    Cases that are booked already are judged anew with it; a ticket that is out gets its next copy.
    """
    row = the_parcel(desk, parcel_id)
    return _change(desk, parcel_id, row.version, replace(row.facts, accepted_by=by.strip()))


def _change(desk: Desk, parcel_id: int, version: int, after: ParcelFacts) -> int:
    with desk.work() as work:
        before, contents = the_parcel(desk, parcel_id).facts, contents_in(desk, parcel_id)
        changed = work.parcels.change(parcel_id, version, after)
        arrivals = dict.fromkeys(each.arrival_id for each in contents if each.arrival_id is not None)
        rows = [row for each in arrivals if (row := desk.store.read.arrival(each)) is not None]
        correct(desk, work, rows, before, after)
        _correct_cases(desk, work, contents, before, after)
        work.commit()
    return changed


def _correct_cases(
    desk: Desk, work: Work, contents: Sequence[ContentRow], before: ParcelFacts, after: ParcelFacts
) -> None:
    """What was seen of a parcel, put right in the cases that were booked with it."""
    if condition_of(before) == condition_of(after):
        return
    booked = dict.fromkeys(each.case_id for each in contents if each.arrival_state == "booked")
    for case_id in booked:
        row = desk.store.read.case(case_id) if case_id is not None else None
        if row is None or row.state != "open":
            continue
        case = _with_condition(row.case, before, after)
        if case != row.case:
            bring_in_line(desk, work, row.case_id, row.version, case, desk.practice_of(case))


def _with_condition(case: Case, before: ParcelFacts, after: ParcelFacts) -> Case:
    """A case with what was seen of its parcel as it is said now; one that came in several keeps what else was seen."""
    was, seen = case.condition or SeenCondition(), set(before.seen)
    if was == condition_of(before):
        return case.model_copy(update={"condition": condition_of(after)})
    others = [each for each in was.seen if each not in seen]
    told = SeenCondition(seen=tuple(dict.fromkeys((*others, *after.seen))), note=was.note, accepted_by=was.accepted_by)
    if was.accepted_by == before.accepted_by:
        told = told.model_copy(update={"accepted_by": after.accepted_by})
    return case.model_copy(update={"condition": told})
