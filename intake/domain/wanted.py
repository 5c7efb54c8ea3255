"""What somebody looks for: words of names and numbers, and what else the words can mean."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from intake.domain.slips import Slip
from intake.domain.written_dates import short_day, shown_day

Span = tuple[date, date]
"""From one day to another, both included."""
StandingWord = Literal["held", "clear", "gone", "withdrawn", "open", "finished"]
"""A job's state, or: open, still to be made; finished, through its last bench."""
STANDINGS: dict[StandingWord, str] = {
    "held": "held",
    "clear": "clear",
    "gone": "handed over",
    "withdrawn": "withdrawn",
    "open": "open",
    "finished": "finished",
}


@dataclass(frozen=True)
class Made:
    """Jobs in which one of these appliance types is made; `categories` are those that the types fall in."""

    types: tuple[str, ...]
    name: str
    categories: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """How it is said."""
        return self.name


@dataclass(frozen=True)
class Standing:
    """Jobs that stand so."""

    standing: StandingWord

    @property
    def said(self) -> str:
        """How it is said."""
        return STANDINGS[self.standing]


@dataclass(frozen=True)
class Late:
    """Jobs that are late now."""

    today: date
    start: date
    """The day from which work that has not begun counts: the next working day once the cut-off is past."""

    @property
    def said(self) -> str:
        """How it is said."""
        return "late now"


@dataclass(frozen=True)
class Came:
    """Jobs whose case arrived within one of these spans."""

    spans: tuple[Span, ...]

    @property
    def said(self) -> str:
        """How it is said."""
        return f"arrived {_listed(self.spans)}"


@dataclass(frozen=True)
class Leaves:
    """Jobs that must leave within one of these spans."""

    spans: tuple[Span, ...]

    @property
    def said(self) -> str:
        """How it is said."""
        return f"must leave {_listed(self.spans)}"


@dataclass(frozen=True)
class At:
    """Jobs whose box is at a bench; None is reception."""

    bench: str | None

    @property
    def said(self) -> str:
        """How it is said."""
        return f"at {self.bench or 'reception'}"


@dataclass(frozen=True)
class Sent:
    """Jobs whose case came by post or as scans."""

    stream: Literal["post", "scan"]

    @property
    def said(self) -> str:
        """How it is said."""
        return "came by post" if self.stream == "post" else "came as scans"


Reading = Made | Standing | Late | Came | Leaves | At | Sent


@dataclass(frozen=True)
class Part:
    """A stretch of what was typed: a job fits it by its words or by one of its readings.

    Attributes:
        typed: The stretch as it was typed.
        words: The words, each of which begins a word of the case (a name, a reference, a number); none where the
            stretch is read in one way only.
        readings: What else it means.
    """

    typed: str
    words: tuple[str, ...] = ()
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True)
class Wanted:
    """What is looked for: every part has to fit."""

    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Mended:
    """What is looked for when a slip in one of the lab's own words is mended.

    Attributes:
        wanted: What it means then.
        typed: What was typed.
        read: What it was read as.
        slip: How far the one is from the other.
    """

    wanted: Wanted
    typed: str
    read: str
    slip: Slip


def plain_words(typed: str) -> Wanted:
    """What is looked for when every word is one of a name or a number and means nothing else."""
    return Wanted(tuple(Part(word, (word,)) for word in typed.split()))


def is_late(
    state: str, finished: bool, latest_start: date | None, must_leave: date | None, today: date, start: date
) -> bool:
    """Whether a job is late now: it should have left, or it should have been begun and is still at reception.

    Args:
        state: the job's state.
        finished: whether the last bench is done with it.
        latest_start: the last day on which it can be begun; None where there is no appointment.
        must_leave: the day on which it has to leave.
        today: the lab's day.
        start: the day from which work that has not begun counts.
    """
    if finished or state == "withdrawn":
        return False
    overdue = must_leave is not None and must_leave < today
    return overdue or (state != "gone" and latest_start is not None and latest_start < start)


def _listed(spans: tuple[Span, ...]) -> str:
    if len(spans) > 2:
        return "on a day written much like it"
    return " or ".join(
        shown_day(first) if first == last else f"{short_day(first)} to {shown_day(last)}" for first, last in spans
    )
