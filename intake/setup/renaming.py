"""Gives something of the setup another name, everywhere where it is named."""

from collections.abc import Iterator
from typing import Any

from intake.setup.editing import Place
from intake.setup.trying import Changeable


def rename_bench(setup: Changeable, before: str, after: str) -> None:
    """A bench under another name, in every route and where its capacity stands."""
    for category, _ in _entries(setup, ("categories",)):
        for step, entry in _entries(setup, (*category, "route")):
            if entry["bench"] == before:
                setup.put((*step, "bench"), after)
    _rename(setup, ("benches",), "name", before, after)


def rename_category(setup: Changeable, before: str, after: str) -> None:
    """A category under another id, and with it the appliance types that go into its box."""
    _rename(setup, ("categories",), "id", before, after)
    _rename(setup, ("types",), "category", before, after)


def rename_type(setup: Changeable, before: str, after: str) -> None:
    """An appliance type under another id, in every rule that names it too."""
    _rename(setup, ("types",), "id", before, after)
    for rule, entry in _entries(setup, ("rules",)):
        if isinstance(entry["types"], list):
            for at, name in enumerate(entry["types"]):
                if name == before:
                    setup.put((*rule, "types", at), after)


def _rename(setup: Changeable, place: Place, key: str, before: str, after: str) -> None:
    for entry, values in _entries(setup, place):
        if values.get(key) == before:
            setup.put((*entry, key), after)


def _entries(setup: Changeable, place: Place) -> Iterator[tuple[Place, dict[str, Any]]]:
    for at, entry in enumerate(setup.get(place) or ()):
        yield (*place, at), entry
