"""The ways that finished work takes to a practice."""

from typing import Annotated

from pydantic import Field

from intake.domain.case import Frozen
from intake.domain.practice import Weekday, Words


class Service(Frozen):
    """A carrier's service that takes work to practices."""

    name: Words
    transit_days: Annotated[int, Field(ge=0, le=365)] = 1
    """Delivery days that it is on the way."""
    weekdays: tuple[Weekday, ...] = (0, 1, 2, 3, 4)
    """The weekdays on which it delivers."""
