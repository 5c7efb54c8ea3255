"""What differs between two setups, a sentence each: `Category Splints, route: Splints 3 → Splints 4`."""

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from typing import Any, Literal, TypeVar

from intake.domain.case import Frozen
from intake.domain.lab import Category, Closure, Lab, Step
from intake.domain.route_words import route_words
from intake.domain.rule_sentences import rule_sentence
from intake.domain.rulebook import Requirement
from intake.domain.weekdays import written_weekdays
from intake.domain.wording import capital
from intake.domain.written_dates import shown_day

Entry = TypeVar("Entry", bound=Frozen)
Way = Literal["changed", "new", "gone", "moved"]
NOTHING = "nothing"
_ENTRIES = {
    "categories": "Category",
    "benches": "Bench",
    "types": "Appliance type",
    "materials": "Impression material",
    "closures": "closure",
    "services": "carrier’s service",
    "carriers": "carrier",
    "agents": "disinfectant",
    "senders": "sender",
    "languages": "Language",
}
"""What an entry of a list is called."""
_WORDS = {
    "types": "appliance types",
    "materials": "impression materials",
    "boxes": "box numbers",
    "hex": "value",
    "cut_off": "cut-off",
    "subdivision": "part of the country",
    "sharps": "steps for what is sharp",
    "agents": "disinfectants",
    "mail": "e-mail",
    "words": "other words",
}
_ONE_BY_ONE = ("level", "question", "because")
"""The fields of a rule that are told one by one; the others change its sentence."""


@dataclass(frozen=True)
class Difference:
    """One thing that differs.

    Attributes:
        where: What it is of: `Category Splints, box, value`.
        way: Whether it is changed, new, gone, or in another order.
        before: What it was.
        after: What it is.
    """

    where: str
    way: Way
    before: str = ""
    after: str = ""

    @property
    def sentence(self) -> str:
        """It in a line: `Deadlines, slack days: 2 → 3`, `Bench Wire: taken out`."""
        told = {
            "changed": f"{self.before} → {self.after}",
            "new": f"new: {self.after}" if self.after else "new",
            "gone": f"taken out: {self.before}" if self.before else "taken out",
            "moved": "in another order",
        }
        return f"{self.where}: {told[self.way]}"


def differences(before: Lab, after: Lab) -> tuple[Difference, ...]:
    """Everything that differs between two setups, in the order of their fields."""
    found = [*_of_fields((), before, after, besides="rules"), *_of_rule_book(before, after)]
    return tuple(replace(each, where=capital(each.where)) for each in found)


def _of_fields(where: tuple[str, ...], before: Frozen, after: Frozen, besides: str = "") -> Iterator[Difference]:
    for name in type(before).model_fields:
        if name != besides:
            yield from _compare(where, name, getattr(before, name), getattr(after, name))


def _compare(where: tuple[str, ...], name: str, before: Any, after: Any) -> Iterator[Difference]:
    """What differs in a field, or in an entry of a mapping."""
    if before == after:
        return
    here = (*where, _label(name, top=not where))
    if isinstance(before, Frozen) and isinstance(after, Frozen):
        yield from _of_fields(here, before, after)
    elif isinstance(before, Frozen) or isinstance(after, Frozen):
        yield Difference(", ".join(here), "new" if before is None else "gone")
    elif isinstance(before, Mapping) and isinstance(after, Mapping):
        yield from _of_mappings(where, name, before, after)
    elif name == "route":
        yield from _of_routes(here, before, after)
    elif any(isinstance(each, Frozen) for each in (*_entries(before), *_entries(after))):
        yield from _of_lists(where, name, before, after)
    elif isinstance(before, tuple) and isinstance(after, tuple) and not name.endswith("weekdays"):
        yield from _of_words(here, before, after)
    else:
        yield Difference(", ".join(here), "changed", _words(name, before), _words(name, after))


def _of_mappings(
    where: tuple[str, ...], name: str, before: Mapping[str, Any], after: Mapping[str, Any]
) -> Iterator[Difference]:
    called = f"{_ENTRIES[name]} {{}}" if name in _ENTRIES else f"{_label(name, top=not where)} {{}}"
    for key in dict.fromkeys((*before, *after)):
        here = ", ".join((*where, called.format(key)))
        if key not in before:
            yield Difference(here, "new", after=_told(key, after[key]))
        elif key not in after:
            yield Difference(here, "gone", before=_told(key, before[key]))
        elif isinstance(before[key], Frozen):
            yield from _of_fields((*where, called.format(key)), before[key], after[key])
        elif before[key] != after[key]:
            yield Difference(here, "changed", _words(key, before[key]), _words(key, after[key]))


def _of_routes(where: tuple[str, ...], before: Sequence[Step], after: Sequence[Step]) -> Iterator[Difference]:
    """Of a route with the same benches only those whose days differ."""
    if [step.bench for step in before] == [step.bench for step in after]:
        before, after = zip(
            *((one, other) for one, other in zip(before, after, strict=True) if one != other), strict=True
        )
    yield Difference(", ".join(where), "changed", route_words(before) or NOTHING, route_words(after) or NOTHING)


