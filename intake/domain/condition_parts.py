"""What can be picked of each circumstance and each satisfier: its kind, and the small fields that it has."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import TypeAdapter, ValidationError

from intake.domain.case import Frozen
from intake.domain.condition_words import (
    FAULT_WORDS,
    FOUND_WORDS,
    HYGIENE_WORDS,
    NAME_WORDS,
    OUTLOOK_WORDS,
    PAST_WORDS,
    POSITION_WORDS,
    STANDING_WORDS,
    circumstance_words,
    satisfier_words,
)
from intake.domain.rulebook import Circumstance, Satisfier, about_one_appliance
from intake.domain.wording import FIELD_WORDS, ITEM_WORDS
from intake.errors import IntakeError

Role = Literal["when", "satisfied_by"]
Values = Mapping[str, Any]
"""What is picked, by the names of the small fields."""


class ConditionUnclear(IntakeError):
    """What is picked makes no circumstance, or nothing that satisfies; the message says what is missing."""


@dataclass(frozen=True)
class Part:
    """One small field of a condition.

    Attributes:
        name: Its name in the rule book.
        label: What is asked, in words.
        kind: Any of some, one of some, a number in mm, or yes or no.
        choices: The values that can be picked, with their words; none for a number or a yes or no.
        may_be_empty: Whether nothing need be picked.
    """

    name: str
    label: str
    kind: Literal["several", "one", "number", "tick"]
    choices: tuple[tuple[Any, str], ...] = ()
    may_be_empty: bool = False


@dataclass(frozen=True)
class ConditionKind:
    """One of the closed set of circumstances, or of what satisfies.

    Attributes:
        key: Its leading key in the rule book.
        words: What it is about.
        parts: Its small fields; none where there is nothing to pick.
    """

    key: str
    words: str
    parts: tuple[Part, ...] = ()


def _several(name: str, label: str, words: Mapping[str, str], may_be_empty: bool = False) -> Part:
    return Part(name, label, "several", tuple(words.items()), may_be_empty)


def _one(name: str, label: str, words: Mapping[Any, str]) -> Part:
    return Part(name, label, "one", tuple(words.items()))


_ARCHES = {"upper": "upper", "lower": "lower", "both": "both", "unsaid": "nobody names it"}
_OF_ARCH = {None: "any", "working": "its own arch", "opposing": "the opposing arch", "each": "each arch"}
_ACCEPTED = {None: "accepted or not", True: "only where somebody accepted it", False: "only where nobody accepted it"}
_MEASURES = {name: FIELD_WORDS[name] for name in ("thickness_mm", "bite_opening_mm", "protrusion_mm")}
_FIELDS = {name: words for name, words in FIELD_WORDS.items() if name != "protrusion_mm"}

KINDS: Mapping[Role, tuple[ConditionKind, ...]] = {
    "when": (
        ConditionKind("arch", "The arch that it is for", (_several("arch", "Arch", _ARCHES),)),
        ConditionKind(
            "under_18",
            "The patient’s age",
            (_one("under_18", "The patient is", {True: "under 18", False: "18 or older"}),),
        ),
        ConditionKind("hygiene", "Disinfection", (_several("hygiene", "What came is", HYGIENE_WORDS),)),
        ConditionKind("allergy", "An allergy is named"),
        ConditionKind("outlook", "The time to the appointment", (_several("outlook", "It would be", OUTLOOK_WORDS),)),
        ConditionKind(
            "impression_past", "The age of an impression", (_one("impression_past", "An impression is", PAST_WORDS),)
        ),
        ConditionKind("material_unknown", "An impression of a material that is not listed"),
        ConditionKind("tooth_replaced", "It carries a tooth"),
        ConditionKind("teeth_unclear", "Teeth written so that they mean two"),
        ConditionKind("teeth_of_other_arch", "Teeth that its arch does not have"),
        ConditionKind("shade_unknown", "A shade that is not listed"),
        ConditionKind(
            "out_of_range",
            "A measure outside of what is usual",
            (
                _one("out_of_range", "Measure", _MEASURES),
                Part("least", "Less than, in mm", "number"),
                Part("most", "Or more than, in mm", "number"),
            ),
        ),
        ConditionKind("taken_after_arrival", "Something dated later than it arrived"),
        ConditionKind("appliance_twice", "The same appliance twice"),
        ConditionKind("spoken", "An answer by word of mouth, not confirmed"),
        ConditionKind("scan_fault", "A fault of a scan", (_several("scan_fault", "A scan", FAULT_WORDS),)),
        ConditionKind(
            "condition",
            "What was found on opening",
            (_several("condition", "Found", FOUND_WORDS), _one("accepted", "And", _ACCEPTED)),
        ),
        ConditionKind("name_found", "The name on the bag or tray", (_one("name_found", "Name", NAME_WORDS),)),
        ConditionKind("raised", "A question from a bench or the desk"),
    ),
    "satisfied_by": (
        ConditionKind(
            "received",
            "Something that comes",
            (
                _several("received", "One of", ITEM_WORDS),
                _one("arch", "Of", _OF_ARCH),
                _several("kind", "A bite record only", POSITION_WORDS, may_be_empty=True),
                Part("with_mm", "Only with its measure in mm", "tick"),
            ),
        ),
        ConditionKind("arches", "The scans of both arches", (_several("arches", "They", STANDING_WORDS),)),
        ConditionKind(
            "prescribed", "Something on the prescription", (_one("prescribed", "The prescription says", _FIELDS),)
        ),
        ConditionKind("standing", "A standing instruction of the practice"),
        ConditionKind("waived", "The prescriber’s word to go ahead"),
    ),
}
"""The kinds that there are, in the order in which they are offered."""
_READERS: Mapping[Role, TypeAdapter[Any]] = {
    "when": TypeAdapter(Circumstance),
    "satisfied_by": TypeAdapter(Satisfier),
}


def condition_of(role: Role, key: str, values: Values) -> Circumstance | Satisfier:
    """The circumstance, or what satisfies, that is picked.

    Args:
        role: Which of the two.
        key: The kind, by its leading key.
        values: What is picked. Choices of several are given in any order.

    Raises:
        ConditionUnclear: something is left to be picked, or numbers contradict each other.
    """
    kind = kind_of(role, key)
    for part in kind.parts:
        if part.kind == "several" and not part.may_be_empty and not values.get(part.name):
            raise ConditionUnclear(f"{part.label}: choose at least one.")
        if part.kind == "number" and not isinstance(values.get(part.name), int | float):
            raise ConditionUnclear(f"{part.label}: write a number, such as 0.3 or 8.")
    picked = {part.name: _in_order(part, values.get(part.name)) for part in kind.parts} or {key: True}
    try:
        made: Circumstance | Satisfier = _READERS[role].validate_python(picked)
    except ValidationError as error:
        said = error.errors(include_url=False)[0]["msg"].removeprefix("Value error, ")
        raise ConditionUnclear(f"{said[:1].upper()}{said[1:]}.") from None
    return made


def values_of(condition: Frozen) -> dict[str, Any]:
    """What is picked in a condition, by the names of its small fields."""
    return {name: getattr(condition, name) for name in type(condition).model_fields}


def key_of(condition: Frozen) -> str:
    """The kind of a condition, by its leading key."""
    return next(iter(type(condition).model_fields))


def kind_of(role: Role, key: str) -> ConditionKind:
    """A kind by its leading key."""
    return next(kind for kind in KINDS[role] if kind.key == key)


def kinds_for(role: Role, of_case: bool) -> tuple[ConditionKind, ...]:
    """The kinds that a rule can have: one for the case as a whole knows nothing of one appliance."""
    return tuple(kind for kind in KINDS[role] if not (of_case and _only_of_appliances(role, kind)))


def words_of(role: Role, condition: Any) -> str:
    """A condition in words."""
    return circumstance_words(condition) if role == "when" else satisfier_words(condition)


def _only_of_appliances(role: Role, kind: ConditionKind) -> bool:
    """Whether a kind is about one appliance whatever is picked; tried with the first of each choice."""
    picked: dict[str, Any] = {part.name: _first(part) for part in kind.parts}
    if kind.key in ("received", "prescribed"):
        return False
    return about_one_appliance(condition_of(role, kind.key, picked)) is not None


def _first(part: Part) -> Any:
    match part.kind:
        case "several":
            return (part.choices[0][0],)
        case "one":
            return part.choices[0][0]
        case "number":
            return 1
    return False


def _in_order(part: Part, value: Any) -> Any:
    if part.kind == "several":
        chosen: Sequence[Any] = value or ()
        return tuple(choice for choice, _ in part.choices if choice in chosen)
    return bool(value) if part.kind == "tick" else value
