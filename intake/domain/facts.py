"""What is known of a case beside the prescription itself."""

from dataclasses import dataclass
from datetime import date

from intake.domain.pouring import ImpressionAge
from intake.domain.practice import Practice
from intake.domain.verdict import Outlook


@dataclass(frozen=True)
class Facts:
    """What is known beside the prescription itself."""

    practice: Practice | None = None
    directory: bool = True
    """Whether there is a directory to look the practice up in."""
    day: date | None = None
    """The day by which dated rules hold: that of the arrival, or the desk's where that is not said."""
    outlook: Outlook | None = None
    """The worst of the case's jobs."""
    outlook_evidence: str = ""
    earliest: date | None = None
    """The earliest appointment that would hold for all jobs, when late."""
    repeated: frozenset[int] = frozenset()
    """The appliances that stand on the prescription before, by their place."""
    far_appointment: bool = False
    """Whether the appointment lies so many years away that it must be a slip of the pen."""
    ages: tuple[ImpressionAge, ...] = ()
