"""Who is at the desk: initials, a role, and what the lab lays down for signing in."""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from intake.domain.case import Frozen

Role = Literal["desk", "lead"]
LeadDeed = Literal["setup", "people", "import", "merge"]
"""What can be kept to leads: putting a setup in force, people and their PINs, taking a directory in, merging two
practices."""
LEAD_DEEDS: tuple[LeadDeed, ...] = ("setup", "people", "import", "merge")


class PeopleRules(Frozen):
    """How people sign in at the desk. Nobody has to as long as no person is entered."""

    lock_minutes: Annotated[int, Field(ge=0, le=1440)] = 0
    """After so many minutes without a key the window is locked; 0: never."""
    tries: Annotated[int, Field(ge=1, le=10)] = 5
    """Wrong PINs in a row, after which no PIN of that person is taken for a while."""
    wait_minutes: Annotated[int, Field(ge=1, le=1440)] = 30
    """How long that is. That guesses are bounded is OWASP ASVS 5.0 chapter 6; ten in an hour is a figure of ours."""
    lead_only: tuple[LeadDeed, ...] = LEAD_DEEDS


@dataclass(frozen=True)
class Person:
    """Somebody who works at the desk."""

    initials: str
    name: str
    role: Role
    active: bool = True
    has_pin: bool = True
