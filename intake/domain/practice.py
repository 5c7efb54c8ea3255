"""The practices that order: what the directory knows of each."""

import re
from datetime import date, time
from typing import Annotated

from pydantic import AfterValidator, Field, StringConstraints

from intake.domain.case import Frozen
from intake.domain.teeth import Notation

Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
Weekday = Annotated[int, Field(ge=0, le=6)]
"""Monday is 0, as in `datetime.date.weekday`."""


Span = tuple[time, time]
"""From when until when somebody is there, within one day."""


def read_span(text: str) -> Span:
    """`09:00-13:00` as two times of day. Raises ValueError."""
    match = re.fullmatch(r"\s*(\d{1,2})[:.](\d\d)\s*[-–]\s*(\d{1,2})[:.](\d\d)\s*", text)
    if match is None:
        raise ValueError(f"“{text}” is no stretch of a day; write it as 09:00-13:00")
    try:
        opens, closes = time(int(match[1]), int(match[2])), time(int(match[3]), int(match[4]))
    except ValueError:
        raise ValueError(f"“{text}” is not on the clock; write it as 09:00-13:00, to 23:59 at the latest") from None
    if opens >= closes:
        raise ValueError(f"“{text}” ends before it begins")
    return opens, closes


def _is_span(text: str) -> str:
    read_span(text)
    return text


SpanText = Annotated[str, AfterValidator(_is_span)]
"""A stretch of the day as it is written, `09:00-13:00`; `read_span` gives its times."""


class OpeningHours(Frozen):
    """When somebody answers the telephone on some days of the week; what lies between two stretches is lunch."""

    weekdays: tuple[Weekday, ...]
    open: tuple[SpanText, ...]


class StandingInstruction(Frozen):
    """What a practice has told the lab to assume when it says nothing."""

    requirement: str
    types: tuple[str, ...] = ()
    """Appliance types it holds for; empty for all."""
    says: str
    since: date
    source: str = ""
    """Who said so, in what role and by which way."""
    review: date | None = None
    """The day on which the practice is asked whether it still holds."""
    withdrawn: date | None = None
    why_withdrawn: str = ""


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
    hours: tuple[OpeningHours, ...] = ()
    """When its telephone is answered; the lab setup's usual hours on its open weekdays when nothing is said."""
    zone: str | None = None
    """Its time zone, where that is not the lab's."""
    country: str | None = None
    subdivision: str | None = None
    transit_days: Annotated[int, Field(ge=0, le=365)] | None = None
    service: str | None = None
    """The carrier's service that takes work to it, by its name in the lab setup; the lab's usual way when not said."""
    language: str | None = None
    """The language of what is written to it, as the lab setup names it; the lab's own when not said."""
    notes: str = ""
    """What the desk should know of it."""
    former: tuple[str, ...] = ()
    """Codes that it had before, or that another entry had which was merged into it."""
    notation: Notation | None = None
    standing: tuple[StandingInstruction, ...] = ()

    def standing_for(self, requirement: str, appliance_type: str | None) -> StandingInstruction | None:
        """The standing instruction that answers a requirement for an appliance type, if there is one."""
        for instruction in self.standing:
            if (
                instruction.withdrawn is None
                and instruction.requirement == requirement
                and (not instruction.types or appliance_type in instruction.types)
            ):
                return instruction
        return None
