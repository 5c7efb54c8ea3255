"""The fields of the setup's model by their place in the file: what stands there, what may, and its limits."""

import types
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Union, get_args, get_origin

from annotated_types import Ge, Gt, Le, Lt
from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.setup.editing import Place


class ValueRefused(IntakeError):
    """What was typed cannot stand at its place; the message says what could."""


def value_at(lab: Lab, place: Place) -> Any:
    """What holds at a place, the default where the file says nothing; None beyond what is not there."""
    value: Any = lab
    for part in place:
        if value is None:
            return None
        if isinstance(part, int):
            value = value[part] if part < len(value) else None
        else:
            value = value.get(part) if isinstance(value, Mapping) else getattr(value, part)
    return value


def kind_at(place: Place) -> Any:
    """The type that a place of the setup has, with its limits: `Annotated[int, Ge(1), Le(99)] | None`."""
    kind: Any = Lab
    for part in place:
        kind = _plain(kind)
        if isinstance(kind, type) and issubclass(kind, BaseModel):
            kind = _of_field(kind.model_fields[str(part)])
        else:
            inner = [each for each in get_args(kind) if each is not Ellipsis]
            kind = inner[-1]  # of a mapping the value's, of a list the only one
    return kind


def limits_at(place: Place) -> tuple[float | None, float | None]:
    """The least and the most of a number at a place, as far as there are any."""
    least = most = None
    for limit in _limits(kind_at(place)):
        if isinstance(limit, Ge | Gt):
            least = float(limit.ge if isinstance(limit, Ge) else limit.gt)  # type: ignore[arg-type]
        if isinstance(limit, Le | Lt):
            most = float(limit.le if isinstance(limit, Le) else limit.lt)  # type: ignore[arg-type]
    return least, most


def may_be_empty(place: Place) -> bool:
    """Whether a place may be left out of the file, so that nothing holds there."""
    return type(None) in get_args(kind_at(place))


def checked(place: Place, value: Any) -> Any:
    """The value as the model takes it there. Raises ValueRefused with the limits or the reason."""
    try:
        return TypeAdapter(kind_at(place)).validate_python(value)
    except ValidationError as error:
        problem = error.errors(include_url=False)[0]
        raise ValueRefused(_said(place, problem["type"], problem["msg"])) from None


def scalar_places(model: type[BaseModel] = Lab, before: Place = ()) -> Iterator[Place]:
    """Every place of the model that holds one value or a list of plain ones; 0 stands for any entry of a list."""
    for name, field in model.model_fields.items():
        yield from _scalars(_of_field(field), (*before, name))


def _scalars(kind: Any, place: Place) -> Iterator[Place]:
    plain = _plain(kind)
    if isinstance(plain, type) and issubclass(plain, BaseModel):
        yield from scalar_places(plain, place)
        return
    inner = [each for each in get_args(plain) if each is not Ellipsis]
    entries = get_origin(plain) is tuple and len(inner) == 1
    one = _plain(inner[0]) if entries else None
    if entries and isinstance(one, type) and issubclass(one, BaseModel):
        yield from scalar_places(one, (*place, 0))
    else:
        yield place


def _of_field(field: FieldInfo) -> Any:
    kind = field.annotation
    return Annotated[kind, *field.metadata] if field.metadata else kind


def _plain(kind: Any) -> Any:
    """The type without its limits, and without the None that says that it can be left out."""
    while True:
        if get_origin(kind) is Annotated:
            kind = get_args(kind)[0]
        elif get_origin(kind) in (Union, types.UnionType) and len(_kinds(kind)) == 1:
            kind = _kinds(kind)[0]
        else:
            return kind


def _kinds(kind: Any) -> list[Any]:
    return [each for each in get_args(kind) if each is not type(None)]


def plain_kind_at(place: Place) -> Any:
    """The type at a place without limits and without None: `int`, `str`, `Literal[...]`, `tuple[str, ...]`."""
    return _plain(kind_at(place))


def _limits(kind: Any) -> Iterator[Any]:
    """The limits of a number, wherever they stand in its type."""
    for each in get_args(kind) if get_origin(kind) in (Annotated, Union, types.UnionType) else ():
        if isinstance(each, FieldInfo):
            yield from each.metadata
        elif isinstance(each, Ge | Gt | Le | Lt):
            yield each
        else:
            yield from _limits(each)


def _said(place: Place, kind: str, message: str) -> str:
    """Why a value is refused, in a sentence."""
    least, most = limits_at(place)
    if kind in ("greater_than", "greater_than_equal", "less_than", "less_than_equal"):
        over = "more than" if any(isinstance(limit, Gt) for limit in _limits(kind_at(place))) else "from"
        if least is not None and most is not None:
            return f"Write a number {over} {least:g} to {most:g}."
        return f"Write a number of {least:g} or more." if least is not None else f"Write a number up to {most:g}."
    if kind == "string_too_short":
        return "This cannot be empty."
    text = message.removeprefix("Value error, ")
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."
