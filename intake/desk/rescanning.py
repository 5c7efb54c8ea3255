"""Adds scans that came later to a booked case: a scan of a jaw takes the place of the one before, and answers for it.

How the arches stand then is measured before anything is saved; all is saved in one act.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from intake.desk.amending import bring_in_line
from intake.desk.book_in import Booked, book_arrival_as, let_wait_again
from intake.desk.desk import Desk
from intake.desk.expected import CannotJoin
from intake.desk.scan_checks import Checker, between_arches
from intake.desk.scan_looks import Scans, scans_of, scans_with, to_measure
from intake.domain.case import Case
from intake.domain.matching import joined, with_said_scans
from intake.domain.partners import scans_settle
from intake.domain.scan_judging import judge_arches
from intake.inbox.mesh.checked import CheckedArches
from intake.store.meanwhile import NotThere
from intake.store.scan_rows import ArchesRow
from intake.store.work import Work


@dataclass(frozen=True)
class Between:
    """How two arches stand, of what `to_measure` names; why not, where that could not be measured."""

    of: Mapping[str, Any]
    found: CheckedArches | str


@dataclass(frozen=True)
class Rescanned:
    """A booked case that scans were added to."""

    booked: Booked
    before: Case
    """The case as it was."""
    query_ids: tuple[int, ...]
    """Its questions that scans can settle."""
    files: tuple[int, ...]
    """The ids of the files that were put to the arrival that the case has its scans of."""
    arches: tuple[ArchesRow, tuple[bytes, ...]] | None
    """How its arches stood there, with their pictures."""
    replaced: tuple[str, ...]
    """The names of the scans whose place another one took."""


def measure_together(desk: Desk, checker: Checker, arrival_id: int, case_id: int) -> Between | None:
    """How the arches of a case stand once the scans of an arrival are added.

    None where that is known, or one of them is missing. It takes seconds, and saves nothing. Raises CannotJoin where
    the files are not at this desk.
    """
    own_id, together = _together(desk, arrival_id, case_id)
    of = to_measure(together.scans)
    known = desk.store.read.arches_of([own_id]).get(own_id)
    if of is None or (known is not None and known.of == of):
        return None
    if not all(desk.scan_files.path(sha256).exists() for sha256, _ in of.values()):
        raise CannotJoin("The scans of this job were taken in at another desk. Put these to it there.")
    return Between(of, between_arches(desk, checker, of))


def join_scans_to_case(
    desk: Desk,
    arrival_id: int,
    case_id: int,
    version: int,
    measured: Between | None = None,
    arriving: Case | None = None,
) -> Rescanned:
    """Adds the scans of an arrival to a booked case; its questions that they settle are answered by them.

    The files lie with the scans that the case has, where it has any; else their own arrival is the case's from now on.

    Args:
        desk: The desk.
        arrival_id: The arrival that brought the scans; it is booked as the case's.
        case_id: The case.
        version: Its version when it was offered.
        measured: What `measure_together` found; it counts for nothing where other scans were chosen since.
        arriving: What else came with the scans, as the form has it.

    Raises:
        CannotJoin: there are no scans, or they were not all checked yet.
        ChangedMeanwhile: the case was changed since it was offered.
        BookedElsewhere: the arrival was booked meanwhile.
    """
    row = desk.store.read.case(case_id)
    if row is None:
        raise NotThere(f"There is no case {case_id}.")
    own_id, together = _together(desk, arrival_id, case_id)
    _refuse_unchecked(scans_of(desk, arrival_id), together)
    keeps = measured if measured is not None and measured.of == to_measure(together.scans) else None
    if keeps is not None and isinstance(keeps.found, CheckedArches):
        stands = judge_arches(keeps.found.figures, keeps.found.bite, desk.lab.scans)
        together = replace(together, arches=stands)
    case = together.put_to(joined(row.case, arriving) if arriving is not None else row.case)
    if own_id == arrival_id and not row.case.scans:
        case = with_said_scans(case, row.case)
    asked = [query for query in desk.store.read.queries_of(case_id) if query.state == "open"]
    queries = tuple(query.query_id for query in asked if scans_settle(query.requirement, desk.lab))
    before = _arches_of(desk, own_id)
    with desk.work() as work:
        amended = bring_in_line(desk, work, case_id, version, case, desk.practice_of(case), queries)
        book_arrival_as(desk, work, arrival_id, case_id)
        files = work.scans.move_files(arrival_id, own_id) if own_id != arrival_id else ()
        if keeps is not None:
            _keep_arches(work, own_id, keeps)
        work.commit()
    booked = Booked(case_id, amended.version, amended.jobs, amended.verdict, amended.tickets, arrival_id)
    replaced = tuple(scan.seen.shows or scan.seen.name for scan in together.replaced)
    return Rescanned(booked, row.case, queries, files, before, replaced)


def part_scans(desk: Desk, rescanned: Rescanned) -> Booked:
    """Undoes `join_scans_to_case`: the case is as it was, and the arrival waits again with its scans.

    Raises ChangedMeanwhile where the case was changed since.
    """
    booked, case = rescanned.booked, rescanned.before
    with desk.work() as work:
        work.answers.reopen(rescanned.query_ids)
        amended = bring_in_line(
            desk, work, booked.case_id, booked.version, case, desk.practice_of(case), rescanned.query_ids
        )
        let_wait_again(desk, work, booked.arrival_id)
        if booked.arrival_id is not None:
            work.scans.move_back(rescanned.files, booked.arrival_id)
        _arches_back(work, rescanned)
        work.commit()
    return replace(booked, version=amended.version, jobs=amended.jobs, verdict=amended.verdict, tickets=amended.tickets)


def _together(desk: Desk, arrival_id: int, case_id: int) -> tuple[int, Scans]:
    """The arrival that has the scans from now on, and all of them: the case's own one, where it has any."""
    own_id = desk.store.read.scan_arrival_of(case_id)
    if own_id is None or own_id == arrival_id:
        return arrival_id, scans_of(desk, arrival_id)
    return own_id, scans_with(desk, own_id, arrival_id)


def _refuse_unchecked(brought: Scans, together: Scans) -> None:
    if not brought.scans:
        raise CannotJoin("This arrival brought no scan.")
    if together.unchecked:
        raise CannotJoin("Not every scan was looked at yet. Put them there when that is done.")


def _keep_arches(work: Work, own_id: int, between: Between) -> None:
    found = between.found
    if isinstance(found, str):
        work.scans.arches_not_measured(own_id, dict(between.of), found)
    else:
        work.scans.arches(own_id, dict(between.of), found.figures, found.bite, found.pictures)


def _arches_of(desk: Desk, own_id: int) -> tuple[ArchesRow, tuple[bytes, ...]] | None:
    known = desk.store.read.arches_of([own_id]).get(own_id)
    return (known, desk.store.read.arches_pictures(own_id)) if known is not None else None


def _arches_back(work: Work, rescanned: Rescanned) -> None:
    """What stood there before is known again; what was measured of other scans counts for nothing by itself."""
    if rescanned.arches is None:
        return
    row, (front, right, left) = rescanned.arches
    if row.figures is not None:
        work.scans.arches(row.arrival_id, row.of, row.figures, row.bite, (front, right, left))
    else:
        work.scans.arches_not_measured(row.arrival_id, row.of, row.problem)
