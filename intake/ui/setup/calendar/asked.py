"""What the page Calendar asks of the desk, on the threads of the job runner."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.recounting import Recounted
    from intake.domain.bank_holidays import Country
    from intake.domain.lab import Lab

Progress = Callable[[int, int], None]
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Standing:
    """How the open jobs and the directory stand to the calendar.

    Attributes:
        due: Whether dates of open jobs are still to be counted by the setup in force.
        services: The practices that have each carrier's service, by the name that their entries write.
    """

    due: bool
    services: Mapping[str, tuple[str, ...]]


def countries() -> "tuple[Country, ...]":
    """All countries whose bank holidays are known."""
    from intake.domain.bank_holidays import countries

    return countries()


def standing(desk: "Desk") -> Standing:
    """How things stand now."""
    from intake.desk.recounting import is_due
    from intake.desk.services import services_used

    return Standing(is_due(desk), services_used(desk))


def recount(desk: "Desk", progress: Progress, stop: Stop) -> "Recounted":
    """Counts the dates of the open jobs anew."""
    from intake.desk.recounting import recount

    return recount(desk, progress, stop)


def would_change(desk: "Desk", lab: "Lab", progress: Progress, stop: Stop) -> "Recounted":
    """What a setup would do to the dates of the open jobs."""
    from intake.desk.recounting import would_change

    return would_change(desk, lab, progress, stop)


def tickets_anew(desk: "Desk", recounted: "Recounted") -> "tuple[Issued, ...]":
    """Prints the next copy of every ticket that is out with dates that are no longer right."""
    from intake.desk.issue import issue_all
    from intake.desk.recounting import tickets_anew

    return tuple(issue_all(desk, tickets_anew(desk, recounted)))
