"""The tables of what can be touched: parcels and what lay in them, boxes and where they were, days that were closed."""

from datetime import date, datetime
from typing import Any

from sqlalchemy import BigInteger, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column, validates

from intake.store import words
from intake.store.columns import Json, Key, one_of
from intake.store.tables import Table, Versioned


class ParcelTable(Versioned, Table):
    """One parcel, or one hand delivery, as it was opened."""

    __tablename__ = "parcels"
    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime]
    who: Mapped[str]
    way: Mapped[str]
    label: Mapped[str] = mapped_column(Key, index=True)
    """Its number without spaces, in capitals; empty when it has none."""
    backward: Mapped[str] = mapped_column(Key, index=True, default="")
    """The label's digits from the last to the first, so that the last digits find it."""
    label_kind: Mapped[str]
    service: Mapped[str]
    """The carrier's service, by the lab's patterns; empty when none fits."""
    practice_code: Mapped[str | None] = mapped_column(Key, ForeignKey("practices.code"), index=True)
    practice_name: Mapped[str]
    hygiene: Mapped[str]
    seen: Mapped[list[str]] = mapped_column(Json)
    """In what state it was, as `intake.domain.case.Condition` has it."""
    note: Mapped[str]
    accepted_by: Mapped[str]
    state: Mapped[str]
    why: Mapped[str]
    """Why it was refused or stopped."""
    again_of: Mapped[int | None] = mapped_column(ForeignKey("parcels.id"))
    """The parcel that had the same label before."""
    __table_args__ = (
        one_of("way", words.PARCEL_WAYS),
        one_of("label_kind", words.LABEL_KINDS),
        one_of("state", words.PARCEL_STATES),
        Index(None, "state"),
        Index(None, "at"),
    )

    @validates("label")
    def _turn_round(self, _column: str, label: str) -> str:
        self.backward = "".join(sign for sign in reversed(label) if sign.isdigit())
        return label


class ParcelContentTable(Versioned, Table):
    """One thing that lay in a parcel. It is settled by the case of its arrival, or by a reason."""

    __tablename__ = "parcel_contents"
    id: Mapped[int] = mapped_column(primary_key=True)
    parcel_id: Mapped[int] = mapped_column(ForeignKey("parcels.id"), index=True)
    position: Mapped[int]
    kind: Mapped[str]
    arrival_id: Mapped[int | None] = mapped_column(ForeignKey("arrivals.id"), index=True)
    """Where it waits to be booked in, or what became of that; None where there is nothing to book. Two parts of one
    case that were joined have one."""
    found: Mapped[str]
    """The name on the tray or the bag, word for word."""
    note: Mapped[str]
    reason: Mapped[str]
    """Why it has no case; empty while that is not said."""
    taken_out: Mapped[bool]
    """Entered by mistake: it counts no more."""
    __table_args__ = (one_of("kind", words.CONTENT_KINDS),)


class ParcelFileTable(Table):
    """A photograph of a parcel. The file itself lies with those of the scans."""

    __tablename__ = "parcel_files"
    id: Mapped[int] = mapped_column(primary_key=True)
    parcel_id: Mapped[int] = mapped_column(ForeignKey("parcels.id"), index=True)
    at: Mapped[datetime]
    name: Mapped[str]
    sha256: Mapped[str] = mapped_column(Key)
    bytes: Mapped[int] = mapped_column(BigInteger)
    taken_out: Mapped[bool]


class DisinfectionTable(Table):
    """One disinfection done here: of everything in a parcel, or of one case."""

    __tablename__ = "disinfections"
    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime]
    who: Mapped[str]
    agent: Mapped[str]
    minutes: Mapped[int]
    parcel_id: Mapped[int | None] = mapped_column(ForeignKey("parcels.id"), index=True)
    case_id: Mapped[int | None] = mapped_column(ForeignKey("cases.id"), index=True)
    taken_back: Mapped[bool]


class IncidentTable(Table):
    """Something that hurt or could have hurt somebody."""

    __tablename__ = "incidents"
    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime]
    who: Mapped[str]
    kind: Mapped[str]
    parcel_id: Mapped[int | None] = mapped_column(ForeignKey("parcels.id"), index=True)
    what: Mapped[str]
    done: Mapped[str]
    told: Mapped[str]
    """Who was told."""
    closed: Mapped[datetime | None]
    closed_by: Mapped[str]
    __table_args__ = (one_of("kind", words.INCIDENT_KINDS),)


class MoveTable(Table):
    """One move of a job's box."""

    __tablename__ = "moves"
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    at: Mapped[datetime] = mapped_column(index=True)
    who: Mapped[str]
    kind: Mapped[str]
    bench: Mapped[str]
    """Where it went, came in or came from."""
    copy: Mapped[int]
    """The copy of the ticket that was scanned; 0 when the number was typed."""
    reason: Mapped[str]
    taken_back: Mapped[bool]
    __table_args__ = (one_of("kind", words.MOVE_KINDS),)


class PouringTable(Table):
    """The impressions of a case were poured."""

    __tablename__ = "pourings"
    id: Mapped[int] = mapped_column(primary_key=True)
    case_id: Mapped[int] = mapped_column(ForeignKey("cases.id"), index=True)
    at: Mapped[datetime]
    who: Mapped[str]
    taken_back: Mapped[bool]


class BoxTable(Table):
    """A numbered box that holds a job. A box that is free has no row."""

    __tablename__ = "boxes"
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), unique=True)
    since: Mapped[datetime]


class CaseLinkTable(Table):
    """What one case is to another one."""

    __tablename__ = "case_links"
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    case_id: Mapped[int] = mapped_column(ForeignKey("cases.id"), index=True)
    """The case that was split off, made anew, or merged into the other."""
    of_case_id: Mapped[int] = mapped_column(ForeignKey("cases.id"), index=True)
    at: Mapped[datetime]
    who: Mapped[str]
    reason: Mapped[str]
    taken_back: Mapped[bool]
    __table_args__ = (one_of("kind", words.LINK_KINDS),)


class ClosingTable(Table):
    """A day that was closed: who closed it, in which numbers, and what was left over with which reason."""

    __tablename__ = "closings"
    id: Mapped[int] = mapped_column(primary_key=True)
    day: Mapped[date] = mapped_column(index=True)
    at: Mapped[datetime]
    who: Mapped[str]
    counts: Mapped[dict[str, Any]] = mapped_column(Json)
    left: Mapped[list[Any]] = mapped_column(Json)
    """What was left over, one by one: `{"what": ..., "about": ..., "reason": ...}`."""
    events: Mapped[int]
    """The number of events of the history at that moment."""
    head: Mapped[str]
    """The hash of the last of them, which the day sheet prints: a history cut short afterwards shows."""
