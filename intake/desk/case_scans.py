"""The scans of a case: those of the arrivals that were booked as it, the newest first.

A case that was split off, or made again, has no arrival of its own: its scans are those of the case before.
"""

from intake.desk.desk import Desk
from intake.desk.linked import came_of
from intake.desk.scan_looks import Scans, scans_of_all
from intake.desk.scan_panel import ScanPanel, scan_panel


def has_scans(desk: Desk, case_id: int) -> bool:
    """Whether the file of a scan came with a case."""
    arrivals = _arrivals(desk, case_id)
    files = desk.store.read.files_of(arrivals).values() if arrivals else ()
    return any(row.kind == "scan" for rows in files for row in rows)


def scans_of_case(desk: Desk, case_id: int) -> dict[int, Scans]:
    """The scans of each arrival of a case that brought some, the newest arrival first."""
    arrivals = _arrivals(desk, case_id)
    found = scans_of_all(desk, arrivals)
    return {arrival: found[arrival] for arrival in reversed(arrivals) if arrival in found and found[arrival].scans}


def panel_of_case(desk: Desk, case_id: int) -> ScanPanel | None:
    """What is shown of the scans of a case, of the newest that came; None where no file of one did."""
    newest = next(iter(scans_of_case(desk, case_id)), None)
    return scan_panel(desk, newest) if newest is not None else None


def _arrivals(desk: Desk, case_id: int) -> list[int]:
    """The arrivals of a case, and of those that it was split off from or made anew of, the oldest first."""
    cases = (case_id, *came_of(desk, case_id))
    return sorted(row.arrival_id for each in cases for row in desk.store.read.arrivals_of_case(each))
