"""What is read of an open job to count its dates anew."""

from dataclasses import dataclass
from datetime import date, datetime

from intake.domain.verdict import Deadlines


@dataclass(frozen=True)
class DatedJobRow:
    """An open job whose case has an appointment."""

    job_id: int
    version: int
    case_id: int
    number: str
    category: str
    category_name: str
    deadlines: Deadlines | None
    moved: datetime | None
    """When its box was last handed over; None while it has not left reception."""
    appointment: date | datetime
    arrived: datetime
    practice_code: str | None
    practice_name: str
    patient_label: str
    patient_reference: str