def _of_lists(
    where: tuple[str, ...], name: str, before: Sequence[Frozen], after: Sequence[Frozen]
) -> Iterator[Difference]:
    was, now = _by_identity(before), _by_identity(after)
    for key, entry in was.items():
        if key not in now:
            yield Difference(", ".join((*where, _entry(name, entry))), "gone", before=_described(entry))
    for key, entry in now.items():
        here = (*where, _entry(name, entry))
        if key in was:
            yield from _of_fields(here, was[key], entry)
        else:
            yield Difference(", ".join(here), "new", after=_described(entry))
    if _is_moved(was, now):
        yield Difference(", ".join((*where, _label(name, top=not where))), "moved")


def _of_rule_book(before: Lab, after: Lab) -> Iterator[Difference]:
    """Rules that are the same belong together; of the others those of one name, in their order."""
    pairs = _pairs(before.rules, after.rules)
    for at, rule in enumerate(before.rules):
        if at not in pairs:
            yield Difference(f"Rule {rule.id}", "gone", before=rule_sentence(rule, before))
    earlier = {now: before.rules[was] for was, now in pairs.items()}
    for at, rule in enumerate(after.rules):
        if at not in earlier:
            yield Difference(f"Rule {rule.id}", "new", after=rule_sentence(rule, after))
        elif earlier[at] != rule:
            yield from _of_rules(earlier[at], rule, before, after)
    order = [pairs[at] for at in sorted(pairs)]
    if order != sorted(order):
        yield Difference("Rule book", "moved")


def _of_rules(was: Requirement, now: Requirement, before: Lab, after: Lab) -> Iterator[Difference]:
    where = f"Rule {now.id}"
    for name in _ONE_BY_ONE:
        yield from _compare((where,), name, getattr(was, name), getattr(now, name))
    rest = now.model_copy(update={name: getattr(was, name) for name in _ONE_BY_ONE})
    if rest != was:
        yield Difference(where, "changed", rule_sentence(was, before), rule_sentence(rest, after))


def _pairs(before: Sequence[Requirement], after: Sequence[Requirement]) -> dict[int, int]:
    """Which rule became which: position before to position after."""
    pairs: dict[int, int] = {}
    left = dict(enumerate(after))
    for by_name_alone in (False, True):
        for at, rule in enumerate(before):
            if at not in pairs:
                alike = (now for now, other in left.items() if rule == other or (by_name_alone and rule.id == other.id))
                found = next(alike, None)
                if found is not None:
                    pairs[at] = found
                    del left[found]
    return pairs


def _is_moved(was: Iterable[Hashable], now: Iterable[Hashable]) -> bool:
    """Whether what is in both stands in another order."""
    was, now = list(was), list(now)
    return [key for key in was if key in now] != [key for key in now if key in was]


def _of_words(where: tuple[str, ...], before: Sequence[Any], after: Sequence[Any]) -> Iterator[Difference]:
    here = ", ".join(where)
    if gone := [_words("", each) for each in (Counter(before) - Counter(after)).elements()]:
        yield Difference(here, "gone", before=", ".join(gone))
    if new := [_words("", each) for each in (Counter(after) - Counter(before)).elements()]:
        yield Difference(here, "new", after=", ".join(new))
    if not gone and not new:
        yield Difference(here, "moved")


def _by_identity(entries: Iterable[Entry]) -> dict[tuple[Hashable, int], Entry]:
    """The entries by what tells them apart; of those that share it the first, the second and so on."""
    seen: Counter[Hashable] = Counter()
    found: dict[tuple[Hashable, int], Entry] = {}
    for entry in entries:
        key = (entry.name, entry.first) if isinstance(entry, Closure) else _identity(entry)
        seen[key] += 1
        found[key, seen[key]] = entry
    return found


def _identity(entry: Frozen) -> str:
    names = ("id", "code", "name", "address")
    return next((str(getattr(entry, name)) for name in names if hasattr(entry, name)), repr(entry))


def _entry(name: str, entry: Frozen) -> str:
    """What an entry is called: `Category Splints`, `closure Winter`."""
    called = getattr(entry, "name", None) or _identity(entry)
    return f"{_ENTRIES.get(name, _label(name, top=False))} {called}"


def _described(entry: Frozen) -> str:
    """What an entry is, where that can be told in a line."""
    if isinstance(entry, Category):
        return f"box {entry.box.colour}, {entry.box.hex}; route {route_words(entry.route)}"
    if isinstance(entry, Closure):
        return f"{shown_day(entry.first)} to {shown_day(entry.last)}"
    return ""


def _entries(value: Any) -> Sequence[Any]:
    return value if isinstance(value, tuple) else ()


def _told(name: str, value: Any) -> str:
    return "" if isinstance(value, Frozen) else _words(name, value)


def _label(name: str, top: bool) -> str:
    """What a field is called; `words` of the whole setup are other words than those of an appliance type."""
    if top and name == "words":
        return "printed words"
    return _WORDS.get(name, name.replace("_", " "))


def _words(name: str, value: Any) -> str:
    """A value in words."""
    if value is None or value == "":
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, date) and not isinstance(value, datetime):
        return shown_day(value)
    if isinstance(value, tuple):
        words = written_weekdays(value) if name.endswith("weekdays") else ", ".join(_words("", each) for each in value)
        return words or NOTHING
    return f"{value:g}" if isinstance(value, float) else str(value)
