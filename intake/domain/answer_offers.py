"""The answers that a form offers to tick: words with lines to fill in, and what they say once they are filled."""

import re
from collections.abc import Sequence
from datetime import datetime

from intake.domain.answering import read_answer
from intake.domain.case import Case
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.verdict import Finding

BLANK = re.compile(r"_{2,}")
_MOST_LINES = 9
_SAMPLES = (*((each,) * _MOST_LINES for each in ("2", "1 dec", "UR1", "A1", "words")), ("1 dec", "9.30"))
"""Anything that the lines of an answer may be meant for, in their order: the last is a day and a time of day."""


def offered(question: Finding, case: Case, lab: Lab, practice: Practice | None, now: datetime) -> tuple[str, ...]:
    """The setup's answers to a requirement that can be read as answers to this question; the others make no sense here.

    So a question that asks for an impression offers no “upper”, and one that asks for the arch no “in the post”.
    """

    def is_read(answer: str) -> bool:
        tried = (filled(answer, sample) for sample in _samples(answer))
        return any(read_answer(text, question, case, lab, practice, now).answer for text in tried)

    return tuple(filter(is_read, lab.letter.answers.get(question.requirement, ())))


def filled(answer: str, texts: Sequence[str]) -> str:
    """An answer with its lines filled in, in their order; a line that nobody filled is left out."""
    given = iter(texts)
    return " ".join(BLANK.sub(lambda _: next(given, "").strip(), answer).split())


def _samples(answer: str) -> tuple[tuple[str, ...], ...]:
    return _SAMPLES if BLANK.search(answer) else ((),)
