"""What a practice says to a question: the answer, and who said it."""

from datetime import date, datetime
from typing import Literal

from pydantic import model_validator

from intake.domain.case import Frozen, ItemKind

AnswerKind = Literal["value", "usual", "as-it-is", "promise", "ring-back", "note"]
"""value: something that the prescription lacked or had wrong; usual: the lab's own usual measure; as-it-is: the
prescriber wants it made so, which waives the requirement; promise: what is missing is on its way; ring-back: somebody
rings back; note: words that answer nothing yet, kept."""
Authority = Literal["prescriber", "on-behalf", "team"]
"""The prescriber's own word, a word on the prescriber's behalf, or the word of the practice's team alone."""
Route = Literal["telephone", "e-mail", "letter", "reply-form", "in-person"]
WRITTEN: tuple[Route, ...] = ("e-mail", "letter", "reply-form")
"""The routes that are in writing."""


class Promise(Frozen):
    """Something that the practice sends, and the day on which it can be here."""

    by: date
    way: Literal["post", "scan"]
    items: tuple[ItemKind, ...] = ()
    """What is to come, any one of these; empty where that cannot be told."""


class Answer(Frozen):
    """One answer to one question, read from what the desk typed or the form brought."""

    kind: AnswerKind
    says: str
    """In words that can stand behind a colon: `1 mm`, `in tonight’s post, here by Thu 26 Nov 2026`."""
    written: str
    """As it was typed or stood on the form."""
    sets: tuple[tuple[str, str], ...] = ()
    """For a value: fields of the form and the text that each gets: `appliances[0].options.thickness_mm`, `1`."""
    always: bool = False
    """Whether the practice wants it so from now on: it becomes a standing instruction."""
    promise: Promise | None = None
    ring_back: datetime | None = None
    """When, on the lab's wall clock; None where no time was said."""

    @model_validator(mode="after")
    def _has_what_its_kind_needs(self) -> "Answer":
        if (self.kind == "promise") != (self.promise is not None):
            raise ValueError("a promise, and nothing else, says what comes and when")
        if self.sets and self.kind not in ("value", "usual"):
            raise ValueError("only a value changes the prescription")
        return self


class Speaker(Frozen):
    """Who gave an answer, and by which way it came."""

    name: str
    authority: Authority
    route: Route
