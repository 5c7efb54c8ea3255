"""What leaves the store of scans: the files of arrivals, what was measured, how two arches stand."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from intake.domain.scan_figures import BiteFigures, MeshFigures, PairFigures
from intake.store.words import FileKind, ScanState


@dataclass(frozen=True)
class NewFile:
    """One file of a delivery, whose content lies in the scan store."""

    kind: FileKind
    name: str
    sha256: str
    bytes: int
    problem: str = ""
    """Why it was refused."""


class FileRow(NamedTuple):
    """One file of an arrival; of a mesh with what was measured of it."""

    file_id: int
    arrival_id: int
    came_with: int
    kind: FileKind
    name: str
    sha256: str
    bytes: int
    problem: str
    unit_chosen: str | None
    jaw_chosen: str | None
    scan_id: int | None
    scan_state: ScanState | None
    scan_problem: str | None
    format: str | None
    unit: str | None
    left_out: int | None
    remarks: list[str] | None
    like: list[int] | None
    figures: MeshFigures | None


class UncheckedRow(NamedTuple):
    """A mesh that is still to be checked."""

    scan_id: int
    sha256: str
    name: str


class BroughtRow(NamedTuple):
    """An arrival that brought a scan."""

    scan_id: int
    arrival_id: int
    case_id: int | None
    patient_label: str
    patient_reference: str
    arrived: datetime


@dataclass(frozen=True)
class Measured:
    """What was measured of a mesh, or why it could not be read."""

    figures: MeshFigures | None
    problem: str = ""
    format: str | None = None
    unit: str | None = None
    left_out: int = 0
    remarks: tuple[str, ...] = ()
    like: tuple[int, ...] = ()
    """The scans before it that show the same surface."""
    png: bytes = b""


@dataclass(frozen=True)
class ArchesRow:
    """How two arches stand to one another, or why that could not be measured."""

    arrival_id: int
    of: dict[str, Any]
    problem: str
    figures: PairFigures | None
    bite: BiteFigures | None


@dataclass(frozen=True)
class DeliveryRow:
    """A delivery that came before."""

    key: str
    arrival_id: int
    at: datetime
