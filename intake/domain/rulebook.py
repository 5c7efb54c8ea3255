"""The rule book as data: requirements, the conditions they hold under, and what satisfies them.

A condition is a table with exactly one leading key out of a closed set; there is no expression language.
"""

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from intake.domain.case import Arch, ArchesStanding, BiteKind, Condition, Frozen, Hygiene, ItemKind, ScanFault
from intake.domain.practice import Words

Level = Literal["stops", "asks", "warns"]
LEVELS: tuple[Level, ...] = ("stops", "asks", "warns")
Measured = Literal["thickness_mm", "bite_opening_mm", "protrusion_mm"]
FieldName = Literal[
    "practice",
    "prescriber",
    "patient",
    "arch",
    "teeth",
    "appointment",
    "thickness_mm",
    "bite_opening_mm",
    "shade",
    "material",
    "colour",
]


class ArchIs(Frozen):
    """The appliance is for one of these arches; `unsaid` when neither the prescription nor the setup says."""

    arch: tuple[Arch | Literal["unsaid"], ...]


class Under18(Frozen):
    """The patient is said to be under 18, or said not to be."""

    under_18: bool


class HygieneIs(Frozen):
    """What is known of the disinfection of the things that came."""

    hygiene: tuple[Hygiene, ...]


class AllergyNamed(Frozen):
    """The prescription names an allergy, in its own field or in its notes."""

    allergy: Literal[True]


class OutlookIs(Frozen):
    """What the deadlines mean for the appointment."""

    outlook: tuple[Literal["comfortable", "tight", "late"], ...]


class ImpressionPast(Frozen):
    """An impression is older than its material's usual figure, or than its limit."""

    impression_past: Literal["usual", "limit"]


class MaterialUnknown(Frozen):
    """An impression's material is named that is not among the lab's."""

    material_unknown: Literal[True]


class ToothReplaced(Frozen):
    """The appliance carries a tooth: by its type, or since a pontic is asked for."""

    tooth_replaced: Literal[True]


class TeethUnclear(Frozen):
    """A tooth is written in a way that means two teeth."""

    teeth_unclear: Literal[True]


class TeethOfOtherArch(Frozen):
    """Teeth are named that the prescribed arch does not have."""

    teeth_of_other_arch: Literal[True]


class ShadeUnknown(Frozen):
    """A shade is given that is not among the lab's shades."""

    shade_unknown: Literal[True]


class OutOfRange(Frozen):
    """A measure is given that is smaller or larger than anything usual, in mm."""

    out_of_range: Measured
    least: Annotated[float, Field(ge=0)]
    most: Annotated[float, Field(gt=0)]

    @model_validator(mode="after")
    def _least_first(self) -> "OutOfRange":
        if self.least > self.most:
            raise ValueError(f"the least, {self.least:g}, is more than the most, {self.most:g}")
        return self


class TakenAfterArrival(Frozen):
    """An impression or scan is said to be taken, or all of it to be posted, after it arrived."""

    taken_after_arrival: Literal[True]


class ApplianceTwice(Frozen):
    """The same appliance stands twice on the prescription."""

    appliance_twice: Literal[True]


class SpokenAnswer(Frozen):
    """An answer that changes what is made was given by word of mouth and is not confirmed in writing."""

    spoken: Literal[True]


class ScanFaulty(Frozen):
    """A scan that came has one of these faults."""

    scan_fault: tuple[ScanFault, ...]


class ConditionSeen(Frozen):
    """One of these was seen when what came was opened."""

    condition: tuple[Condition, ...]
    accepted: bool | None = None
    """Only where somebody took it on in spite of that, or only where nobody did; either way where it is not said."""


class NameFound(Frozen):
    """The name on the tray or the bag is nearly the prescription's, or another one."""

    name_found: Literal["near", "differs"]


class RaisedOpen(Frozen):
    """A question that came up at a bench or at the desk is open."""

    raised: Literal[True]


class Received(Frozen):
    """Items of these kinds came, for the arch that is meant."""

    received: tuple[ItemKind, ...]
    arch: Literal["working", "opposing", "each"] | None = None
    kind: tuple[BiteKind | Literal["unsaid"], ...] = ()
    """Bite records: in these positions only; empty for any."""
    with_mm: bool = False
    """Bite records: only with the measure in mm."""


class Prescribed(Frozen):
    """The prescription says it."""

    prescribed: FieldName


class Standing(Frozen):
    """A standing instruction of the practice says it."""

    standing: Literal[True]


class ArchesSeen(Frozen):
    """The scans of the two arches stand to one another in one of these ways."""

    arches: tuple[ArchesStanding, ...]


class Waived(Frozen):
    """The prescriber has said that it is not needed for this case."""

    waived: Literal[True]


_CIRCUMSTANCES: tuple[type[Frozen], ...] = (
    ArchIs,
    Under18,
    HygieneIs,
    AllergyNamed,
    OutlookIs,
    ImpressionPast,
    MaterialUnknown,
    ToothReplaced,
    TeethUnclear,
    TeethOfOtherArch,
    ShadeUnknown,
    OutOfRange,
    TakenAfterArrival,
    ApplianceTwice,
    SpokenAnswer,
    ScanFaulty,
    ConditionSeen,
    NameFound,
    RaisedOpen,
)
_SATISFIERS: tuple[type[Frozen], ...] = (Received, ArchesSeen, Prescribed, Standing, Waived)
_OF_ONE_APPLIANCE = (
    ArchIs,
    ToothReplaced,
    TeethUnclear,
    TeethOfOtherArch,
    ShadeUnknown,
    OutOfRange,
    ApplianceTwice,
)
_OF_THE_CASE: tuple[FieldName, ...] = ("practice", "prescriber", "patient", "appointment")


