"""A practice's key: its code in the directory, or “~” and its name as it was written where the directory has none."""

from typing import Any

from sqlalchemy import ColumnElement, func
from sqlalchemy.orm import InstrumentedAttribute

from intake.store.tables import CaseTable, DocumentTable

UNLISTED = "~"
"""Alone: no practice is named."""


def key_of(code: str | None, name: str) -> str:
    """The key of a practice."""
    return code if code is not None else UNLISTED + name


def code_of(key: str | None) -> str | None:
    """The code that a key is, None where the directory does not have the practice."""
    return None if key is None or key.startswith(UNLISTED) else key


def is_of(table: type[CaseTable | DocumentTable], key: str) -> ColumnElement[bool]:
    """Whether a case or a document is of the practice with this key, asked so that an index answers."""
    code = code_of(key)
    if code is not None:
        return table.practice_code == code
    return table.practice_code.is_(None) & (table.practice_name == key.removeprefix(UNLISTED))


def _key(code: InstrumentedAttribute[str | None], name: InstrumentedAttribute[str]) -> ColumnElement[Any]:
    return func.coalesce(code, UNLISTED + name)


CASE_KEY = _key(CaseTable.practice_code, CaseTable.practice_name)
"""The key of a case's practice, to be selected."""
