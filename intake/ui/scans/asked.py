"""What the window asks of the desk about scans, on the threads of the job runner."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.scan_checks import Checker
    from intake.desk.scan_panel import ScanPanel
    from intake.domain.scan_figures import JawKind
    from intake.inbox.mesh.turntable import Turntable
    from intake.inbox.mesh.worker import Worker


@dataclass(frozen=True)
class Found:
    """What a check brought about."""

    arrival_ids: tuple[int, ...] = ()
    """The arrivals of which something was found."""
    issued: "tuple[Issued, ...]" = ()
    """What became of the tickets of cases that were booked before."""


Chosen = tuple[str | None, str | None]
"""The jaw and the unit that a person chose of a scan."""


def panel(desk: "Desk", arrival_id: int) -> "ScanPanel":
    """What is shown of the scans of an arrival."""
    from intake.desk.scan_panel import scan_panel

    return scan_panel(desk, arrival_id)


def worker() -> "Worker":
    """The process that checks scans; it begins with the first one."""
    from intake.inbox.mesh.worker import Worker

    return Worker()


def left_to_check(desk: "Desk") -> int:
    """How many scans are still to be checked."""
    from intake.desk.scan_checks import left_to_check

    return left_to_check(desk)


def check_next(desk: "Desk", checker: "Checker") -> Found | None:
    """Checks the next scan, or measures the arches that are left; None where nothing is."""
    from intake.desk.issue import issue_all
    from intake.desk.scan_checks import check_next, measure_what_is_left

    checked = check_next(desk, checker)
    if checked is not None:
        return Found(checked.arrival_ids, issue_all(desk, checked.tickets))
    measured = measure_what_is_left(desk, checker)
    return Found(measured) if measured else None


def measure(desk: "Desk", checker: "Checker", arrival_id: int) -> Found:
    """Measures how the arches of an arrival stand, where that is not known as they are now."""
    from intake.desk.issue import issue_all
    from intake.desk.scan_checks import measure_arches, tell_case

    measured = measure_arches(desk, checker, arrival_id)
    return Found((arrival_id,) if measured else (), issue_all(desk, tell_case(desk, arrival_id)))


def choose(desk: "Desk", file_id: int, jaw: "JawKind | None", unit: str | None) -> Chosen:
    """Keeps what was chosen of a scan; gives what was chosen of it before."""
    from intake.desk.scan_checks import choose

    before = desk.store.read.file(file_id)
    choose(desk, file_id, jaw=jaw, unit=unit)
    return (before.jaw_chosen, before.unit_chosen) if before is not None else (None, None)


def unchoose(desk: "Desk", file_id: int, before: Chosen) -> None:
    """Undoes a choice: the scan is what it was before."""
    from intake.desk.scan_checks import unchoose

    unchoose(desk, file_id, *cast("tuple[JawKind | None, str | None]", before))


def turntable(desk: "Desk", panel: "ScanPanel", row: int) -> "Turntable | None":
    """A scan of an arrival to be turned, or, behind the last, both arches; None where it cannot be read."""
    from intake.desk.scan_panel import pair_of, scan_of
    from intake.inbox.mesh.turntable import Turntable

    if row < len(panel.shown):
        scan = panel.shown[row]
        mesh = scan_of(desk, scan)
        return Turntable.of_one(mesh, scan.seen.jaw.jaw, scan.seen.unit.millimetres) if mesh is not None else None
    pair = pair_of(desk, panel)
    return Turntable.of_two(*pair, 1.0) if pair is not None else None