def _leading_key(model: type[Frozen]) -> str:
    return next(iter(model.model_fields))


CIRCUMSTANCES = tuple(map(_leading_key, _CIRCUMSTANCES))
"""The keys of the closed set of circumstances."""
SATISFIERS = tuple(map(_leading_key, _SATISFIERS))
"""The keys of the closed set of what satisfies a requirement."""


def _circumstance(value: Any) -> str | None:
    return _first_of(CIRCUMSTANCES, value)


def _satisfier(value: Any) -> str | None:
    return _first_of(SATISFIERS, value)


def _first_of(keys: tuple[str, ...], value: Any) -> str | None:
    written = value if isinstance(value, dict) else type(value).model_fields
    return next((key for key in keys if key in written), None)


Circumstance = Annotated[
    Annotated[ArchIs, Tag("arch")]
    | Annotated[Under18, Tag("under_18")]
    | Annotated[HygieneIs, Tag("hygiene")]
    | Annotated[AllergyNamed, Tag("allergy")]
    | Annotated[OutlookIs, Tag("outlook")]
    | Annotated[ImpressionPast, Tag("impression_past")]
    | Annotated[MaterialUnknown, Tag("material_unknown")]
    | Annotated[ToothReplaced, Tag("tooth_replaced")]
    | Annotated[TeethUnclear, Tag("teeth_unclear")]
    | Annotated[TeethOfOtherArch, Tag("teeth_of_other_arch")]
    | Annotated[ShadeUnknown, Tag("shade_unknown")]
    | Annotated[OutOfRange, Tag("out_of_range")]
    | Annotated[TakenAfterArrival, Tag("taken_after_arrival")]
    | Annotated[ApplianceTwice, Tag("appliance_twice")]
    | Annotated[SpokenAnswer, Tag("spoken")]
    | Annotated[ScanFaulty, Tag("scan_fault")]
    | Annotated[ConditionSeen, Tag("condition")]
    | Annotated[NameFound, Tag("name_found")]
    | Annotated[RaisedOpen, Tag("raised")],
    Discriminator(_circumstance),
]
Satisfier = Annotated[
    Annotated[Received, Tag("received")]
    | Annotated[ArchesSeen, Tag("arches")]
    | Annotated[Prescribed, Tag("prescribed")]
    | Annotated[Standing, Tag("standing")]
    | Annotated[Waived, Tag("waived")],
    Discriminator(_satisfier),
]

PLACEHOLDERS = frozenset({"appliance", "arch", "opposing", "practice", "earliest", "question"})


def _for_whom(types: object) -> object:
    if isinstance(types, str) and types not in ("case", "every"):
        raise ValueError(f"“{types}” is neither “case” nor “every” nor a list of appliance types, […]")
    if types in ([], ()):
        raise ValueError("the list names no appliance type, so nothing is ever asked")
    return types


class ForPractice(Frozen):
    """A practice for which a requirement has another level than for the others, or never holds."""

    practice: Words
    """Its code."""
    level: Level | Literal["never"]


class Requirement(Frozen):
    """Something a case must bring before, or while, it is made."""

    id: Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
    level: Level
    types: Annotated[Literal["case", "every"] | tuple[str, ...], BeforeValidator(_for_whom)]
    """Appliance types it holds for; `every` for each appliance, `case` for the case as a whole."""
    when: tuple[Circumstance, ...] = ()
    """It holds only where all of these do."""
    satisfied_by: tuple[Satisfier, ...] = ()
    """Any one of these is enough. Without any, the circumstances themselves are the finding."""
    question: Words
    because: str
    begins: date | None = None
    """It holds for what arrives on this day or later; from ever when not said."""
    ends: date | None = None
    """The last day of arrival that it holds for; for ever when not said."""
    only_for: tuple[Words, ...] = ()
    """Codes of the practices that it holds for; empty for all."""
    exceptions: tuple[ForPractice, ...] = ()

    @property
    def holds_always(self) -> bool:
        """Whether it is neither dated nor other for some practices than for the rest."""
        return self.begins is None and self.ends is None and not self.only_for and not self.exceptions

    @model_validator(mode="after")
    def _says_something(self) -> "Requirement":
        if not self.when and not self.satisfied_by:
            raise ValueError(f"“{self.id}” has neither circumstances nor anything that satisfies it")
        return self

    @model_validator(mode="after")
    def _about_what_it_is_for(self) -> "Requirement":
        """A requirement on the case as a whole sees no appliance: it would never hold, or never be met."""
        strange = [key for key in map(about_one_appliance, (*self.when, *self.satisfied_by)) if key]
        if self.types == "case" and strange:
            raise ValueError(f"this is for the case as a whole, and “{strange[0]}” is about one appliance")
        return self


def about_one_appliance(table: Frozen) -> str | None:
    """What of a circumstance or a satisfier is about one appliance, by its key; None where it fits a whole case too."""
    match table:
        case Received():
            return "received" if table.arch in ("working", "opposing") else None
        case Prescribed():
            return None if table.prescribed in _OF_THE_CASE else table.prescribed
    return _leading_key(type(table)) if isinstance(table, _OF_ONE_APPLIANCE) else None
