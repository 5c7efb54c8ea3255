"""What stands in a query letter, in the words to be printed."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from intake.domain.printed.papers import LetterWords

_WORDS = LetterWords()


@dataclass(frozen=True)
class LetterQuestion:
    """One question on a case. In an answer to tick, underscores are a line to fill: "coming by post on ____"."""

    question: str
    reason: str
    level: Literal["stops", "asks", "warns"]
    answers: tuple[str, ...] = ()
    id: int = 0
    """Of its query; 0 where the form has no fields for it."""
    menu: tuple[str, ...] = ()
    """Answers to choose in the form where there are too many to tick, such as shades; paper has a line for them."""
    own: tuple[str, ...] = ()
    """The lab's own words for `answers`, in their order, where those are in another language."""


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
class AgreedAnswer:
    """One answer that was given by word of mouth and is to be confirmed."""

    id: int
    """Of the answer; 0 where the form has no fields for it."""
    about: str
    """What it is about: "Upper hard occlusal splint, thickness"."""
    says: str
    """"1.5 mm"."""
    by: str
    """Who said it, in what role and by which way."""
    on: str
    """The day with its weekday."""


@dataclass(frozen=True)
class AgreedCase:
    """What was agreed about one case."""

    patient: str
    numbers: tuple[str, ...]
    """Of its jobs, in groups."""
    barcode: str
    """Digits only: a job's number and 00 for the copy."""
    answers: tuple[AgreedAnswer, ...]


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
    form: str = ""
    """The number of the reply form, of `intake.domain.reply_number`; empty for a slip that only a pen can fill."""
    agreed: tuple[AgreedCase, ...] = ()
    agreed_opening: str = ""
    """The lab's words over what was agreed."""
    reminder: str = ""
    """The sentence that reminds of an earlier letter."""
    words: LetterWords = _WORDS
    """The fixed words, in the language of the letter."""
    own: LetterWords | None = None
    """The lab's own, where those are in another language."""

    @property
    def kind(self) -> str:
        """What it is called."""
        return self.words.kind
