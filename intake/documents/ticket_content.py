"""What stands on a ticket, in the words to be printed."""

from dataclasses import dataclass, field
from pathlib import Path

from intake.domain.printed.ticket import TicketWords

_WORDS = TicketWords()


@dataclass(frozen=True)
class TicketAppliance:
    """One thing to make, in words; an option is a line such as "Thickness 3 mm"."""

    name: str
    arch: str = ""
    teeth: str = ""
    options: tuple[str, ...] = ()
    notes: str = ""


@dataclass(frozen=True)
class TicketBench:
    """One bench of the route and the day by which it has done its part, with the weekday."""

    bench: str
    by: str


@dataclass(frozen=True)
class TicketItem:
    """One thing that lies in the box, and what to know of it: "shared with job 26 004124 73"."""

    text: str
    note: str = ""


@dataclass(frozen=True)
class SisterJob:
    """Another job of the same case, in a box of its own."""

    number: str
    category: str


@dataclass(frozen=True)
class TicketPicture:
    """A picture of a scan as PNG, and what stands under it: "Upper"."""

    name: str
    png: bytes = field(repr=False)


@dataclass(frozen=True)
class Ticket:
    """Everything on a ticket, in the words to be printed; what is empty is left out."""

    number: str
    """In groups: "26 004123 76"."""
    barcode: str
    """Digits only: the number and two digits for the copy."""
    category: str
    colour: str
    colour_hex: str
    practice: str
    practice_code: str = ""
    prescriber: str = ""
    patient: str = ""
    copy: int = 1
    copy_reason: str = ""
    held: bool = False
    missing: tuple[str, ...] = ()
    must_leave: str = ""
    """Weekday and date; empty when there is no appointment yet."""
    appointment: str = ""
    latest_start: str = ""
    pour_by: str = ""
    pour_note: str = ""
    """How the time was estimated, when it was."""
    pour_keep: str = ""
    """How the impression is kept until then, in a sentence."""
    route: tuple[TicketBench, ...] = ()
    appliances: tuple[TicketAppliance, ...] = ()
    teeth: tuple[str, ...] = ()
    """ISO 3950 numbers to mark on the tooth diagram; none for no diagram."""
    contents: tuple[TicketItem, ...] = ()
    sisters: tuple[SisterJob, ...] = ()
    cautions: tuple[str, ...] = ()
    pictures: tuple[TicketPicture, ...] = ()
    """Of the scans; one that cannot be read is left out."""
    pictures_note: str = ""
    """Which scans are not pictured, and why."""
    lab: str = ""
    logo: Path | None = None
    """A PNG or JPEG; one that cannot be read is left out, the lab's name is printed anyway."""
    arrived: str = ""
    words: TicketWords = _WORDS
    """The fixed words."""
