"""Many ids or words at once: handed over as one parameter, and read as one value, since row by row takes long."""

import json
from collections.abc import Collection
from typing import Any

from sqlalchemy import ARRAY, ColumnElement, CompoundSelect, Connection, Integer, Text, any_, func, literal, select
from sqlalchemy.orm import InstrumentedAttribute

from intake.store.selects import AnySelect

Column = ColumnElement[Any] | InstrumentedAttribute[Any]


def listed(connection: Connection, values: Collection[int] | Collection[str]) -> ColumnElement[Any]:
    """A column that lists ids or words, to select from."""
    given = sorted(values)
    if connection.dialect.name == "sqlite":
        column: ColumnElement[Any] = func.json_each(json.dumps(given)).table_valued("value").c.value
        return column
    return func.unnest(literal(given, ARRAY(_kind(given)))).column_valued("value")


def among(connection: Connection, column: Column, values: Collection[int] | Collection[str]) -> ColumnElement[bool]:
    """Whether a column holds one of many ids or words."""
    if connection.dialect.name == "sqlite":
        return column.in_(select(listed(connection, values)))
    given = sorted(values)
    return column == any_(literal(given, ARRAY(_kind(given))))


def gathered(connection: Connection, found: AnySelect | CompoundSelect[*tuple[Any, ...]]) -> list[Any]:
    """The values of a select's one column."""
    (column,) = found.subquery().c
    if connection.dialect.name == "sqlite":
        return list(json.loads(connection.scalar(select(func.json_group_array(column))) or "[]"))
    return list(connection.scalar(select(func.array_agg(column))) or ())


def _kind(given: list[Any]) -> Text | Integer:
    return Text() if given and isinstance(given[0], str) else Integer()
