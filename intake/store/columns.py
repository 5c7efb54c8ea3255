"""The kinds of column: what a value becomes in SQLite and PostgreSQL alike.

Every time in the store is naive: the lab's clock on the wall, as tickets and letters print it. The order of events is
their number, never their time, so the hour that comes twice in autumn does no harm.
"""

import json
from collections.abc import Iterable
from datetime import date, datetime
from functools import lru_cache
from typing import Any, TypeVar

from pydantic import BaseModel
from sqlalchemy import CheckConstraint, DateTime, Dialect, Text
from sqlalchemy.types import TypeDecorator, TypeEngine

Model = TypeVar("Model", bound=BaseModel)


def clean(text: str) -> str:
    """Text that both databases can keep: NUL and halves of surrogate pairs become U+FFFD."""
    return text.replace("\x00", "\ufffd").encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def canonical(value: Any) -> str:
    """One text for one JSON value, whatever order its keys came in; ASCII only."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)


def one_of(column: str, words: Iterable[str]) -> CheckConstraint:
    """The constraint that a text column holds one of a few words."""
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=column)


class Words(TypeDecorator[str]):
    """Text as it was typed."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Make it fit to be kept."""
        return value if value is None or (value.isascii() and "\x00" not in value) else clean(value)


class Key(Words):
    """Text that is compared character by character, never by a language's rules, so that a prefix is a range."""

    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """SQLite compares so by itself; PostgreSQL has to be told."""
        return Text(collation="C") if dialect.name == "postgresql" else Text()


class WallTime(TypeDecorator[datetime]):
    """A time on the lab's wall clock."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Refuse a time with a zone: it would be stored as another time than was meant."""
        if value is not None and value.tzinfo is not None:
            raise ValueError(f"{value} has a time zone; the store keeps the lab's wall clock")
        return value


class DayOrTime(TypeDecorator[date | datetime]):
    """A day, or a day with a time where one was given, as text that sorts: 2026-12-10 or 2026-12-10T09:30:00."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: date | datetime | None, dialect: Dialect) -> str | None:
        """Write it by ISO 8601."""
        return None if value is None else value.isoformat()

    def process_result_value(self, value: str | None, dialect: Dialect) -> date | datetime | None:
        """Ten characters are a day."""
        if value is None:
            return None
        return date.fromisoformat(value) if len(value) == 10 else datetime.fromisoformat(value)


class Json(TypeDecorator[Any]):
    """A JSON value as canonical text, the same bytes in both databases."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """Write it."""
        return None if value is None else canonical(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:
        """Read it."""
        return None if value is None else json.loads(value)


class Value(TypeDecorator[Model]):
    """A frozen value of the domain as JSON."""

    impl = Text
    cache_ok = True

    def __init__(self, model: type[Model], remembered: int = 0) -> None:
        """Keep values of `model`; so many of those that were read last are not read from their text again."""
        super().__init__()
        self.model, self.remembered = model, remembered
        read = model.model_validate_json
        self._read = lru_cache(remembered)(read) if remembered else read

    def process_bind_param(self, value: Model | None, dialect: Dialect) -> str | None:
        """Write it."""
        return None if value is None else value.model_dump_json()

    def process_result_value(self, value: str | None, dialect: Dialect) -> Model | None:
        """Read and check it."""
        return None if value is None else self._read(value)
