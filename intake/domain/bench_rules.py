"""What the lab lays down for its benches: how much each does in a day, where to pour, and what hands over to them."""

from typing import Annotated, Literal

from pydantic import Field

from intake.domain.case import Frozen
from intake.domain.practice import Words


class Bench(Frozen):
    """A bench that routes name."""

    name: Words
    capacity: Annotated[int, Field(ge=1, le=100_000)] | None = None
    """Jobs that it finishes in a working day; None where that is not counted."""
    pours: bool = False
    """Whether impressions are poured here."""
    light: Literal["usual", "red"] = "usual"
    """The light that its boxes are seen by: red where resin must not set by daylight."""


class HandOverRules(Frozen):
    """What may leave reception for a bench."""

    ahead_days: Annotated[int, Field(ge=0, le=365)] | None = None
    """So many working days before its bench has to be done a job may go there; None: as early as it likes."""
    disinfected: bool = True
    """Whether what came by post has to be declared disinfected, or disinfected here, before it goes to a bench."""


class LoadRules(Frozen):
    """How the load of the benches counts."""

    promise: bool = False
    """Whether the earliest appointment that is promised counts the load of the benches too."""


class BoxNumbers(Frozen):
    """Whether the lab's boxes have numbers, and which."""

    first: Annotated[int, Field(ge=1, le=999_999)] = 1
    last: Annotated[int, Field(ge=1, le=999_999)]
