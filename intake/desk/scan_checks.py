"""Checks the scans that came, one after the other, and measures how the arches of an arrival stand."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from intake.desk.amending import bring_in_line
from intake.desk.desk import Desk
from intake.desk.scan_looks import scans_of, scans_of_all, to_measure
from intake.domain.scan_figures import JawKind, MeshFigures
from intake.domain.scan_rules import ScanRules
from intake.domain.scan_signature import same_scan
from intake.inbox.mesh.checked import CheckedArches, CheckedMesh, Placed
from intake.inbox.scan_files import NoRoom
from intake.store.scan_rows import Measured, UncheckedRow

_ABOUT_THE_SAME = 0.011
"""Scans whose size differs by a greater share are not the same: `scan_signature` allows 0.01 of the longer."""


class Checker(Protocol):
    """Whatever checks meshes: a process of its own in the window, this one in a command."""

    def mesh(self, path: Path, name: str, rules: ScanRules) -> CheckedMesh:
        """Checks one mesh."""

    def arches(self, upper: Placed, lower: Placed, bite: Placed | None) -> CheckedArches | str:
        """Measures two arches; why not, where they could not be."""


class CheckHere:
    """Checks in this process, for commands and tests."""

    def mesh(self, path: Path, name: str, rules: ScanRules) -> CheckedMesh:
        """Checks one mesh."""
        from intake.inbox.mesh.checking import check_mesh  # numpy and scipy are slow to import

        return check_mesh(path, name, rules)

    def arches(self, upper: Placed, lower: Placed, bite: Placed | None) -> CheckedArches | str:
        """Measures two arches; why not, where they could not be."""
        from intake.inbox.mesh.checking import check_arches

        return check_arches(upper, lower, bite)


@dataclass(frozen=True)
class ScanChecked:
    """A scan that was checked now, and how many still wait for it."""

    scan_id: int
    name: str
    arrival_ids: tuple[int, ...]
    left: int
    tickets: tuple[int, ...] = ()
    """The tickets that wait to be printed: of cases that were booked before their scans were checked."""


def check_next(desk: Desk, checker: Checker) -> ScanChecked | None:
    """Checks the next scan and keeps what was found; None where all are checked.

    The arches of its arrivals are measured as soon as both are there. A scan whose file does not lie here, as on
    another computer, is left to the desk that has it.
    """
    waiting = _waiting(desk)
    if not waiting:
        return None
    row = waiting[0]
    measured = _measured(desk, checker, row)
    with desk.work() as work:
        work.scans.measured(row.scan_id, measured)
        work.commit()
    arrivals = tuple(dict.fromkeys(each.arrival_id for each in desk.store.read.brought([row.scan_id])))
    tickets: list[int] = []
    for arrival_id in arrivals:
        measure_arches(desk, checker, arrival_id)
        tickets += tell_case(desk, arrival_id)
    if measured.figures is None:
        with suppress(NoRoom):  # it stays where it is, and nobody opens it there either
            desk.scan_files.refuse(row.sha256)
    return ScanChecked(row.scan_id, row.name, arrivals, len(waiting) - 1, tuple(tickets))


def left_to_check(desk: Desk) -> int:
    """How many scans are still to be checked whose files lie here."""
    return len(_waiting(desk))


def _waiting(desk: Desk) -> list[UncheckedRow]:
    return [row for row in desk.store.read.unchecked() if desk.scan_files.path(row.sha256).exists()]


def check_all(desk: Desk, checker: Checker) -> int:
    """Checks every scan that waits for it; gives how many there were."""
    count = 0
    while check_next(desk, checker) is not None:
        count += 1
    measure_what_is_left(desk, checker)
    return count


def measure_arches(desk: Desk, checker: Checker, arrival_id: int) -> bool:
    """Measures how the arches of an arrival stand, where both are there and were not measured as they are now.

    Whether it could be measured; why not is kept, so that it is tried once.
    """
    of = to_measure(scans_of(desk, arrival_id).scans)
    known = desk.store.read.arches_of([arrival_id]).get(arrival_id)
    if of is None or (known is not None and known.of == of):
        return False
    if not all(desk.scan_files.path(sha256).exists() for sha256, _ in of.values()):  # they lie at another desk
        return False
    found = between_arches(desk, checker, of)
    with desk.work() as work:
        if isinstance(found, str):
            work.scans.arches_not_measured(arrival_id, of, found)
        else:
            work.scans.arches(arrival_id, of, found.figures, found.bite, found.pictures)
        work.commit()
    return not isinstance(found, str)


def measure_what_is_left(desk: Desk, checker: Checker) -> tuple[int, ...]:
    """Measures the arches of what waits that were not measured when their scans were: the desk was closed meanwhile.

    Gives the arrivals whose arches were measured now.
    """
    scans = scans_of_all(desk, [row.arrival_id for row in desk.store.read.arrivals("waiting")])
    known = desk.store.read.arches_of(scans)
    wanted = {arrival_id: of for arrival_id, seen in scans.items() if (of := to_measure(seen.scans)) is not None}
    new = [each for each, of in wanted.items() if each not in known or known[each].of != of]
    return tuple(each for each in new if measure_arches(desk, checker, each))


def between_arches(desk: Desk, checker: Checker, of: Mapping[str, Any]) -> CheckedArches | str:
    """How two arches stand, of what `to_measure` names; why not, where that could not be measured."""
    bite = _placed(desk, of["bite"]) if "bite" in of else None
    return checker.arches(_placed(desk, of["upper"]), _placed(desk, of["lower"]), bite)


def tell_case(desk: Desk, arrival_id: int) -> tuple[int, ...]:
    """Brings the case of an arrival that is booked already in line with what was seen of its scans.

    Gives the tickets that wait to be printed after it.
    """
    arrival = desk.store.read.arrival(arrival_id)
    if arrival is None or arrival.case_id is None or arrival.state != "booked":
        return ()
    scans = scans_of(desk, arrival_id)
    with desk.work() as work:
        row = desk.store.read.case(arrival.case_id)
        if row is None or row.state != "open":
            return ()
        seen = scans.put_to(row.case)
        if seen == row.case:
            return ()
        amended = bring_in_line(desk, work, row.case_id, row.version, seen, desk.practice_of(seen))
        work.commit()
    return amended.tickets


def choose(desk: Desk, file_id: int, *, jaw: JawKind | None = None, unit: str | None = None) -> None:
    """Keeps what a person chose of a scan. Whatever hangs on it is measured anew by `measure_arches`."""
    row = desk.store.read.file(file_id)
    if row is None:
        return
    with desk.work() as work:
        work.scans.choose(file_id, jaw=jaw or row.jaw_chosen, unit=unit or row.unit_chosen)
        work.commit()


def unchoose(desk: Desk, file_id: int, jaw: JawKind | None, unit: str | None) -> None:
    """Undoes a choice: the file is again what it was before."""
    with desk.work() as work:
        work.scans.choose(file_id, jaw=jaw, unit=unit)
        work.commit()


def _placed(desk: Desk, of: Any) -> Placed:
    sha256, millimetres = of
    return desk.scan_files.path(sha256), float(millimetres)


def _measured(desk: Desk, checker: Checker, row: UncheckedRow) -> Measured:
    checked = checker.mesh(desk.scan_files.path(row.sha256), row.name, desk.lab.scans)
    like: tuple[int, ...] = ()
    if checked.figures is not None:
        like = _alike(desk, row, checked.figures)
    found = checked.figures, checked.problem, checked.format, checked.unit, checked.left_out
    return Measured(*found, remarks=checked.remarks, like=like, png=checked.png)


def _alike(desk: Desk, row: UncheckedRow, figures: MeshFigures) -> tuple[int, ...]:
    """The earlier scans that show the same surface, however they were written."""
    if not figures.signature:
        return ()
    near: Mapping[int, MeshFigures] = desk.store.read.scans_of_size(figures.signature[0], _ABOUT_THE_SAME)
    return tuple(
        scan_id for scan_id, other in near.items() if scan_id != row.scan_id and same_scan(figures, other) != "no"
    )
