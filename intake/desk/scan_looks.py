"""The scans of an arrival as the desk sees them: judged by the lab's rules, from what was measured of each."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from intake.desk.desk import Desk
from intake.domain.case import Case, SeenArches, SeenScan
from intake.domain.form import read_form
from intake.domain.half_typed import HalfTyped
from intake.domain.item_phrases import items_words
from intake.domain.job_number import read_number
from intake.domain.scan_figures import JawKind
from intake.domain.scan_items import with_scans
from intake.domain.scan_judging import JawSeen, ScanLook, UnitSeen, jaw_of, judge_arches, judge_scan, unit_of
from intake.domain.wording import listed
from intake.domain.written_dates import short_day
from intake.store.scan_rows import ArchesRow, BroughtRow, FileRow

_ORDER: tuple[JawKind | None, ...] = ("upper", "lower", "bite", None)
"""In which scans are shown and written."""


@dataclass(frozen=True)
class ScanSeen:
    """One scan of an arrival."""

    file: FileRow
    look: ScanLook
    jaw: JawSeen
    unit: UnitSeen
    seen: SeenScan
    checked: bool
    """Whether it was looked at already."""


@dataclass(frozen=True)
class Scans:
    """The scans of one arrival, and the other files that came with them."""

    scans: tuple[ScanSeen, ...] = ()
    others: tuple[FileRow, ...] = ()
    arches: SeenArches | None = None
    """How the arches stand; None where that was not measured, or others were chosen since."""
    not_measured: str = ""
    """Why it could not be measured how they stand, in a sentence."""
    replaced: tuple[ScanSeen, ...] = ()
    """Scans of a jaw of which another one came later."""

    @property
    def unchecked(self) -> int:
        """How many scans nobody has looked at yet."""
        return sum(not each.checked for each in self.scans)

    def put_to(self, case: Case) -> Case:
        """A case with these scans."""
        return with_scans(case, [each.seen for each in self.scans], self.arches)


NO_SCANS = Scans()


def scans_in_form(desk: Desk, half: HalfTyped, scans: Scans) -> HalfTyped:
    """A form with the scans of its arrival among what came, and what was seen of them kept with it.

    What is typed of items and cannot be read yet stays as it is.
    """
    if not scans.scans:
        return half
    form = read_form(half.typed, desk.lab, desk.practices(), desk.now(), half.kept)
    items = items_words(scans.put_to(form.case).items, desk.lab)
    typed = half.typed if "items" in form.wrong else half.typed | {"items": items}
    return replace(half, typed=typed, kept=scans.put_to(half.kept or Case()))


def scans_of(desk: Desk, arrival_id: int) -> Scans:
    """The scans of one arrival."""
    return scans_of_all(desk, [arrival_id]).get(arrival_id, NO_SCANS)


def scans_of_all(desk: Desk, arrival_ids: Collection[int]) -> dict[int, Scans]:
    """The scans of arrivals; one that brought no files is left out."""
    files = desk.store.read.files_of(arrival_ids)
    arches = desk.store.read.arches_of(files)
    before = _before(desk, [row for rows in files.values() for row in rows])
    return {
        arrival_id: _scans(desk, rows, arches.get(arrival_id), before.get(arrival_id, {}))
        for arrival_id, rows in files.items()
    }


def scans_with(desk: Desk, arrival_id: int, other_id: int) -> Scans:
    """The scans of an arrival as they are once the files of another one are put to it."""
    together = arrival_id, other_id
    files = [row for rows in desk.store.read.files_of(together).values() for row in rows]
    rows = [row._replace(arrival_id=arrival_id) for row in sorted(files, key=lambda row: row.file_id)]
    arches = desk.store.read.arches_of([arrival_id]).get(arrival_id)
    return _scans(desk, rows, arches, _before(desk, rows, together).get(arrival_id, {}))


def _scans(desk: Desk, files: Sequence[FileRow], arches: ArchesRow | None, before: Mapping[int, str]) -> Scans:
    rules = desk.lab.scans
    seen = []
    for row in files:
        if row.kind != "scan":
            continue
        look = _look(row, before.get(row.file_id, ""))
        checked = row.scan_state != "unchecked"
        judged = judge_scan(look, rules) if checked else SeenScan(shows=jaw_of(look).jaw, name=look.name)
        seen.append(ScanSeen(row, look, jaw_of(look), unit_of(look, rules), judged, checked))
    seen.sort(key=lambda scan: _ORDER.index(scan.jaw.jaw))
    seen, replaced = _newest(seen)
    others = tuple(row for row in files if row.kind != "scan")
    if arches is None or arches.of != to_measure(seen):
        return Scans(tuple(seen), others, replaced=replaced)
    stands = judge_arches(arches.figures, arches.bite, rules) if arches.figures is not None else None
    return Scans(tuple(seen), others, stands, arches.problem, replaced)


def _newest(seen: Sequence[ScanSeen]) -> tuple[list[ScanSeen], tuple[ScanSeen, ...]]:
    """The scans that stand, and those that a later delivery brought another of the same jaw for, if that is sure."""
    latest: dict[JawKind | None, int] = {}
    for scan in seen:
        if scan.jaw.sure and scan.look.figures is not None:
            latest[scan.jaw.jaw] = max(scan.file.came_with, latest.get(scan.jaw.jaw, 0))
    stands = [scan for scan in seen if scan.file.came_with >= latest.get(scan.jaw.jaw, 0)]
    return stands, tuple(scan for scan in seen if scan not in stands)


def _look(row: FileRow, before: str) -> ScanLook:
    return ScanLook(
        name=row.name,
        figures=row.figures,
        problem=row.scan_problem or "",
        unit_stated=row.unit,
        unit_chosen=row.unit_chosen,
        jaw_chosen=_jaw(row.jaw_chosen),
        left_out=row.left_out or 0,
        remarks=tuple(row.remarks or ()),
        before=before,
    )


def _jaw(chosen: str | None) -> JawKind | None:
    return next((jaw for jaw in ("upper", "lower", "bite") if jaw == chosen), None)


def to_measure(scans: Iterable[ScanSeen]) -> dict[str, Any] | None:
    """What has to be measured to say how the arches stand: the content and the mm of each; None while one is missing.

    Of several uppers or lowers the first that can be used is taken.
    """
    of: dict[str, Any] = {}
    for scan in scans:
        if scan.jaw.jaw and scan.look.figures is not None and scan.unit.millimetres is not None:
            of.setdefault(scan.jaw.jaw, [scan.file.sha256, scan.unit.millimetres])
    return of if "upper" in of and "lower" in of else None


def _before(desk: Desk, files: Sequence[FileRow], together: Collection[int] = ()) -> dict[int, dict[int, str]]:
    """For each arrival and file where the same scan came before, in words; `together` are arrivals that are one."""
    scans = [row for row in files if row.scan_id is not None]
    wanted = {scan_id for row in scans for scan_id in (row.scan_id, *(row.like or ())) if scan_id is not None}
    by_scan: dict[int, list[BroughtRow]] = {}
    for brought in desk.store.read.brought(wanted):
        if brought.arrival_id in together:
            continue
        by_scan.setdefault(brought.scan_id, []).append(brought)
    of_arrival: dict[int, list[FileRow]] = {}
    for row in scans:
        of_arrival.setdefault(row.arrival_id, []).append(row)
    told: dict[int, dict[int, str]] = {}
    for row in scans:
        same = [brought for scan_id in (row.scan_id, *(row.like or ())) for brought in by_scan.get(scan_id or 0, ())]
        earlier = next((each for each in same if each.arrival_id < row.arrival_id), None)
        twin = next((other.name for other in of_arrival[row.arrival_id] if _is_twin(row, other)), "")
        if earlier is not None:
            told.setdefault(row.arrival_id, {})[row.file_id] = _came(desk, earlier)
        elif twin:
            told.setdefault(row.arrival_id, {})[row.file_id] = f"it is the same surface as “{twin}”"
    return told


def _is_twin(row: FileRow, other: FileRow) -> bool:
    """Whether another file of the same arrival shows the same surface and came earlier."""
    same = other.scan_id == row.scan_id or other.scan_id in (row.like or ()) or row.scan_id in (other.like or ())
    return other.file_id < row.file_id and same


def _came(desk: Desk, brought: BroughtRow) -> str:
    who = brought.patient_reference or brought.patient_label or "a patient who was not named"
    jobs = desk.store.read.jobs_of(brought.case_id) if brought.case_id is not None else ()
    numbers = [read_number(job.number).shown for job in jobs if job.state != "withdrawn"]
    return f"on {short_day(brought.arrived.date())} for {who}" + (f", job {listed(numbers)}" if numbers else "")
