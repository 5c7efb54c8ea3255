"""The fields of a reply form: their names, and what they say once somebody has filled them in.

`q12-choice` is the answer ticked to query 12, `q12-line-0-1` the second line to fill in its first answer, `q12-menu` an
answer out of a menu, `q12-other` any other answer. `a5-choice` says whether answer 5 was so agreed, and `a5-line-1-0`
what is right instead. `q12-asks` and `a5-asks`, which no viewer shows, keep the words that were printed; `q12-own-asks`
keeps the lab's own words for the answers, where they were printed in another language.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from intake.domain.answer import Authority
from intake.domain.form_check import ASKS, CHECK, FORM, OFF, form_check, is_as_issued, written

__all__ = [
    "CHECK",
    "DATE",
    "FORM",
    "NAME",
    "ROLE",
    "ROLES_TO_TICK",
    "Filled",
    "agreed_in",
    "agreed_key",
    "asks",
    "choice_field",
    "filled",
    "form_check",
    "is_as_issued",
    "line_field",
    "lines_of",
    "menu_field",
    "one_each",
    "other_field",
    "own_asks",
    "question_key",
    "questions_in",
    "words_asked",
]

NAME, ROLE, DATE = "name", "role", "date"
"""Who filled the form in, as what, and when."""
ROLES_TO_TICK: tuple[Authority, ...] = ("prescriber", "on-behalf", "team")
"""What can be ticked as the role, by its value."""
LINE = re.compile(r"_{2,}")
"""A line to fill in the words of an answer."""
Problem = Literal["", "two answers", "line of another answer", "line left empty", "not one of the answers"]


def question_key(query_id: int) -> str:
    """How the names of the fields of a question begin."""
    return f"q{query_id}"


def agreed_key(answer_id: int) -> str:
    """How the names of the fields of an agreed answer begin."""
    return f"a{answer_id}"


def choice_field(key: str) -> str:
    """The radio buttons: `0` is the first answer, `1` the second."""
    return f"{key}-choice"


def line_field(key: str, choice: int, line: int) -> str:
    """A line to fill in the words of an answer, both counted from 0."""
    return f"{key}-line-{choice}-{line}"


def menu_field(key: str) -> str:
    """The menu of answers; its value is the answer itself."""
    return f"{key}-menu"


def other_field(key: str) -> str:
    """Any other answer, in words."""
    return f"{key}-other"


def asks(key: str) -> str:
    """The field that keeps what was asked."""
    return f"{key}-{ASKS}"


def words_asked(question: str, answers: tuple[str, ...]) -> str:
    """The value of that field: the question, then each answer, a line each."""
    return "\n".join(map(written, (question, *answers)))


def own_asks(key: str) -> str:
    """The field that keeps the lab's own words for answers that were printed in another language."""
    return f"{key}-own-{ASKS}"


def one_each(answers: tuple[str, ...]) -> str:
    """The value of that field: each answer, a line each."""
    return "\n".join(map(written, answers))


def lines_of(answer: str) -> tuple[str, ...]:
    """An answer's words before, between and behind its lines to fill: one more than there are lines."""
    return tuple(LINE.split(answer))


def questions_in(fields: Mapping[str, str]) -> tuple[int, ...]:
    """The queries that a form asks, in the order of their numbers."""
    return _ids(fields, "q")


def agreed_in(fields: Mapping[str, str]) -> tuple[int, ...]:
    """The answers that a form wants confirmed, in the order of their numbers."""
    return _ids(fields, "a")


@dataclass(frozen=True)
class Filled:
    """What a form says to one question; the one who reads it decides what it means.

    Attributes:
        choice: Which answer is ticked, or has its lines filled in where nothing is ticked; None for none.
        text: That answer in words with its lines filled in, or what was chosen in the menu.
        other: What was written beside it.
        problem: Why it cannot be taken as it is: nothing is guessed.
    """

    choice: int | None = None
    text: str = ""
    other: str = ""
    problem: Problem = ""

    @property
    def says_nothing(self) -> bool:
        """Whether the question was left empty."""
        return self == Filled()


def filled(fields: Mapping[str, str], key: str) -> Filled:
    """What the fields of a question, or of an agreed answer, say.

    A line that is filled in without its answer being ticked ticks it, where it is the only one. In whatever language it
    was asked, an answer is given in the lab's own words.
    """
    own = fields.get(own_asks(key), "")
    answers = own.split("\n") if own else fields.get(asks(key), "").split("\n")[1:]
    other, menu = written(fields.get(other_field(key), "")), written(fields.get(menu_field(key), ""))
    lines = [_lines(fields, key, choice, answer) for choice, answer in enumerate(answers)]
    begun = [choice for choice, line in enumerate(lines) if any(line)]
    ticked = fields.get(choice_field(key), "").removeprefix("/")
    if ticked in ("", OFF):
        choices = begun
    elif ticked.isdecimal() and int(ticked) < len(answers):
        choices = [int(ticked)]
    else:
        return Filled(None, "", other, "not one of the answers")
    texts = [_in_words(answers[choice], lines[choice]) for choice in choices] + [menu] * bool(menu)
    text = "; ".join(texts)
    if len(texts) > 1:
        return Filled(None, text, other, "two answers")
    if not choices:
        return Filled(None, text, other)
    choice = choices[0]
    if set(begun) - {choice}:
        return Filled(choice, text, other, "line of another answer")
    return Filled(choice, text, other, "" if all(lines[choice]) else "line left empty")


def _lines(fields: Mapping[str, str], key: str, choice: int, answer: str) -> list[str]:
    """What was filled into each line of an answer."""
    return [written(fields.get(line_field(key, choice, i), "")) for i in range(len(lines_of(answer)) - 1)]


def _in_words(answer: str, lines: list[str]) -> str:
    parts = lines_of(answer)
    return written("".join(part + line for part, line in zip(parts, [*lines, ""], strict=True)))


def _ids(fields: Mapping[str, str], letter: str) -> tuple[int, ...]:
    found = (re.fullmatch(rf"{letter}([0-9]{{1,18}})-{ASKS}", name) for name in fields)
    return tuple(sorted(int(match[1]) for match in found if match))
