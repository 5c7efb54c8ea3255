"""Changes a setup's text entry by entry; comments and everything that is not meant stay as they are."""

from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit import TOMLDocument
from tomlkit.items import AoT, Array, Comment, InlineTable, Table, Whitespace

from intake.setup.table_lists import Lines, insert, lines_at_end, remarks_of, take

Place = tuple[str | int, ...]
"""Where in the file: `("categories", 2, "box", "hex")`."""


class SetupText:
    """A setup's text while it is being changed, parsed once.

    Args:
        text: The file's text, which has to be TOML.
    """

    def __init__(self, text: str) -> None:
        plain = text.removeprefix("\ufeff")
        self.document: TOMLDocument = tomlkit.parse(plain if plain.endswith("\n") else f"{plain}\n")

    def __str__(self) -> str:
        """The text as it is now."""
        return tomlkit.dumps(self.document)

    def get(self, place: Place) -> Any:
        """What stands at a place, as plain values; None where nothing does."""
        item: Any = self.document
        for part in place:
            try:
                item = item[part]
            except (KeyError, IndexError, TypeError):
                return None
        return item.unwrap() if hasattr(item, "unwrap") else item

    def put(self, place: Place, value: Any) -> None:
        """Set a value, making the tables on the way to it; None takes it out.

        A mapping takes the place of a whole table, a list of mappings that of a list of tables; what stays the same
        keeps its comments.
        """
        if value is None and self.get(place) is None:
            return
        within = self._table_of(place)
        name: Any = place[-1]
        known = within[name] if isinstance(name, int) or name in within else None
        if value is None:
            self._delete(within, place)
        elif known is None:
            self._put_new(within, place, value)
        elif isinstance(known, AoT):
            self._put_entries(place, value)
        elif isinstance(known, Table):
            self._put_values(place, value)
        else:
            within[name] = _written(value)

    def add(self, place: Place, value: Any, at: int | None = None) -> None:
        """Put an entry into the list at a place, at the end where not said; the list is made if there is none.

        A mapping becomes a table of its own (`[[categories]]`) where the list is one of those, or new at the top;
        anything else, and lists that lie in one line, keep to that line.
        """
        within = self._table_of(place)
        name: Any = place[-1]
        whole_tables = isinstance(value, Mapping) and len(place) == 1
        if whole_tables and not within.get(name):
            within.pop(name, None)
            self._end_with_blank_line()
            within[name] = tomlkit.aot()
        elif name not in within:
            self._put_new(within, place, [])
        entries: AoT | Array = within[name]
        index = len(entries) if at is None else at
        if isinstance(entries, AoT):
            insert(entries, index, _table(value), [], self._above(place))
        else:
            entries.insert(index, _written(value))

    def take_out(self, place: Place) -> Any:
        """Take out what stands at a place; it is given back as plain values."""
        before = self.get(place)
        self.put(place, None)
        return before

    def move(self, place: Place, to: int) -> None:
        """Move the entry of a list to another position in it, with the remark right above it."""
        entries: Any = self._table_of(place)
        index = place[-1]
        assert isinstance(index, int), "only entries of lists are moved"
        if isinstance(entries, AoT):
            above = self._above(place[:-1])
            insert(entries, to, *take(entries, index, above), above)
        else:
            entry = entries[index]
            del entries[index]
            entries.insert(to, entry)

    def _table_of(self, place: Place) -> Any:
        table: Any = self.document
        for number, part in enumerate(place[:-1], start=1):
            if isinstance(part, str) and part not in table:
                self._put_new(table, place[:number], {})
            table = table[part]
        return table

    def _put_new(self, within: Any, place: Place, value: Any) -> None:
        name = str(place[-1])
        if isinstance(value, Mapping) and len(place) == 1:
            self._end_with_blank_line()
            within[name] = _table(value)
        elif isinstance(within, InlineTable):  # written anew, for the spaces within its braces
            self.put(place[:-1], self.get(place[:-1]) | {name: value})
        else:
            _put_line(within, name, _written(value))

    def _put_entries(self, place: Place, values: Sequence[Mapping[str, Any]]) -> None:
        for at, value in enumerate(values):
            if self.get((*place, at)) is None:
                self.add(place, value)
            else:
                self._put_values((*place, at), value)
        for at in range(len(self.get(place)) - 1, len(values) - 1, -1):
            self.take_out((*place, at))

    def _put_values(self, place: Place, values: Mapping[str, Any]) -> None:
        for name in self.get(place):
            if values.get(name) is None:
                self.put((*place, name), None)
        for name, value in values.items():
            if value is not None and self.get((*place, name)) != value:
                self.put((*place, name), value)

    def _delete(self, within: Any, place: Place) -> None:
        name: Any = place[-1]
        if isinstance(within, AoT):
            take(within, name, self._above(place[:-1]))
        elif isinstance(within, InlineTable):
            self.put(place[:-1], self.get(place[:-1]) | {name: None})
        elif isinstance(name, int) or name in within:
            heading = remarks_of(within[name])  # that of what follows
            above = self._above(place)
            del within[name]
            if above is not None:
                above += heading

    def _above(self, place: Place) -> Lines | None:
        """Where the lines above a table, or list of tables, of the file are kept: at the end of what stands there."""
        body = self.document.body
        at = next((at for at, (key, _) in enumerate(body) if key is not None and key.key == place[0]), 0)
        above = body[at - 1][1] if at and len(place) == 1 else None
        return lines_at_end(above) if isinstance(above, Table) or (isinstance(above, AoT) and len(above)) else None

    def _end_with_blank_line(self) -> None:
        last = self.document.body[-1][1] if self.document.body else None
        lines = lines_at_end(last) if isinstance(last, Table | AoT) else self.document.body
        if lines and not isinstance(lines[-1][1], Whitespace):
            lines.append((None, Whitespace("\n")))


def _put_line(within: Any, name: str, item: Any) -> None:
    """Put a new line into a table: under the remark that shows it commented out, else under the last of its lines."""
    container = within.value if isinstance(within, Table) else within
    body: Lines = container.body
    lines = [at for at, (key, each) in enumerate(body) if key is not None and not isinstance(each, Table | AoT)]
    shown = (at for at, (_, each) in enumerate(body) if isinstance(each, Comment) and _shows(each, name))
    at = next(shown, lines[-1] if lines else -1) + 1
    if at < len(body):
        container._insert_at(at, name, item)  # the parser has no open way to put a line where it belongs
        if isinstance(within, Table):
            dict.__setitem__(within, name, container[name])  # what a table does itself when it is added to
    else:
        within[name] = item


def _shows(comment: Comment, name: str) -> bool:
    return comment.as_string().lstrip("# ").startswith(f"{name} =")


def _table(values: Mapping[str, Any]) -> Table:
    table = tomlkit.table()
    for name, value in values.items():
        if value is not None:
            table.add(name, _written(value))
    return table


def _written(value: Any) -> Any:
    """A plain value as TOML has it: a mapping becomes a table in one line."""
    return (
        tomlkit.value(_toml(value)) if isinstance(value, Mapping | Sequence) and not isinstance(value, str) else value
    )


def _toml(value: Any) -> str:
    if isinstance(value, Mapping):
        inner = ", ".join(
            f"{tomlkit.key(name).as_string()} = {_toml(part)}" for name, part in value.items() if part is not None
        )
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, Sequence) and not isinstance(value, str):
        return f"[{', '.join(map(_toml, value))}]"
    return str(tomlkit.item(value).as_string())
