"""What became of a file or a delivery, as another program reads it (`intake-received/1`) and as a person does."""

from collections.abc import Iterator
from typing import Any, Literal

from intake.desk.desk import Desk
from intake.desk.receive import Received
from intake.desk.scan_looks import ScanSeen, scans_of
from intake.domain.wording import capital

RECEIVED_FORMAT: Literal["intake-received/1"] = "intake-received/1"


def received_file(desk: Desk, received: Received) -> dict[str, Any]:
    """What became of it; of scans with what was measured of each. Lengths are in mm where the unit is known.

    Where it is not, they are as the file has them, and `unit` is null.
    """
    scans = scans_of(desk, received.arrival_id) if received.arrival_id is not None else None
    told: dict[str, Any] = {
        "format": RECEIVED_FORMAT,
        "file": received.file,
        "what": received.what,
        "taken": received.taken,
        "already": received.already,
        "arrival": received.arrival_id,
        "said": received.said,
    }
    if scans is not None and (scans.scans or scans.others):
        told["scans"] = [_scan(each) for each in scans.scans]
        told["others"] = [{"name": row.name, "kind": row.kind, "problem": row.problem} for row in scans.others]
        told["arches"] = scans.arches.model_dump() if scans.arches is not None else None
        told["arches_problem"] = scans.not_measured
    return told


def _scan(scan: ScanSeen) -> dict[str, Any]:
    told: dict[str, Any] = {
        "name": scan.file.name,
        "sha256": scan.file.sha256,
        "format": scan.file.format,
        "jaw": scan.jaw.jaw,
        "jaw_because": scan.jaw.why,
        "unit": scan.unit.unit,
        "unit_because": scan.unit.why,
        "faults": [fault.model_dump() for fault in scan.seen.faults],
        "remarks": list(scan.look.remarks),
    }
    figures = scan.look.figures
    if figures is None:
        return told
    by = scan.unit.millimetres or 1.0
    return told | {
        "triangles": figures.triangles,
        "extents": [each * by for each in figures.extents],
        "box": [each * by for each in figures.box],
        "area": figures.area * by**2,
        "parts": figures.parts,
        "largest_share": figures.largest_share,
        "open_edges": figures.open_edges,
        "loops": [each * by for each in figures.loops],
        "flipped_share": figures.flipped_share,
        "non_manifold_share": figures.non_manifold_share,
    }


def received_lines(told: dict[str, Any]) -> Iterator[str]:
    """What became of it, in sentences."""
    yield told["said"]
    for scan in told.get("scans", ()):
        parts = [scan["jaw"] or "which jaw is not known"]
        if "extents" in scan:
            long, across, _ = scan["extents"]
            parts.append(f"{long:.1f} × {across:.1f} {scan['unit'] or 'units'}")
            parts.append(f"{scan['triangles']:,} triangles")
        yield f"  {scan['name']}: {', '.join(parts)}"
        for said in (*(fault["says"] for fault in scan["faults"]), *scan["remarks"]):
            yield f"    {_sentence(said)}"
    for other in told.get("others", ()):
        yield f"  {other['name']}: {other['problem'] or other['kind']}"
    if told.get("arches"):
        yield f"  {_sentence(told['arches']['says'])}"
    if told.get("arches_problem"):
        yield f"  How the arches stand could not be measured: {told['arches_problem']}"


def _sentence(said: str) -> str:
    return capital(said if said.endswith((".", "?")) else f"{said}.")
