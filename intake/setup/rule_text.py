"""The rule book in a setup's text: rules changed, made, taken out and moved, with what hangs on their names."""

from typing import Any

from pydantic import TypeAdapter, ValidationError

from intake.domain.case import Frozen
from intake.domain.rulebook import Requirement
from intake.setup.editing import SetupText

_RULES = TypeAdapter(tuple[Requirement, ...])
_ANSWERS = ("letter", "answers")


def rules_in(written: Any) -> tuple[Requirement, ...] | None:
    """The rules as they stand under `rules` in a text, in their order; None where they cannot be read."""
    try:
        return _RULES.validate_python(written or ())
    except ValidationError:
        return None


def put_rule(text: SetupText, at: int, rule: Requirement) -> None:
    """Writes a rule over the one at a place; only what differs is touched, so that comments stay.

    What the letter offers as answers to it follows its name, unless another rule has that name too.
    """
    before = text.get(("rules", at)) or {}
    after = _written(rule)
    if before.get("id") != rule.id:
        _rename_answers(text, at, before.get("id"), rule.id)
    for name in Requirement.model_fields:
        if before.get(name) != after.get(name):
            text.put(("rules", at, name), after.get(name))


def add_rule(text: SetupText, at: int, rule: Requirement) -> None:
    """Puts a new rule in at a place."""
    text.add(("rules",), _written(rule), at)


def take_rule_out(text: SetupText, at: int) -> None:
    """Takes a rule out; the letter's answers to it go with the last rule of its name."""
    name = text.get(("rules", at, "id"))
    text.take_out(("rules", at))
    if name not in _names(text) and text.get((*_ANSWERS, name)) is not None:
        text.take_out((*_ANSWERS, name))


def _rename_answers(text: SetupText, at: int, before: Any, after: str) -> None:
    others = [name for place, name in enumerate(_names(text)) if place != at]
    answers = text.get((*_ANSWERS, before)) if before else None
    if answers is None or before in others:
        return
    text.take_out((*_ANSWERS, before))
    if text.get((*_ANSWERS, after)) is None:
        text.put((*_ANSWERS, after), answers)


def _names(text: SetupText) -> list[str]:
    return [rule.get("id", "") for rule in text.get(("rules",)) or ()]


def _written(rule: Requirement) -> dict[str, Any]:
    """A rule as the file has it: what is left to the default is not written."""
    told: dict[str, Any] = {}
    for name, field in Requirement.model_fields.items():
        value = getattr(rule, name)
        if field.is_required() or value != field.default:
            told[name] = _plain(value)
    return told


def _plain(value: Any) -> Any:
    if isinstance(value, Frozen):
        return {name: _plain(part) for name, part in value.model_dump(exclude_defaults=True).items()}
    if isinstance(value, tuple | list):
        return [_plain(part) for part in value]
    return value
