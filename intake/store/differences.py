"""What changed between two values, field by field, with what names a patient kept apart."""

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

Flat = dict[str, Any]
Changes = dict[str, list[Any]]
"""A field's path to what it was and what it is; None where it was not there."""


def flat(value: BaseModel | Mapping[str, Any] | None) -> Flat:
    """A value's fields by their path, such as `appliances[0].options.shade`; a list of plain values is one field."""
    if value is None:
        return {}
    plain = value.model_dump(mode="json", exclude_none=True) if isinstance(value, BaseModel) else value
    return dict(_fields(plain, ""))


def _fields(value: Any, path: str) -> Iterator[tuple[str, Any]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _fields(inner, f"{path}.{key}" if path else str(key))
    elif isinstance(value, list) and any(isinstance(inner, Mapping) for inner in value):
        for index, inner in enumerate(value):
            yield from _fields(inner, f"{path}[{index}]")
    elif value not in (None, "", []):
        yield path, value


def changes(before: Flat, after: Flat) -> Changes:
    """Every field that is not the same, with both."""
    fields = dict.fromkeys((*before, *after))
    return {f: [before.get(f), after.get(f)] for f in fields if before.get(f) != after.get(f)}


def is_personal(field: str) -> bool:
    """Whether a field may name a patient or tell of their health: the patient, scans by name, questions, free notes."""
    return field.startswith(("patient", "scans", "raised")) or field.rpartition(".")[2] in {"notes", "note"}


def parted(found: Changes) -> tuple[Changes, Changes]:
    """The changes that are not personal, and those that are."""
    return (
        {f: both for f, both in found.items() if not is_personal(f)},
        {f: both for f, both in found.items() if is_personal(f)},
    )
