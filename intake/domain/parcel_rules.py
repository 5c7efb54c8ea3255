"""What the lab lays down for parcels: carriers, disinfection, what to do about sharps, and the words of a return."""

import re
from typing import Annotated

from pydantic import AfterValidator, Field

from intake.domain.case import Frozen
from intake.domain.practice import Words


def _pattern(text: str) -> str:
    try:
        re.compile(text)
    except re.error as problem:
        raise ValueError(f"“{text}” is no pattern: {problem}") from None
    return text


class Carrier(Frozen):
    """A carrier's service, told by the look of the number on its label."""

    service: Words
    pattern: Annotated[str, AfterValidator(_pattern)]
    """A regular expression that the whole label fits, in capital letters and digits, without spaces."""


class Agent(Frozen):
    """A disinfectant of the lab's own, and the minutes that its maker asks for."""

    name: Words
    minutes: Annotated[int, Field(ge=1, le=1440)]


class ParcelRules(Frozen):
    """How parcels are opened."""

    carriers: tuple[Carrier, ...] = ()
    """The first that fits counts."""
    again_months: Annotated[int, Field(ge=1, le=120)] = 12
    """A label seen within so many months is a parcel seen before; later its number was given anew (UPU S10)."""
    agents: tuple[Agent, ...] = ()
    sharps: tuple[Words, ...] = (
        "Stop. Do not reach into the parcel.",
        "Put the whole parcel into a puncture-proof container, or close it and set it apart.",
        "Tell the person who is responsible for safety here, and follow the local rules for injuries.",
        "Tell the practice by telephone, and note it below.",
    )
    """What to do when something sharp or dangerous lies in a parcel; local rules go before it."""
    not_disinfected: Words = (
        "Disinfection is not declared. Treat as contaminated: gloves and eye protection, disinfect by the maker’s "
        "instructions before anything is handed on. Local rules decide."
    )
    returned: Words = (
        "We return this to you as it came. Nothing was made of it and nothing was changed. Please send what we need "
        "instead, or ring us; what is made remains the prescriber’s decision."
    )
    """The text of the note that goes back with what is refused."""
