"""What of a rule cannot hold together, although each of its lines is in order."""

from collections.abc import Iterator

from intake.domain.case import Frozen
from intake.domain.rulebook import Requirement
from intake.domain.rules_in_force import folded
from intake.domain.written_dates import shown_day


def contradictions_of(rule: Requirement) -> Iterator[str]:
    """What contradicts itself in a rule, a sentence without its full stop each."""
    if rule.begins is not None and rule.ends is not None and rule.ends < rule.begins:
        yield f"it ends on {shown_day(rule.ends)}, before it begins on {shown_day(rule.begins)}"
    yield from _practices(rule)
    for table in (*rule.when, *rule.satisfied_by):
        if names_nothing(table):
            yield f"“{_key(table)}” names nothing, so it never holds"


def names_nothing(condition: Frozen) -> bool:
    """Whether a list of a circumstance, or of what satisfies, is empty that has to name something."""
    return any(getattr(condition, name) == () for name in type(condition).model_fields if name != "kind")


def _practices(rule: Requirement) -> Iterator[str]:
    named: set[str] = set()
    only_for = folded(rule.only_for)
    for exception in rule.exceptions:
        code = exception.practice.casefold()
        if code in named:
            yield f"practice “{exception.practice}” stands twice among its exceptions"
        elif only_for and code not in only_for:
            yield f"practice “{exception.practice}” is among its exceptions, and not among those that it is only for"
        named.add(code)
    if len(only_for) < len(rule.only_for):
        yield "a practice stands twice among those that it is only for"


def _key(table: Frozen) -> str:
    return next(iter(type(table).model_fields))
