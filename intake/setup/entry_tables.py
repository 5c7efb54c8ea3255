"""The lists of the setup as tables of cells to type into: their columns, and what a cell changes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.setup.editing import Place
from intake.setup.model_fields import ValueRefused, value_at
from intake.setup.taking_out import TakingOut, taking_out
from intake.setup.trying import Change, Changeable
from intake.setup.typed import TEXT, Kind, kind_of, read_at

Texts = dict[str, str]
"""What is typed into a row, by the columns' names."""


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Attributes:
        path: Where in the entry its value stands: `("box", "hex")`.
        title: What stands over it.
        help: What it means, and how it is typed.
        wide: Its width beside the others'.
        kind: How its values are typed; by the model where not said.
        of: The kind where that depends on the setup, such as a choice among its categories.
        needed: Whether a new entry has to have it.
        change: What changes with it: the setup, the entry's row, the value and the setup before; only its own place
            where not said.
        show: Its text, where that is not the value's own.
        read: The value of a text, where that takes the setup and the entry's row. Raises an IntakeError.
        colour: Whether it is a colour, which is shown beside its value.
        offer: Whether a new entry is offered the value of the one that was chosen.
    """

    path: tuple[str, ...]
    title: str
    help: str
    wide: float = 6
    kind: Kind | None = None
    of: Callable[[Lab], Kind] | None = None
    needed: bool = False
    change: Callable[[Changeable, int, Any, Lab], None] | None = None
    show: Callable[[Any, Lab], str] | None = None
    read: Callable[[str, Lab, int | None], Any] | None = None
    colour: bool = False
    offer: bool = False

    @property
    def name(self) -> str:
        """Tells it from the other columns."""
        return ".".join(self.path)


@dataclass(frozen=True)
class Table:
    """One list of the setup.

    Attributes:
        place: Where it stands in the file.
        title: Its name.
        one: What an entry is called: `category`.
        purpose: What it is for.
        columns: Its columns.
        entries: Its entries; what stands at its place where not said.
        key: The field that tells an entry from the others.
        goes: What taking out an entry does, by its row.
        begins: What a new entry is offered, by columns.
        adds: What puts a new entry in; one table at its place where not said.
        can_move: Whether the order of its entries is the lab's own.
    """

    place: Place
    title: str
    one: str
    purpose: str
    columns: tuple[Column, ...]
    entries: Callable[[Lab], Sequence[Any]] | None = None
    key: str = "id"
    goes: Callable[[Lab, int], TakingOut] | None = None
    begins: Callable[[Lab], Texts] = field(default=lambda lab: {})
    adds: Callable[[Changeable, Mapping[str, Any], Lab], None] | None = None
    can_move: bool = True

    def rows(self, lab: Lab) -> Sequence[Any]:
        """Its entries as the setup has them."""
        return self.entries(lab) if self.entries is not None else value_at(lab, self.place)

    def kind(self, column: Column, lab: Lab) -> Kind:
        """How the values of a column are typed."""
        if column.of is not None:
            return column.of(lab)
        if column.kind is not None:
            return column.kind
        return TEXT if column.show is not None else kind_of((*self.place, 0, *column.path))

    def shown(self, column: Column, entry: Any, lab: Lab) -> str:
        """The text of a cell."""
        if column.show is not None:
            return column.show(entry, lab)
        return self.kind(column, lab).show(value_at(entry, column.path))

    def read(self, column: Column, text: str, lab: Lab, row: int | None = None) -> Any:
        """The value that a text means in a column. Raises an IntakeError that says what would be right."""
        if column.read is not None:
            return column.read(" ".join(text.split()), lab, row)
        if column.needed and not text.strip():
            raise ValueRefused("This cannot be empty.")
        return read_at((*self.place, 0, *column.path), self.kind(column, lab), text)

    def changing(self, column: Column, row: int, value: Any, lab: Lab) -> Change:
        """What sets a cell."""
        if column.change is not None:
            own = column.change
            return lambda setup: own(setup, row, value, lab)
        return lambda setup: setup.put((*self.place, row, *column.path), value)

    def begun(self, lab: Lab, like: Any = None) -> Texts:
        """What a new entry begins with: what is offered, and what it has of the one that was chosen."""
        taken = {} if like is None else {c.name: self.shown(c, like, lab) for c in self.columns if c.offer}
        return {**taken, **self.begins(lab)}

    def adding(self, texts: Texts, lab: Lab) -> Change:
        """What puts in a new entry of these texts. Raises ValueRefused, naming the column that cannot be read."""
        values: dict[str, Any] = {}
        for column in self.columns:
            text = texts.get(column.name, "")
            if not text.strip() and not column.needed:
                continue
            try:
                values[column.name] = self.read(column, text, lab)
            except IntakeError as problem:
                raise ValueRefused(f"{column.title}: {problem}") from None
        if self.adds is not None:
            own = self.adds
            return lambda setup: own(setup, values, lab)
        return lambda setup: setup.add(self.place, nested(values))

    def going(self, lab: Lab, row: int) -> TakingOut:
        """What taking out an entry does."""
        return self.goes(lab, row) if self.goes is not None else taking_out((*self.place, row))


def nested(values: Mapping[str, Any]) -> dict[str, Any]:
    """Values by dotted names as tables in tables: `box.hex` becomes `hex` of `box`."""
    tables: dict[str, Any] = {}
    for name, value in values.items():
        if value is None:
            continue
        table, (*path, last) = tables, name.split(".")
        for part in path:
            table = table.setdefault(part, {})
        table[last] = value
    return tables
