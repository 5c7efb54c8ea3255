"""Tries a change of the setup before it is made: what the setup would say that cannot hold together."""

import tomllib
from collections.abc import Callable
from typing import Any, Protocol

from pydantic import ValidationError

from intake.domain.lab import Lab
from intake.setup.editing import Place
from intake.setup.reading import contradictions


class Changeable(Protocol):
    """A setup whose entries can be changed by their places: the text with its comments, or plain values."""

    def get(self, place: Place) -> Any:
        """What stands at a place; None where nothing does."""

    def put(self, place: Place, value: Any) -> None:
        """Set a value; None takes it out."""

    def add(self, place: Place, value: Any, at: int | None = None) -> None:
        """Put an entry into a list."""

    def take_out(self, place: Place) -> Any:
        """Take out what stands at a place."""

    def move(self, place: Place, to: int) -> None:
        """Move the entry of a list."""


Change = Callable[[Changeable], Any]


class PlainSetup:
    """A setup as plain values, which are read in a tenth of the time that the text with its comments takes.

    Args:
        text: The file's text, which has to be TOML.
    """

    def __init__(self, text: str) -> None:
        self.data: dict[str, Any] = tomllib.loads(text.removeprefix("\ufeff"))

    def get(self, place: Place) -> Any:
        """What stands at a place; None where nothing does."""
        value: Any = self.data
        for part in place:
            try:
                value = value[part]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def put(self, place: Place, value: Any) -> None:
        """Set a value, making the tables on the way to it; None takes it out."""
        table, last = self._table_of(place), place[-1]
        if value is not None:
            table[last] = value
        elif isinstance(last, int) or last in table:
            del table[last]

    def add(self, place: Place, value: Any, at: int | None = None) -> None:
        """Put an entry into the list at a place, at the end where not said."""
        entries = self._table_of(place).setdefault(place[-1], [])
        entries.insert(len(entries) if at is None else at, value)

    def take_out(self, place: Place) -> Any:
        """Take out what stands at a place; it is given back."""
        before = self.get(place)
        self.put(place, None)
        return before

    def move(self, place: Place, to: int) -> None:
        """Move the entry of a list to another position in it."""
        entries: Any = self._table_of(place)
        entries.insert(to, entries.pop(place[-1]))

    def _table_of(self, place: Place) -> Any:
        table: Any = self.data
        for part in place[:-1]:
            table = table[part] if isinstance(part, int) else table.setdefault(part, {})
        return table


def refusal(text: str, lab: Lab, change: Change) -> str:
    """Why a change cannot be made, in a sentence; empty where it can.

    Args:
        text: The setup as it is.
        lab: The same as a value; what it says already that cannot hold together is not held against the change.
        change: The change.
    """
    trial = PlainSetup(text)
    change(trial)
    try:
        after = Lab.model_validate(trial.data)
    except ValidationError as error:
        return _sentence(error.errors(include_url=False)[0]["msg"].removeprefix("Value error, "))
    before = set(contradictions(lab))
    return next((_sentence(problem) for problem in contradictions(after) if problem not in before), "")


def _sentence(text: str) -> str:
    """With a capital and a full stop; the name of a field in front stays as it stands in the file."""
    first = text[:1] if "_" in text.split(",")[0] else text[:1].upper()
    return f"{first}{text[1:].rstrip('.')}."
