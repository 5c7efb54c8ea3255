"""The tables of scans: the files of an arrival, what was measured of each mesh, and how two arches stand."""

from datetime import datetime
from typing import Any

from sqlalchemy import BigInteger, Double, ForeignKey, Index, LargeBinary
from sqlalchemy.orm import Mapped, mapped_column

from intake.domain.scan_figures import BiteFigures, MeshFigures, PairFigures
from intake.store import words
from intake.store.columns import Json, Key, Value, one_of
from intake.store.tables import Table


class ScanTable(Table):
    """One mesh, once for its content, whatever deliveries brought it. Its file lies in the scan store."""

    __tablename__ = "scans"
    id: Mapped[int] = mapped_column(primary_key=True)
    sha256: Mapped[str] = mapped_column(Key, unique=True)
    bytes: Mapped[int] = mapped_column(BigInteger)
    at: Mapped[datetime]
    state: Mapped[str] = mapped_column(index=True)
    problem: Mapped[str]
    format: Mapped[str | None]
    unit: Mapped[str | None]
    """The unit that the file itself states."""
    left_out: Mapped[int] = mapped_column(default=0)
    remarks: Mapped[list[str]] = mapped_column(Json)
    figures: Mapped[MeshFigures | None] = mapped_column(Value(MeshFigures, remembered=2_000))
    like: Mapped[list[int]] = mapped_column(Json)
    """The scans before it that show the same surface, re-exported, reordered or moved."""
    size: Mapped[float | None] = mapped_column(Double, index=True)
    """The first length of the signature: a scan that is the same has nearly the same."""
    __table_args__ = (one_of("state", words.SCAN_STATES),)


class ScanPictureTable(Table):
    """The picture of a mesh, apart, so that lists of scans stay light."""

    __tablename__ = "scan_pictures"
    scan_id: Mapped[int] = mapped_column(ForeignKey("scans.id"), primary_key=True, autoincrement=False)
    png: Mapped[bytes] = mapped_column(LargeBinary)


class ArrivalFileTable(Table):
    """One file of a delivery."""

    __tablename__ = "arrival_files"
    id: Mapped[int] = mapped_column(primary_key=True)
    arrival_id: Mapped[int] = mapped_column(ForeignKey("arrivals.id"), index=True)
    came_with: Mapped[int] = mapped_column(ForeignKey("arrivals.id"), index=True)
    """The arrival that brought it; another one than `arrival_id` once that was joined to it."""
    kind: Mapped[str]
    name: Mapped[str]
    sha256: Mapped[str] = mapped_column(Key)
    bytes: Mapped[int] = mapped_column(BigInteger)
    scan_id: Mapped[int | None] = mapped_column(ForeignKey("scans.id"), index=True)
    problem: Mapped[str]
    unit_chosen: Mapped[str | None]
    jaw_chosen: Mapped[str | None]
    __table_args__ = (one_of("kind", words.FILE_KINDS), Index(None, "sha256"))


class ArchesTable(Table):
    """How the upper and the lower of an arrival stand to one another, or why that could not be measured.

    It is measured anew when others are chosen.
    """

    __tablename__ = "arches"
    arrival_id: Mapped[int] = mapped_column(ForeignKey("arrivals.id"), primary_key=True, autoincrement=False)
    of: Mapped[dict[str, Any]] = mapped_column(Json)
    """The files and units that were measured, so that it shows when they are others now."""
    problem: Mapped[str]
    figures: Mapped[PairFigures | None] = mapped_column(Value(PairFigures))
    bite: Mapped[BiteFigures | None] = mapped_column(Value(BiteFigures))
    front: Mapped[bytes] = mapped_column(LargeBinary)
    right: Mapped[bytes] = mapped_column(LargeBinary)
    left: Mapped[bytes] = mapped_column(LargeBinary)


class DeliveryTable(Table):
    """What tells a delivery from others: a message, an archive, a folder. Its key is kept as a digest of names."""

    __tablename__ = "deliveries"
    key: Mapped[str] = mapped_column(Key, primary_key=True)
    arrival_id: Mapped[int] = mapped_column(ForeignKey("arrivals.id"), index=True)
    at: Mapped[datetime]
    sender: Mapped[str]
    """The address that a message came from; empty for everything else."""


class MailboxTable(Table):
    """How far a mailbox was read."""

    __tablename__ = "mailboxes"
    name: Mapped[str] = mapped_column(Key, primary_key=True)
    validity: Mapped[int] = mapped_column(BigInteger)
    last: Mapped[int] = mapped_column(BigInteger)


class SenderTable(Table):
    """The practice that an address stands for, by what was booked; none where it sends for many."""

    __tablename__ = "senders"
    address: Mapped[str] = mapped_column(Key, primary_key=True)
    practice_code: Mapped[str | None] = mapped_column(Key, ForeignKey("practices.code"))
