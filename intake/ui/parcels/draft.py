"""A parcel that is being opened: what the form holds of it, before it is kept."""

from dataclasses import dataclass, replace
from pathlib import Path

from intake.domain.case import Condition
from intake.domain.parcels import HARMLESS, ContentKind, ParcelHygiene


@dataclass(frozen=True)
class Thing:
    """One thing that lies in it.

    Attributes:
        kind: What it is.
        found: The name on the tray or the bag, word for word.
        note: Whatever else is to be said of it.
        assumed: Whether it stands there because most bags have one case, and nobody has said so.
    """

    kind: ContentKind
    found: str = ""
    note: str = ""
    assumed: bool = False


@dataclass(frozen=True)
class Picture:
    """A photograph: its name, and its content or where it lies."""

    name: str
    source: bytes | Path


USUAL = (Thing("case", assumed=True),)
"""What lies in the ordinary bag."""


@dataclass(frozen=True)
class Draft:
    """A form of Parcels as it stands.

    Attributes:
        label: As it was scanned or typed.
        by_hand: Whether it was handed in.
        practice: What is typed.
        hygiene: What was chosen; None while nobody has chosen.
        seen: In what state it was.
        note: A note on that.
        accepted_by: Who takes it on in spite of that.
        things: What lies in it.
        pictures: Its photographs.
        parcel_id: The parcel that is being changed, if any.
        version: Its version when it was read.
    """

    label: str = ""
    by_hand: bool = False
    practice: str = ""
    hygiene: ParcelHygiene | None = None
    seen: tuple[Condition, ...] = ()
    note: str = ""
    accepted_by: str = ""
    things: tuple[Thing, ...] = USUAL
    pictures: tuple[Picture, ...] = ()
    parcel_id: int | None = None
    version: int = 0

    @property
    def is_empty(self) -> bool:
        """Whether nothing was said at all."""
        return replace(self, parcel_id=None, version=0) == Draft()

    @property
    def needs_acceptance(self) -> bool:
        """Whether something was seen that somebody has to take on in spite of it, or refuse."""
        return any(each not in HARMLESS for each in self.seen)


def with_thing(things: tuple[Thing, ...], kind: ContentKind) -> tuple[Thing, ...]:
    """What lies in a parcel once one more thing is said to.

    The case that was only assumed gives way to the first thing of another kind, and counts beside a second case. Of
    “nothing” there is one, and it goes when something is found after all.
    """
    said = tuple(replace(thing, assumed=False) for thing in things if kind == "case" or not thing.assumed)
    return (*(thing for thing in said if thing.kind != "nothing"), Thing(kind))


def without_thing(things: tuple[Thing, ...], at: int) -> tuple[Thing, ...]:
    """What lies in a parcel once one thing is taken out again; of nothing said, the usual is assumed."""
    return (*things[:at], *things[at + 1 :]) or USUAL
