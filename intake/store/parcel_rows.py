"""What leaves the store of parcels: frozen rows."""

from dataclasses import dataclass
from datetime import datetime

from intake.domain.case import Condition
from intake.domain.parcels import ContentKind, IncidentKind, ParcelHygiene
from intake.store.words import ArrivalState, LabelKind, ParcelState, ParcelWay


@dataclass(frozen=True)
class ParcelFacts:
    """What is said of a parcel."""

    way: ParcelWay = "post"
    label: str = ""
    label_kind: LabelKind = "none"
    service: str = ""
    practice_code: str | None = None
    practice_name: str = ""
    hygiene: ParcelHygiene = "not-declared"
    seen: tuple[Condition, ...] = ()
    note: str = ""
    accepted_by: str = ""


@dataclass(frozen=True)
class ParcelRow:
    """A parcel as it stands."""

    parcel_id: int
    version: int
    at: datetime
    who: str
    facts: ParcelFacts
    state: ParcelState
    why: str
    again_of: int | None


@dataclass(frozen=True)
class ContentRow:
    """One thing that lay in a parcel, with what became of its arrival."""

    content_id: int
    version: int
    parcel_id: int
    position: int
    kind: ContentKind
    arrival_id: int | None
    found: str
    note: str
    reason: str
    taken_out: bool
    arrival_state: ArrivalState | None
    case_id: int | None


@dataclass(frozen=True)
class ParcelFileRow:
    """A photograph of a parcel."""

    file_id: int
    parcel_id: int
    at: datetime
    name: str
    sha256: str
    bytes: int


@dataclass(frozen=True)
class DisinfectionRow:
    """A disinfection done here."""

    disinfection_id: int
    at: datetime
    who: str
    agent: str
    minutes: int
    parcel_id: int | None
    case_id: int | None


@dataclass(frozen=True)
class IncidentRow:
    """Something that hurt or could have hurt somebody."""

    incident_id: int
    at: datetime
    who: str
    kind: IncidentKind
    parcel_id: int | None
    what: str
    done: str
    told: str
    closed: datetime | None
    closed_by: str
