"""What is read of scans: the files of arrivals, what is still to be checked, what came before."""

from collections.abc import Collection

from sqlalchemy import select

from intake.domain.scan_figures import MeshFigures
from intake.store.scan_rows import ArchesRow, BroughtRow, DeliveryRow, FileRow, UncheckedRow
from intake.store.scan_tables import (
    ArchesTable,
    ArrivalFileTable,
    DeliveryTable,
    MailboxTable,
    ScanPictureTable,
    ScanTable,
    SenderTable,
)
from intake.store.selecting import Selecting, parts
from intake.store.selects import AnySelect
from intake.store.tables import ArrivalTable

_FILES: AnySelect = select(
    ArrivalFileTable.id,
    ArrivalFileTable.arrival_id,
    ArrivalFileTable.came_with,
    ArrivalFileTable.kind,
    ArrivalFileTable.name,
    ArrivalFileTable.sha256,
    ArrivalFileTable.bytes,
    ArrivalFileTable.problem,
    ArrivalFileTable.unit_chosen,
    ArrivalFileTable.jaw_chosen,
    ArrivalFileTable.scan_id,
    ScanTable.state,
    ScanTable.problem,
    ScanTable.format,
    ScanTable.unit,
    ScanTable.left_out,
    ScanTable.remarks,
    ScanTable.like,
    ScanTable.figures,
).outerjoin(ScanTable, ScanTable.id == ArrivalFileTable.scan_id)


class ScanReading(Selecting):
    """Scans and deliveries."""

    def files_of(self, arrival_ids: Collection[int]) -> dict[int, tuple[FileRow, ...]]:
        """The files of arrivals, each in the order they came; an arrival without any is left out."""
        found: dict[int, tuple[FileRow, ...]] = {}
        for part in parts(arrival_ids):
            files = _FILES.where(ArrivalFileTable.arrival_id.in_(part)).order_by(ArrivalFileTable.id)
            for row in map(FileRow._make, self._all(files)):
                found[row.arrival_id] = (*found.get(row.arrival_id, ()), row)
        return found

    def brought_by(self, arrival_id: int) -> tuple[FileRow, ...]:
        """The files that an arrival brought, wherever they were put since."""
        brought = _FILES.where(ArrivalFileTable.came_with == arrival_id).order_by(ArrivalFileTable.id)
        return tuple(map(FileRow._make, self._all(brought)))

    def scan_arrival_of(self, case_id: int) -> int | None:
        """The arrival that a case has its scans of; None where it has none."""
        found = select(ArrivalTable.id).join(ArrivalFileTable, ArrivalFileTable.arrival_id == ArrivalTable.id)
        found = found.where(ArrivalTable.case_id == case_id, ArrivalTable.state == "booked")
        found = found.where(ArrivalFileTable.kind == "scan").order_by(ArrivalTable.id).limit(1)
        return next((row[0] for row in self._all(found)), None)

    def file(self, file_id: int) -> FileRow | None:
        """One file."""
        return next(map(FileRow._make, self._all(_FILES.where(ArrivalFileTable.id == file_id))), None)

    def unchecked(self) -> tuple[UncheckedRow, ...]:
        """The meshes that are still to be checked, those that came first in front."""
        found = select(ScanTable.id, ScanTable.sha256, ArrivalFileTable.name)
        found = found.join(ArrivalFileTable, ArrivalFileTable.scan_id == ScanTable.id)
        found = found.where(ScanTable.state == "unchecked").order_by(ScanTable.id, ArrivalFileTable.id)
        return tuple({row.scan_id: row for row in map(UncheckedRow._make, self._all(found))}.values())

    def scans_of_size(self, size: float, share: float) -> dict[int, MeshFigures]:
        """What was measured of the scans whose size differs by no more than a share."""
        found = select(ScanTable.id, ScanTable.figures)
        found = found.where(ScanTable.size >= size * (1 - share), ScanTable.size <= size * (1 + share))
        return {scan_id: figures for scan_id, figures in self._all(found) if figures is not None}

    def brought(self, scan_ids: Collection[int]) -> tuple[BroughtRow, ...]:
        """The arrivals that brought some scans, those that came first in front."""
        found = select(
            ArrivalFileTable.scan_id,
            ArrivalFileTable.arrival_id,
            ArrivalTable.case_id,
            ArrivalTable.patient_label,
            ArrivalTable.patient_reference,
            ArrivalTable.arrived,
        ).join(ArrivalTable, ArrivalTable.id == ArrivalFileTable.arrival_id)
        selects = (found.where(ArrivalFileTable.scan_id.in_(part)) for part in parts(scan_ids))
        rows = (BroughtRow(*row) for each in selects for row in self._all(each.order_by(ArrivalFileTable.id)))
        return tuple(rows)

    def scan_picture(self, scan_id: int) -> bytes | None:
        """The picture of a mesh."""
        found = select(ScanPictureTable.png).where(ScanPictureTable.scan_id == scan_id)
        return next((row[0] for row in self._all(found)), None)

    def arches_of(self, arrival_ids: Collection[int]) -> dict[int, ArchesRow]:
        """How the arches of arrivals stand, as far as that was measured."""
        found: dict[int, ArchesRow] = {}
        columns = ArchesTable.arrival_id, ArchesTable.of, ArchesTable.problem, ArchesTable.figures, ArchesTable.bite
        for part in parts(arrival_ids):
            for row in self._all(select(*columns).where(ArchesTable.arrival_id.in_(part))):
                found[row[0]] = ArchesRow(*row)
        return found

    def arches_pictures(self, arrival_id: int) -> tuple[bytes, ...]:
        """The pictures of the arches from the front, the right and the left; none where they were not measured."""
        found = select(ArchesTable.front, ArchesTable.right, ArchesTable.left)
        found = found.where(ArchesTable.arrival_id == arrival_id, ArchesTable.problem == "")
        return next((tuple(row) for row in self._all(found)), ())

    def delivery(self, key: str) -> DeliveryRow | None:
        """A delivery that came before."""
        found = select(DeliveryTable.key, DeliveryTable.arrival_id, DeliveryTable.at).where(DeliveryTable.key == key)
        return next((DeliveryRow(*row) for row in self._all(found)), None)

    def deliveries(self, key: str, most: int = 20) -> tuple[DeliveryRow, ...]:
        """The deliveries of one key, and of the same with a number behind it (`key#12`), newest first."""
        found = select(DeliveryTable.key, DeliveryTable.arrival_id, DeliveryTable.at)
        numbered = DeliveryTable.key.startswith(f"{key}#", autoescape=True)
        found = found.where((DeliveryTable.key == key) | numbered).order_by(DeliveryTable.arrival_id.desc())
        return tuple(DeliveryRow(*row) for row in self._all(found.limit(most)))

    def sender_of(self, arrival_id: int) -> str:
        """The address that an arrival's message came from; empty where none did."""
        found = select(DeliveryTable.sender).where(DeliveryTable.arrival_id == arrival_id, DeliveryTable.sender != "")
        return next((row[0] for row in self._all(found)), "")

    def sender(self, address: str) -> str | None:
        """The code of the practice that an address stands for; empty where it sends for many, None where unknown."""
        found = select(SenderTable.practice_code).where(SenderTable.address == address.casefold())
        return next((row[0] or "" for row in self._all(found)), None)

    def mailbox(self, name: str) -> tuple[int, int] | None:
        """How far a mailbox was read: its validity and the last number."""
        found = select(MailboxTable.validity, MailboxTable.last).where(MailboxTable.name == name)
        return next(((row[0], row[1]) for row in self._all(found)), None)
