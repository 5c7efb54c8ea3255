"""The rule of the rule book that a question comes from, and what would settle it."""

import re
from functools import lru_cache

from intake.domain.case import Case, ItemKind
from intake.domain.lab import Lab
from intake.domain.raised import REQUIREMENT
from intake.domain.rulebook import (
    ApplianceTwice,
    ConditionSeen,
    ImpressionPast,
    NameFound,
    OutlookIs,
    OutOfRange,
    Prescribed,
    RaisedOpen,
    Received,
    Requirement,
    ScanFaulty,
    ShadeUnknown,
    SpokenAnswer,
    Standing,
    TakenAfterArrival,
    TeethOfOtherArch,
    Waived,
)
from intake.domain.verdict import Finding


def rule_of(question: Finding, case: Case, lab: Lab) -> Requirement | None:
    """The rule that asks a question: the same requirement, for this kind of appliance, with these words.

    None where the rule book has been changed since and no longer asks it so.
    """
    kind = _kind(question, case)
    return next(
        (
            rule
            for rule in lab.rules
            if rule.id == question.requirement
            and question.level in (rule.level, *(exception.level for exception in rule.exceptions))
            and _is_for(rule, kind)
            and _pattern(rule.question).fullmatch(question.question)
        ),
        None,
    )


def can_be_waived(rule: Requirement | None) -> bool:
    """Whether the prescriber's word can settle it without anything more."""
    return rule is not None and any(isinstance(each, Waived) for each in rule.satisfied_by)


def can_be_standing(requirement: str, lab: Lab) -> bool:
    """Whether the rule book takes a standing instruction of a practice for a requirement."""
    rules = (rule for rule in lab.rules if rule.id == requirement)
    return any(isinstance(each, Standing) for rule in rules for each in rule.satisfied_by)


def items_wanted(rule: Requirement | None) -> tuple[ItemKind, ...]:
    """What would have to come; empty where nothing that can be sent settles it."""
    if rule is None:
        return ()
    if asks_when_taken(rule):
        return ("impression", "scan")
    if asks_about_scan(rule):
        return ("scan", "impression")
    if asks_about_damage(rule):
        return ("impression", "model", "scan")
    return tuple(kind for each in rule.satisfied_by if isinstance(each, Received) for kind in each.received)


def asks_about_scan(rule: Requirement | None) -> bool:
    """Whether it asks about a scan that came and will not do as it is, which a new one settles."""
    return _is_when(rule, ScanFaulty)


def asks_about_damage(rule: Requirement | None) -> bool:
    """Whether it asks about what came flawed, which a new one settles, or the word that it can be used as it is."""
    return _is_when(rule, ConditionSeen) and can_be_waived(rule)


def asks_about_name(rule: Requirement | None) -> bool:
    """Whether it asks if another name on the bag or tray is the same patient's, to which “yes” is an answer."""
    return _is_when(rule, NameFound)


def asks_what_was_raised(rule: Requirement | None, question: Finding) -> bool:
    """Whether it is a question of the lab's own, from a bench or the desk, which any words may answer."""
    return question.requirement == REQUIREMENT if rule is None else _is_when(rule, RaisedOpen)


def asks_for_something(rule: Requirement | None) -> bool:
    """Whether something is lacking, which need not come or be said where the prescriber says so."""
    return rule is not None and any(isinstance(each, Received | Prescribed) for each in rule.satisfied_by)


def asks_about_slip(rule: Requirement | None) -> bool:
    """Whether it asks if something odd is meant so, to which “yes” is an answer."""
    return _is_when(rule, OutOfRange, ShadeUnknown, ApplianceTwice)


def asks_about_twice(rule: Requirement | None) -> bool:
    """Whether it asks if the same appliance is wanted twice."""
    return _is_when(rule, ApplianceTwice)


def asks_about_protrusion(rule: Requirement | None) -> bool:
    """Whether it asks if an odd protrusion of a bite record is meant so."""
    return rule is not None and any(
        isinstance(each, OutOfRange) and each.out_of_range == "protrusion_mm" for each in rule.when
    )


def asks_for_bite(rule: Requirement | None) -> bool:
    """Whether it asks for a bite record, or for more about the one that came."""
    return asks_about_protrusion(rule) or "bite-record" in items_wanted(rule)


def asks_teeth_or_arch(rule: Requirement | None) -> bool:
    """Whether teeth and arch contradict each other, so that either may be the answer."""
    return _is_when(rule, TeethOfOtherArch)


def asks_to_move(rule: Requirement | None) -> bool:
    """Whether it asks if the appointment can be moved, to which “yes” alone says no day."""
    return _is_when(rule, OutlookIs)


def asks_about_age(rule: Requirement | None) -> bool:
    """Whether an impression is past its time, and would be poured at the practice's risk."""
    return _is_when(rule, ImpressionPast)


def asks_when_taken(rule: Requirement | None) -> bool:
    """Whether it asks when something was taken, or again for something that was taken too long ago."""
    return _is_when(rule, ImpressionPast, TakenAfterArrival)


def asks_to_confirm(rule: Requirement | None) -> bool:
    """Whether it asks for something in writing that was said already."""
    return _is_when(rule, SpokenAnswer)


def _is_when(rule: Requirement | None, *circumstances: type) -> bool:
    return rule is not None and any(isinstance(each, circumstances) for each in rule.when)


def _kind(question: Finding, case: Case) -> str | None:
    index = question.appliance
    return case.appliances[index].type if index is not None and index < len(case.appliances) else None


def _is_for(rule: Requirement, kind: str | None) -> bool:
    if rule.types == "case" or kind is None:
        return rule.types == "case" and kind is None
    return rule.types == "every" or kind in rule.types


@lru_cache(maxsize=512)
def _pattern(template: str) -> re.Pattern[str]:
    """The words of a rule's question, whatever its placeholders are filled with."""
    parts = re.split(r"\{[^}]*\}", template)
    return re.compile(".*".join(map(re.escape, parts)), re.DOTALL)
