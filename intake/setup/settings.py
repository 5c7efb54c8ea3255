"""A single setting of the setup as a field of a form: what it is called, what it means, and how it is typed."""

from dataclasses import dataclass
from typing import Any

from intake.domain.lab import Lab
from intake.setup.editing import Place
from intake.setup.entry_tables import Table
from intake.setup.model_fields import value_at
from intake.setup.typed import Kind, kind_of, read_at


@dataclass(frozen=True)
class Setting:
    """One setting.

    Attributes:
        place: Where it stands in the file.
        label: What it is called.
        help: What it means.
        unit: What stands behind its field.
        kind: How it is typed; by the model where not said.
        offers: What can be offered to choose from, which the desk knows: the `queues` of this computer, a `logo` file.
    """

    place: Place
    label: str
    help: str
    unit: str = ""
    kind: Kind | None = None
    offers: str = ""

    @property
    def name(self) -> str:
        """Tells it from the other settings."""
        return ".".join(map(str, self.place))

    @property
    def typed(self) -> Kind:
        """How it is typed."""
        return self.kind or kind_of(self.place)

    def shown(self, lab: Lab) -> str:
        """Its text."""
        return self.typed.show(value_at(lab, self.place))

    def read(self, text: str) -> Any:
        """The value of a text. Raises ValueRefused with what would be right."""
        return read_at(self.place, self.typed, text)


@dataclass(frozen=True)
class Group:
    """Settings that belong together, and the lists that go with them."""

    title: str
    told: str
    settings: tuple[Setting, ...]
    tables: tuple[Table, ...] = ()
