"""One thing on the call card that the desk says, and types into: a question, a confirmation, a returned form."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from intake.domain.answer import Answer, Speaker
from intake.domain.form_fields import Said
from intake.ui.findings_list import Level

MORE = "…"
"""Ends what is offered where something is still to be typed."""


@dataclass(frozen=True)
class TakeAnswer:
    """Takes an answer to a query down."""

    query_id: int
    answer: Answer


@dataclass(frozen=True)
class Confirm:
    """Notes that answers by word of mouth are confirmed in writing."""

    answer_ids: tuple[int, ...]
    how: str


@dataclass(frozen=True)
class StillHolds:
    """Notes that a standing instruction was gone through and holds."""

    index: int


@dataclass(frozen=True)
class WithdrawStanding:
    """Withdraws a standing instruction."""

    index: int
    reason: str


@dataclass(frozen=True)
class TakeReply:
    """Takes every readable answer of a returned form."""

    reply_id: int


@dataclass(frozen=True)
class SetAside:
    """Takes a returned form off the card, since a person has read it."""

    reply_id: int


@dataclass(frozen=True)
class RingBack:
    """Notes when the practice is to be rung back; None where no time was said."""

    when: datetime | None


Deed = TakeAnswer | Confirm | StillHolds | WithdrawStanding | TakeReply | SetAside | RingBack


@dataclass(frozen=True)
class Read:
    """What was understood of a text, and what Enter then does; None where it does nothing yet."""

    said: Said
    deed: Deed | None = None


@dataclass(frozen=True)
class Offer:
    """One of the usual answers: what typing it looks like, and what it means."""

    words: str
    shown: str

    @property
    def is_whole(self) -> bool:
        """Whether it can be taken as it stands."""
        return MORE not in self.words

    @property
    def beginning(self) -> str:
        """What it puts into the field."""
        return self.words.partition(MORE)[0]


@dataclass(frozen=True)
class Asking:
    """What stands before the desk, and what its field takes."""

    id: str
    about: str
    """Whom and what it is about."""
    words: str
    """What to say."""
    read: Callable[[str, Speaker], Read]
    because: str = ""
    notes: tuple[str, ...] = ()
    """What to know beside it, a line each."""
    offers: tuple[Offer, ...] = ()
    level: Level | None = None
    needs_speaker: bool = False
    may_stand: bool = False
    """Whether an answer can become a standing instruction."""
    is_settled: bool = False
    """Whether it need not be asked any more, and stands there only for what is typed."""
    picture: bytes | None = field(default=None, repr=False)


def nothing_read(text: str, speaker: Speaker) -> Read:
    """For what takes no text."""
    return Read(Said(""))
