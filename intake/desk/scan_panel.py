"""Everything that is shown of the scans of one arrival: what was seen of each, the pictures, and the message."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from intake.desk.desk import Desk
from intake.desk.scan_looks import Scans, ScanSeen, scans_of, to_measure
from intake.domain.case import ScanFault
from intake.domain.scan_judging import UNIT_WORDS
from intake.domain.wording import capital
from intake.inbox.message import MailUnreadable, ReadMail, read_mail

if TYPE_CHECKING:
    from intake.inbox.mesh.mesh import Mesh

_NAME = 24
"""Characters of a file's name that are shown beside its picture."""
_SHORT: dict[ScanFault, str] = {
    "unreadable": "cannot be read",
    "unit": "which unit is not sure",
    "jaw": "which jaw is not sure",
    "part": "part of an arch",
    "broken": "damaged",
    "twice": "came before",
}


@dataclass(frozen=True)
class ScanShown:
    """One scan, as it is shown."""

    seen: ScanSeen
    png: bytes
    """Its picture; empty while it was not checked, or where it cannot be read."""

    @property
    def name(self) -> str:
        """What stands under its picture: `Upper`, `Lower?`, `Which jaw?`."""
        if not self.seen.checked:
            return "Checking …"
        if self.seen.look.figures is None:
            return "Not read"
        if self.seen.jaw.jaw is None:
            return "Which jaw?"
        return capital(self.seen.jaw.jaw) + ("" if self.seen.jaw.sure else "?")

    @property
    def size(self) -> str:
        """How large it is: `63.7 × 48.7 mm, 85,232 triangles`."""
        figures = self.seen.look.figures
        if figures is None:
            return ""
        by = self.seen.unit.millimetres
        long, across, _ = (each * (by or 1) for each in figures.extents)
        unit = "mm" if by else "of a unit that is not known"
        return f"{long:.1f} × {across:.1f} {unit}, {figures.triangles:,} triangles"

    @property
    def unit_offered(self) -> str:
        """The unit that it is most likely in, in words, while a person has to say; empty otherwise."""
        unit = self.seen.unit
        return UNIT_WORDS[unit.guess] if unit.unit is None and unit.guess is not None else ""

    @property
    def facts(self) -> tuple[str, ...]:
        """What was measured of it, and how its jaw and its unit are known, a sentence each."""
        jaw, unit = self.seen.jaw, self.seen.unit
        told = (self.size, f"Jaw: {jaw.why}", f"Unit: {unit.unit or 'not known'}, {unit.why}")
        return tuple(map(_sentence, filter(None, told))) if self.size else ()

    @property
    def short(self) -> str:
        """What is wrong with it, in a few words: `Upper: part of an arch.` Which jaw it is stands under its picture."""
        said = [_SHORT[fault.fault] for fault in self.seen.seen.faults if fault.fault != "jaw"]
        name = self.name.rstrip("?") if self.seen.jaw.jaw and self.size else _shortened(self.seen.file.name)
        return f"{name}: {', '.join(said)}." if said else ""

    @property
    def faults(self) -> tuple[str, ...]:
        """What is wrong with it, and what was odd about its file, in sentences."""
        said = (*(fault.says for fault in self.seen.seen.faults), *self.seen.look.remarks)
        return tuple(_sentence(each) for each in said)


@dataclass(frozen=True)
class ScanPanel:
    """What is shown of the scans of an arrival."""

    arrival_id: int
    scans: Scans
    shown: tuple[ScanShown, ...]
    pair: tuple[bytes, ...]
    """Both arches from the front, the right and the left; empty while they were not measured."""
    message: ReadMail | None
    problems: tuple[str, ...]
    """The files that were refused, each in a sentence."""

    @property
    def arches(self) -> str:
        """How the arches stand, or why that cannot be measured, in a sentence; empty while that is not known."""
        says = self.scans.arches.says if self.scans.arches is not None else self.scans.not_measured
        return _sentence(says) if says else ""

    @property
    def arches_short(self) -> str:
        """The same with its first number only."""
        return _sentence(self.scans.arches.says.partition(", ")[0]) if self.scans.arches is not None else self.arches

    @property
    def is_empty(self) -> bool:
        """Whether the arrival brought nothing that is shown."""
        return not (self.shown or self.message or self.problems)


def scan_panel(desk: Desk, arrival_id: int) -> ScanPanel:
    """What is shown of the scans of an arrival."""
    scans = scans_of(desk, arrival_id)
    pictures = {each.file.scan_id: desk.store.read.scan_picture(each.file.scan_id or 0) for each in scans.scans}
    shown = tuple(ScanShown(each, pictures[each.file.scan_id] or b"") for each in scans.scans)
    message = next((row for row in scans.others if row.kind == "message"), None)
    return ScanPanel(
        arrival_id=arrival_id,
        scans=scans,
        shown=shown,
        pair=desk.store.read.arches_pictures(arrival_id) if scans.arches is not None else (),
        message=_message(desk, message.sha256) if message is not None else None,
        problems=tuple(_sentence(row.problem) for row in scans.others if row.problem),
    )


def scan_of(desk: Desk, scan: ScanShown) -> "Mesh | None":
    """The surface of a scan; None where it cannot be read."""
    from intake.inbox.mesh.formats import read_mesh  # numpy is slow to import, and few scans are looked at so closely
    from intake.inbox.mesh.mesh import MeshRefused

    try:
        return read_mesh(desk.scan_files.path(scan.seen.file.sha256)).mesh
    except MeshRefused:
        return None


def pair_of(desk: Desk, panel: ScanPanel) -> "tuple[Mesh, Mesh] | None":
    """The upper and the lower of an arrival as they were measured, in mm; None where one is missing."""
    from intake.inbox.mesh.checking import in_mm
    from intake.inbox.mesh.mesh import MeshRefused

    of = to_measure(panel.scans.scans)
    if of is None:
        return None
    try:
        upper, lower = (in_mm((desk.scan_files.path(of[jaw][0]), of[jaw][1])) for jaw in ("upper", "lower"))
    except MeshRefused:
        return None
    return upper, lower


def _message(desk: Desk, sha256: str) -> ReadMail | None:
    try:
        return read_mail(desk.scan_files.path(sha256).read_bytes())
    except (MailUnreadable, OSError):
        return None


def _shortened(name: str) -> str:
    """The name of a file; of a long one its beginning and its end."""
    return name if len(name) <= _NAME else f"{name[: _NAME // 2]}…{name[-_NAME // 2 :]}"


def _sentence(said: str) -> str:
    return capital(said if said.endswith((".", "?")) else f"{said}.")
