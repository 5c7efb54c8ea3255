"""Scans in a unit of work: deliveries and their files, what was measured, what a person chose, joins."""

from collections.abc import Collection, Iterable
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.domain.scan_figures import BiteFigures, PairFigures
from intake.store.chain import Journal, Subject
from intake.store.meanwhile import NotThere
from intake.store.scan_rows import Measured, NewFile
from intake.store.scan_tables import (
    ArchesTable,
    ArrivalFileTable,
    DeliveryTable,
    MailboxTable,
    ScanPictureTable,
    ScanTable,
    SenderTable,
)


class Scans:
    """The scans of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def delivered(self, key: str, arrival_id: int, sender: str = "") -> None:
        """Remember what a delivery is told by, and who sent it; a key that is known keeps its arrival."""
        if self._session.get(DeliveryTable, key) is None:
            self._session.add(DeliveryTable(key=key, arrival_id=arrival_id, at=self._journal.at, sender=sender))
            self._session.flush()

    def add_files(self, arrival_id: int, files: Iterable[NewFile]) -> None:
        """Add files to an arrival, each content once for its name; a mesh that is new waits to be checked.

        So does one that could not be read when it came before.
        """
        of_arrival = select(ArrivalFileTable.sha256, ArrivalFileTable.name)
        known = {
            tuple(row) for row in self._session.execute(of_arrival.where(ArrivalFileTable.arrival_id == arrival_id))
        }
        for file in files:
            if (file.sha256, file.name) in known:
                continue
            known.add((file.sha256, file.name))
            row = ArrivalFileTable(
                arrival_id=arrival_id,
                came_with=arrival_id,
                kind=file.kind,
                name=file.name,
                sha256=file.sha256,
                bytes=file.bytes,
                scan_id=self._scan(file) if file.kind == "scan" else None,
                problem=file.problem,
            )
            self._session.add(row)
            self._session.flush()
            details = {"kind": file.kind, "sha256": file.sha256, "bytes": file.bytes}
            self._record("file-added", arrival_id, details, {"name": file.name, "problem": file.problem})

    def _scan(self, file: NewFile) -> int:
        known = self._session.scalar(select(ScanTable).where(ScanTable.sha256 == file.sha256))
        if known is not None:
            known.state = "unchecked" if known.state == "unreadable" else known.state
            return known.id
        scan = ScanTable(
            sha256=file.sha256,
            bytes=file.bytes,
            at=self._journal.at,
            state="unchecked",
            problem="",
            left_out=0,
            remarks=[],
            like=[],
        )
        self._session.add(scan)
        self._session.flush()
        return scan.id

    def measured(self, scan_id: int, measured: Measured) -> None:
        """Keep what was measured of a mesh, with its picture.

        Raises:
            NotThere: there is no such scan.
        """
        scan = self._session.get(ScanTable, scan_id)
        if scan is None:
            raise NotThere(f"There is no scan {scan_id}.")
        scan.state = "checked" if measured.figures is not None else "unreadable"
        scan.problem, scan.format, scan.unit = measured.problem, measured.format, measured.unit
        scan.left_out, scan.remarks, scan.figures = measured.left_out, list(measured.remarks), measured.figures
        scan.like = list(measured.like)
        signature = measured.figures.signature if measured.figures is not None else ()
        scan.size = signature[0] if signature else None
        if measured.png:
            self._session.merge(ScanPictureTable(scan_id=scan_id, png=measured.png))
        self._session.flush()
        of_scan = select(ArrivalFileTable.arrival_id).where(ArrivalFileTable.scan_id == scan_id).distinct()
        for arrival_id in self._session.scalars(of_scan).all():
            self._record(f"scan-{scan.state}", arrival_id, {"scan": scan_id, "sha256": scan.sha256})

    def choose(self, file_id: int, *, jaw: str | None = None, unit: str | None = None) -> None:
        """Keep what a person chose of a file: the jaw that it shows, or the unit that it is in.

        Raises:
            NotThere: there is no such file.
        """
        row = self._session.get(ArrivalFileTable, file_id)
        if row is None:
            raise NotThere(f"There is no file {file_id}.")
        before = {"jaw": row.jaw_chosen, "unit": row.unit_chosen}
        row.jaw_chosen, row.unit_chosen = jaw, unit
        self._session.flush()
        after = {"jaw": jaw, "unit": unit}
        changed = {name: [before[name], after[name]] for name in before if before[name] != after[name]}
        if changed:
            self._record("scan-chosen", row.arrival_id, {"file": file_id, "changes": changed})

    def arches(
        self,
        arrival_id: int,
        of: dict[str, Any],
        figures: PairFigures,
        bite: BiteFigures | None,
        pictures: tuple[bytes, bytes, bytes],
    ) -> None:
        """Keep how the arches of an arrival stand, with their pictures from the front, the right and the left."""
        self._arches("arches-measured", arrival_id, of, pictures, figures=figures, bite=bite, problem="")

    def arches_not_measured(self, arrival_id: int, of: dict[str, Any], why: str) -> None:
        """Keep why it could not be measured how the arches of an arrival stand, so that it is tried once."""
        self._arches("arches-not-measured", arrival_id, of, (b"", b"", b""), figures=None, bite=None, problem=why)

    def _arches(
        self, kind: str, arrival_id: int, of: dict[str, Any], pictures: tuple[bytes, bytes, bytes], **found: Any
    ) -> None:
        front, right, left = pictures
        self._session.merge(ArchesTable(arrival_id=arrival_id, of=of, front=front, right=right, left=left, **found))
        self._session.flush()
        self._record(kind, arrival_id, {"of": of})

    def move_files(self, arrival_id: int, into_id: int) -> tuple[int, ...]:
        """Put the files of an arrival to another one, which it belongs to; gives the ids of those files."""
        moved = self._move(ArrivalFileTable.arrival_id == arrival_id, into_id)
        self._record("files-joined", into_id, {"from": arrival_id, "files": list(moved)})
        return moved

    def move_back(self, file_ids: Collection[int], arrival_id: int) -> None:
        """Give an arrival the files back that were put to another one."""
        moved = self._move(ArrivalFileTable.id.in_(file_ids), arrival_id)
        self._record("files-parted", arrival_id, {"files": list(moved)})

    def _move(self, which: Any, into_id: int) -> tuple[int, ...]:
        rows = self._session.scalars(select(ArrivalFileTable).where(which).order_by(ArrivalFileTable.id)).all()
        for row in rows:
            row.arrival_id = into_id
        self._session.flush()
        return tuple(row.id for row in rows)

    def sender_is(self, address: str, practice_code: str | None) -> None:
        """Remember the practice that an address stands for; None where it sends for many."""
        self._session.merge(SenderTable(address=address.casefold(), practice_code=practice_code))
        self._session.flush()
        self._journal.record("sender-known", Subject(practice=practice_code), {}, {"address": address.casefold()})

    def read_to(self, mailbox: str, validity: int, last: int) -> None:
        """Remember how far a mailbox was read."""
        self._session.merge(MailboxTable(name=mailbox, validity=validity, last=last))
        self._session.flush()

    def _record(
        self, kind: str, arrival_id: int, details: dict[str, Any], personal: dict[str, Any] | None = None
    ) -> None:
        self._journal.record(kind, Subject(arrival_id=arrival_id), details, personal)
