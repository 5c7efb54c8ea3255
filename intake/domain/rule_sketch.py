"""A rule while it is being written: what is typed and picked so far, and what is still missing or wrong."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any, Literal

from intake.domain.condition_parts import Role, words_of
from intake.domain.folding import fold
from intake.domain.placeholders import odd_placeholders
from intake.domain.rule_contradictions import contradictions_of
from intake.domain.rulebook import (
    PLACEHOLDERS,
    Circumstance,
    ForPractice,
    Level,
    Requirement,
    Satisfier,
    about_one_appliance,
)
from intake.domain.wording import capital
from intake.domain.written_dates import DateUnclear, read_moment, shown_day

Scope = Literal["case", "every", "some"]
Field = Literal["id", "kinds", "when", "satisfied_by", "question", "because", "begins", "ends", "practices"]


@dataclass(frozen=True)
class RuleSketch:
    """What is typed and picked of a rule.

    Attributes:
        id: What it is called, as typed.
        level: How grave it is.
        scope: Whether it is for the case as a whole, for every appliance, or for some kinds of appliances.
        kinds: Those kinds, by their ids.
        when: Its circumstances.
        satisfied_by: What satisfies it.
        question: What is asked, as typed.
        because: Why, as typed.
        begins: The day from which it holds, as typed; empty for always.
        ends: The last day that it holds, as typed; empty for always.
        only_for: Codes of the practices that it holds for; none for all.
        exceptions: The practices for which it has another level.
    """

    id: str = ""
    level: Level = "asks"
    scope: Scope = "every"
    kinds: tuple[str, ...] = ()
    when: tuple[Circumstance, ...] = ()
    satisfied_by: tuple[Satisfier, ...] = ()
    question: str = ""
    because: str = ""
    begins: str = ""
    ends: str = ""
    only_for: tuple[str, ...] = ()
    exceptions: tuple[ForPractice, ...] = ()

    def having(self, **changes: Any) -> "RuleSketch":
        """The sketch with other values, by the names of its fields."""
        return replace(self, **changes)


def sketch_of(rule: Requirement) -> RuleSketch:
    """A rule of the rule book as it is changed."""
    return RuleSketch(
        id=rule.id,
        level=rule.level,
        scope="some" if not isinstance(rule.types, str) else rule.types,
        kinds=() if isinstance(rule.types, str) else rule.types,
        when=rule.when,
        satisfied_by=rule.satisfied_by,
        question=rule.question,
        because=rule.because,
        begins=shown_day(rule.begins) if rule.begins else "",
        ends=shown_day(rule.ends) if rule.ends else "",
        only_for=rule.only_for,
        exceptions=rule.exceptions,
    )


def finished(sketch: RuleSketch, today: date, was: Requirement | None = None) -> Requirement | Mapping[Field, str]:
    """The rule that a sketch makes; or what is missing or wrong, a sentence by its field.

    Args:
        sketch: What is typed and picked.
        today: The desk's day, from which days without a year are counted.
        was: The rule that is changed; None where it is a new one.
    """
    wrong: dict[Field, str] = {}
    days: dict[Field, date | None] = {}
    typed: dict[Field, tuple[str, date | None]] = {
        "begins": (sketch.begins, was.begins if was else None),
        "ends": (sketch.ends, was.ends if was else None),
    }
    for field, (text, before) in typed.items():
        try:
            days[field] = _read_day(text, today, before)
        except DateUnclear as unclear:
            wrong[field] = str(unclear)
    wrong |= _missing(sketch)
    if wrong:
        return wrong
    rule = Requirement(
        id=rule_id(sketch.id),
        level=sketch.level,
        types=sketch.kinds if sketch.scope == "some" else sketch.scope,
        when=sketch.when,
        satisfied_by=sketch.satisfied_by,
        question=sketch.question.strip(),
        because=sketch.because.strip(),
        begins=days["begins"],
        ends=days["ends"],
        only_for=sketch.only_for,
        exceptions=sketch.exceptions,
    )
    problem = next(contradictions_of(rule), "")
    if not problem:
        return rule
    return {"ends" if problem.startswith("it ends") else "practices": f"{capital(problem)}."}


def rule_id(typed: str) -> str:
    """What a rule is called in the rule book: `Shade guide` is `shade-guide`."""
    plain = "".join(sign if sign.isascii() and sign.isalnum() else " " for sign in fold(typed))
    return "-".join(plain.split())


def _read_day(typed: str, today: date, before: date | None) -> date | None:
    """A day as it is typed, None where nothing is; what stood there before may lie further away than a slip would."""
    if not typed.strip():
        return None
    if before is not None and typed.strip() == shown_day(before):
        return before
    moment = read_moment(typed, today)
    if isinstance(moment, datetime):
        raise DateUnclear("A day is enough here: leave the time out.")
    return moment


def _missing(sketch: RuleSketch) -> Mapping[Field, str]:
    wrong: dict[Field, str] = {}
    if not rule_id(sketch.id):
        wrong["id"] = "Give it a name, such as shade guide."
    if sketch.scope == "some" and not sketch.kinds:
        wrong["kinds"] = "Choose at least one kind of appliance; else nothing is ever asked."
    if not sketch.when and not sketch.satisfied_by:
        wrong["when"] = "Say when it holds, or what it needs."
    if not sketch.question.strip():
        wrong["question"] = "Write what is asked; it is printed on the letter."
    texts: dict[Field, str] = {"question": sketch.question, "because": sketch.because}
    for field, text in texts.items():
        if problem := next(odd_placeholders(text, PLACEHOLDERS), ""):
            wrong[field] = f"{capital(problem)}."
    if sketch.scope == "case":
        wrong |= _of_one_appliance(sketch)
    return wrong


def _of_one_appliance(sketch: RuleSketch) -> Mapping[Field, str]:
    """What a rule for the case as a whole cannot know."""
    wrong: dict[Field, str] = {}
    roles: tuple[Role, ...] = ("when", "satisfied_by")
    for role in roles:
        for condition in getattr(sketch, role):
            if about_one_appliance(condition) is not None:
                said = words_of(role, condition)
                wrong[role] = f"“{said}” is about one appliance, and the rule is for the case as a whole."
    return wrong
