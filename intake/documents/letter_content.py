"""What stands in a query letter, in the words to be printed."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal


@dataclass(frozen=True)
class LetterQuestion:
    """One question on a case. In an answer to tick, underscores are a line to fill: "coming by post on ____"."""

    question: str
    reason: str
    level: Literal["stops", "asks", "warns"]
    answers: tuple[str, ...] = ()


@dataclass(frozen=True)
class LetterCase:
    """One incomplete case of the practice."""

    patient: str
    numbers: tuple[str, ...]
    """Of its jobs, in groups."""
    barcode: str
    """Digits only: a job's number and 00 for the copy."""
    appliances: tuple[str, ...]
    questions: tuple[LetterQuestion, ...]
    appointment: str = ""
    arrived: str = ""
    reply_by: str = ""
    otherwise: str = ""
    """What happens to the appointment without an answer by then."""


@dataclass(frozen=True)
class Letter:
    """One letter to one practice for all its incomplete cases; every text is final, what is empty is left out."""

    number: str
    date: str
    """With the weekday."""
    lab: str
    practice: str
    address: tuple[str, ...]
    """The lines under the practice's name, the postcode last."""
    subject: str
    opening: str
    cases: tuple[LetterCase, ...]
    slip: str
    caution: str
    closing: str
    lab_address: tuple[str, ...] = ()
    telephone: str = ""
    email: str = ""
    logo: Path | None = None
