"""How the values of the setup are typed and shown in a field or a cell: one way for each kind of value."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import time
from typing import Any, Literal, get_args, get_origin

from intake.setup.editing import Place
from intake.setup.model_fields import ValueRefused, checked, may_be_empty, plain_kind_at

Look = Literal["line", "lines", "number", "choice", "tick"]
"""How a field looks: a line or several to type, a number, a choice among a few, a box to tick."""


@dataclass(frozen=True)
class Kind:
    """How a value is written.

    Attributes:
        look: What the field looks like.
        show: The text of a value.
        read: The value of a text. Raises ValueRefused.
        offers: The words that can be chosen.
    """

    look: Look
    show: Callable[[Any], str]
    read: Callable[[str], Any]
    offers: tuple[str, ...] = ()


def read_at(place: Place, kind: Kind, text: str) -> Any:
    """The value that a text means at a place of the setup, within the model's limits; None: leave it to the default.

    Raises ValueRefused with what would be right.
    """
    if not text.strip() and may_be_empty(place):
        return None
    value = kind.read(text.strip())
    checked(place, value)
    return value


def kind_of(place: Place) -> Kind:
    """The kind that a place's type asks for."""
    kind = plain_kind_at(place)
    if get_origin(kind) is Literal:
        return choice([(str(value), value) for value in get_args(kind)])
    if get_origin(kind) is tuple:
        return LIST
    return _BY_TYPE[kind]


def choice(offers: Sequence[tuple[str, Any]]) -> Kind:
    """A choice: the words and the value of each."""
    by_words = {words.casefold(): value for words, value in offers}
    by_value = {value: words for words, value in offers}

    def read(text: str) -> Any:
        if text.casefold() not in by_words:
            raise ValueRefused(f"Choose one of these: {', '.join(words for words, _ in offers)}.")
        return by_words[text.casefold()]

    words = tuple(words for words, _ in offers)
    return Kind("choice", lambda value: by_value.get(value, "" if value is None else str(value)), read, words)


def _number(text: str) -> int:
    digits = re.sub(r"\s|,(?=\d{3}\b)", "", text)
    if not re.fullmatch(r"-?\d+", digits):
        raise ValueRefused(f"“{text}” is no whole number." if text else "Write a number.")
    return int(digits)


def _decimal(text: str) -> float | int:
    if not re.fullmatch(r"-?\d+([.,]\d+)?", text):
        raise ValueRefused(f"“{text}” is no number; write it as 1.5." if text else "Write a number.")
    value = float(text.replace(",", "."))
    return int(value) if value.is_integer() else value


def _clock(text: str) -> time:
    match = re.fullmatch(r"(\d{1,2})[:.](\d\d)", text)
    if match is None or int(match[1]) > 23 or int(match[2]) > 59:
        raise ValueRefused("Write the time of day as 12:00.")
    return time(int(match[1]), int(match[2]))


def _tick(text: str) -> bool:
    answers = {"yes": True, "y": True, "no": False, "n": False, "": False}
    if text.casefold() not in answers:
        raise ValueRefused("Write yes or no.")
    return answers[text.casefold()]


def _parts(text: str) -> list[str]:
    """Words parted by commas or lines, each once."""
    return list(dict.fromkeys(part for part in map(str.strip, re.split(r"[,;\n]", text)) if part))


def _lines(text: str) -> list[str]:
    return [line for line in map(str.strip, text.splitlines()) if line]


TEXT = Kind("line", lambda value: value or "", lambda text: text)
LIST = Kind("line", ", ".join, _parts)
"""Several words, parted by commas."""
WORD_LIST = Kind("lines", ", ".join, _parts)
"""So many words that they take several lines."""
LINES = Kind("lines", "\n".join, _lines)
"""A line for each, such as those of an address."""
NUMBER = Kind("number", lambda value: "" if value is None else str(value), _number)
DECIMAL = Kind("number", lambda value: "" if value is None else f"{value:.10g}", _decimal)
TICK = Kind("tick", lambda value: "yes" if value else "no", _tick)
CLOCK = Kind("line", lambda value: f"{value:%H:%M}", _clock)
_BY_TYPE: dict[Any, Kind] = {str: TEXT, int: NUMBER, float: DECIMAL, bool: TICK, time: CLOCK}
