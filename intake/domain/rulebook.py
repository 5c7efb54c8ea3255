"""The rule book as data: requirements, the conditions they hold under, and what satisfies them.

A condition is a table with exactly one leading key out of a closed set; there is no expression language.
"""

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from intake.domain.case import Arch, BiteKind, Frozen, Hygiene, ItemKind

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


class TakenAfterArrival(Frozen):
    """An impression or scan is said to be taken after it arrived."""

    taken_after_arrival: Literal[True]


class ApplianceTwice(Frozen):
    """The same appliance stands twice on the prescription."""

    appliance_twice: Literal[True]


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


class Waived(Frozen):
    """The prescriber has said that it is not needed for this case."""

    waived: Literal[True]


def _leading_key(value: Any) -> str | None:
    keys = value if isinstance(value, dict) else type(value).model_fields
    return next((key for key in keys if key in _BY_KEY), None)


_CIRCUMSTANCES = (
    ArchIs,
    Under18,
    HygieneIs,
    AllergyNamed,
    OutlookIs,
    ImpressionPast,
    ToothReplaced,
    TeethUnclear,
    TeethOfOtherArch,
    ShadeUnknown,
    OutOfRange,
    TakenAfterArrival,
    ApplianceTwice,
)
_SATISFIERS = (Received, Prescribed, Standing, Waived)
_BY_KEY = {next(iter(model.model_fields)): model for model in (*_CIRCUMSTANCES, *_SATISFIERS)}

Circumstance = Annotated[
    Annotated[ArchIs, Tag("arch")]
    | Annotated[Under18, Tag("under_18")]
    | Annotated[HygieneIs, Tag("hygiene")]
    | Annotated[AllergyNamed, Tag("allergy")]
    | Annotated[OutlookIs, Tag("outlook")]
    | Annotated[ImpressionPast, Tag("impression_past")]
    | Annotated[ToothReplaced, Tag("tooth_replaced")]
    | Annotated[TeethUnclear, Tag("teeth_unclear")]
    | Annotated[TeethOfOtherArch, Tag("teeth_of_other_arch")]
    | Annotated[ShadeUnknown, Tag("shade_unknown")]
    | Annotated[OutOfRange, Tag("out_of_range")]
    | Annotated[TakenAfterArrival, Tag("taken_after_arrival")]
    | Annotated[ApplianceTwice, Tag("appliance_twice")],
    Discriminator(_leading_key),
]
Satisfier = Annotated[
    Annotated[Received, Tag("received")]
    | Annotated[Prescribed, Tag("prescribed")]
    | Annotated[Standing, Tag("standing")]
    | Annotated[Waived, Tag("waived")],
    Discriminator(_leading_key),
]

PLACEHOLDERS = frozenset({"appliance", "arch", "opposing", "practice", "earliest"})


class Requirement(Frozen):
    """Something a case must bring before, or while, it is made."""

    id: Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
    level: Level
    types: Literal["case", "every"] | tuple[str, ...]
    """Appliance types it holds for; `every` for each appliance, `case` for the case as a whole."""
    when: tuple[Circumstance, ...] = ()
    """It holds only where all of these do."""
    satisfied_by: tuple[Satisfier, ...] = ()
    """Any one of these is enough. Without any, the circumstances themselves are the finding."""
    question: str
    because: str

    @model_validator(mode="after")
    def _says_something(self) -> "Requirement":
        if not self.when and not self.satisfied_by:
            raise ValueError(f"“{self.id}” has neither circumstances nor anything that satisfies it")
        return self
