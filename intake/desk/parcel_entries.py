"""A parcel as the desk enters it, and what may be entered of it as it stands."""

from dataclasses import dataclass
from datetime import datetime

from intake.desk.desk import Desk
from intake.desk.parcel_arrivals import practice_of_parcel
from intake.desk.parcel_labels import read_label
from intake.domain.case import Condition
from intake.domain.parcels import ContentKind, ParcelHygiene
from intake.errors import IntakeError
from intake.store.meanwhile import NotNow, NotThere
from intake.store.parcel_rows import ContentRow, ParcelFacts, ParcelRow
from intake.store.words import ParcelWay


class ReasonMissing(IntakeError):
    """Nothing is refused, and nothing goes without a case, without a reason."""


class ParcelStopped(IntakeError):
    """Nothing more is logged of a parcel that was stopped, or that went back."""


@dataclass(frozen=True)
class NewContent:
    """One thing that lies in a parcel, as the desk enters it."""

    kind: ContentKind
    found: str = ""
    """The name on the tray or the bag, word for word."""
    note: str = ""
    reason: str = ""
    """Why it has no case, where that is known at once."""


@dataclass(frozen=True)
class NewParcel:
    """A parcel, or what was handed in, as the desk enters it."""

    label: str = ""
    """As it was scanned or typed; empty when it has none."""
    way: ParcelWay = "post"
    practice: str = ""
    """The code of the directory, or the name as it is written."""
    hygiene: ParcelHygiene = "not-declared"
    seen: tuple[Condition, ...] = ()
    note: str = ""
    accepted_by: str = ""
    """The initials of who takes it on in spite of what was seen."""
    contents: tuple[NewContent, ...] = ()
    arrived: datetime | None = None
    """Now when nothing is said."""


def facts_of(desk: Desk, new: NewParcel) -> ParcelFacts:
    """What is said of a parcel, with its label read and its practice found."""
    label, (code, name) = read_label(desk, new.label), practice_of_parcel(new.practice, desk.practices())
    return ParcelFacts(
        way=new.way,
        label=label.label,
        label_kind=label.kind,
        service=label.service,
        practice_code=code,
        practice_name=name,
        hygiene=new.hygiene,
        seen=tuple(dict.fromkeys(new.seen)),
        note=new.note.strip(),
        accepted_by=new.accepted_by.strip(),
    )


def refuse_booked(desk: Desk, parcel_id: int) -> None:
    """Raises NotNow where something of a parcel is booked in."""
    if any(each.arrival_state == "booked" for each in contents_in(desk, parcel_id)):
        raise NotNow("Something of this parcel is booked in. Take the booking back, or withdraw the case, first.")


def loggable(desk: Desk, parcel_id: int) -> ParcelRow:
    """The parcel, where more may be logged of it. Raises ParcelStopped."""
    row = the_parcel(desk, parcel_id)
    if row.state == "stopped":
        raise ParcelStopped("This parcel is stopped: nobody reaches in. Go on with it first, or settle what can hurt.")
    if row.state in ("refused", "taken-back"):
        raise ParcelStopped("This parcel was refused, or taken back. Undo that first.")
    return row


def the_parcel(desk: Desk, parcel_id: int) -> ParcelRow:
    """A parcel. Raises NotThere."""
    row = desk.store.read.parcel(parcel_id)
    if row is None:
        raise NotThere(f"There is no parcel {parcel_id}.")
    return row


def the_content(desk: Desk, content_id: int) -> ContentRow:
    """One thing in a parcel. Raises NotThere."""
    row = desk.store.read.content(content_id)
    if row is None:
        raise NotThere(f"There is no entry {content_id} of a parcel.")
    return row


def contents_in(desk: Desk, parcel_id: int) -> tuple[ContentRow, ...]:
    """What lies in a parcel, in order."""
    return desk.store.read.contents_of([parcel_id]).get(parcel_id, ())
