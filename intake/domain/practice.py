"""The practices that order: what the directory knows of each."""

from datetime import date
from typing import Annotated

from pydantic import Field, StringConstraints

from intake.domain.case import Frozen
from intake.domain.teeth import Notation

Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
Weekday = Annotated[int, Field(ge=0, le=6)]
"""Monday is 0, as in `datetime.date.weekday`."""


class StandingInstruction(Frozen):
    """What a practice has told the lab to assume when it says nothing."""

    requirement: str
    types: tuple[str, ...] = ()
    """Appliance types it holds for; empty for all."""
    says: str
    since: date
    source: str = ""


class Practice(Frozen):
    """A practice of the directory."""

    code: Words
    name: Words
    address: tuple[str, ...] = ()
    postcode: str = ""
    telephone: str = ""
    email: str = ""
    prescribers: tuple[str, ...] = ()
    open_weekdays: tuple[Weekday, ...] = (0, 1, 2, 3, 4)
    country: str | None = None
    subdivision: str | None = None
    transit_days: Annotated[int, Field(ge=0, le=365)] | None = None
    notation: Notation | None = None
    standing: tuple[StandingInstruction, ...] = ()

    def standing_for(self, requirement: str, appliance_type: str | None) -> StandingInstruction | None:
        """The standing instruction that answers a requirement for an appliance type, if there is one."""
        for instruction in self.standing:
            if instruction.requirement == requirement and (
                not instruction.types or appliance_type in instruction.types
            ):
                return instruction
        return None
