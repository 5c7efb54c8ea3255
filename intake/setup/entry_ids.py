"""The ids of the setup's entries: made from names, and changed everywhere where they are named."""

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from intake.domain.lab import Lab
from intake.setup.entry_tables import Column, nested
from intake.setup.model_fields import ValueRefused
from intake.setup.trying import Changeable

_ID_HELP = (
    "What tells it from the others in the file and in the cases that are booked; it is never printed. Small letters "
    "and digits parted by hyphens. Made from the name where nothing is typed; best left as it is once cases are booked."
)


def _read_id(text: str, lab: Lab, row: int | None) -> str:
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", text):
        raise ValueRefused("An id is small letters and digits parted by hyphens, such as night-guard.")
    return text


def id_column(place: str, rename: Callable[[Changeable, str, str], None] | None = None, wide: float = 7) -> Column:
    """The column of ids of a list; `rename` gives an entry another one everywhere where it is named."""

    def change(setup: Changeable, row: int, value: str, lab: Lab) -> None:
        before = getattr(lab, place)[row].id
        rename(setup, before, value) if rename is not None else setup.put((place, row, "id"), value)

    return Column(("id",), "Id", _ID_HELP, wide, change=change, read=_read_id)


def with_id(place: str, one: str, setup: Changeable, values: Mapping[str, Any], lab: Lab) -> None:
    """A new entry, with an id made from its name where none was typed; the id stands first, as in the file's others."""
    taken = [entry.id for entry in getattr(lab, place)]
    made = values.get("id") or new_id(values["name"], taken, one)
    setup.add((place,), {"id": made, **nested({name: value for name, value in values.items() if name != "id"})})


def new_id(name: str, taken: Sequence[str], otherwise: str) -> str:
    """An id for a name: its letters and digits, small and plain, parted by hyphens; another one where it is taken."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    stem = "-".join(re.findall(r"[a-z0-9]+", plain)) or otherwise
    numbered = (stem if number == 1 else f"{stem}-{number}" for number in range(1, len(taken) + 2))
    return next(each for each in numbered if each not in taken)
