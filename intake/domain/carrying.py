"""Who takes finished work to a practice: the lab's usual way, or a carrier's service that the practice has."""

from dataclasses import dataclass

from intake.domain.lab import DeadlineRules
from intake.domain.practice import Practice


@dataclass(frozen=True)
class Carriage:
    """How work is carried to a practice.

    Attributes:
        transit_days: Delivery days that it is on the way.
        weekdays: The weekdays on which it is carried.
        service: The carrier's service, as the lab setup writes it; empty for the usual way.
        unknown: The service that the practice's entry names and the lab setup does not have; the usual way is counted.
    """

    transit_days: int
    weekdays: frozenset[int]
    service: str = ""
    unknown: str = ""

    @property
    def warning(self) -> str:
        """What is said of a service that is not known; empty where nothing is wrong."""
        if not self.unknown:
            return ""
        return f"The practice's service “{self.unknown}” is not in the lab setup, so the usual way is counted."


def carriage_to(practice: Practice | None, rules: DeadlineRules) -> Carriage:
    """How work is carried to a practice: its service, else the usual way; its own days on the way go before either's.

    A service is found by its name in any case of letters. Common practice, no source.
    """
    named = (practice.service or "").strip() if practice else ""
    service = next((each for each in rules.services if each.name.casefold() == named.casefold()), None)
    days = service.transit_days if service else rules.transit_days
    own = practice.transit_days if practice else None
    return Carriage(
        transit_days=days if own is None else own,
        weekdays=frozenset(service.weekdays if service else rules.delivery_weekdays),
        service=service.name if service else "",
        unknown=named if named and service is None else "",
    )
