"""Whether a rule holds for a case, and at which level: by the day on which it arrived and the practice it is from."""

from collections.abc import Collection
from datetime import date

from intake.domain.case import Case
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.rulebook import Level, Requirement
from intake.domain.written_dates import shown_day

Codes = frozenset[str]
"""The codes that a practice goes by, small letters all."""

_LAID_DOWN: dict[Level, str] = {
    "stops": "work waits for this",
    "asks": "this is asked",
    "warns": "this is a caution to read",
}


def codes_of(practice: Practice) -> Codes:
    """The codes that a practice goes by: its own, and those it had before."""
    return folded((practice.code, *practice.former))


def codes_of_case(case: Case, practice: Practice | None) -> Codes:
    """The codes that a case's practice goes by; the one that is written, where the directory does not have it."""
    if practice is not None:
        return codes_of(practice)
    return folded((case.practice,)) if isinstance(case.practice, str) else frozenset()


def rules_for(practice: Practice, day: date, lab: Lab) -> tuple[Requirement, ...]:
    """The rules that hold for what a practice sends on a day, each at the level that it has for this practice."""
    codes = codes_of(practice)
    return tuple(
        rule if level == rule.level else rule.model_copy(update={"level": level})
        for rule in lab.rules
        if (level := level_for(rule, codes, day))
    )


def level_for(rule: Requirement, codes: Codes, day: date | None) -> Level | None:
    """The level at which a rule holds; None where it does not hold.

    Args:
        rule: The rule.
        codes: The codes that the practice goes by; none where it is not known.
        day: The day of arrival. Where it is not known, what is dated holds.
    """
    if not _holds_on(rule, day):
        return None
    if rule.only_for and not codes & folded(rule.only_for):
        return None
    for exception in rule.exceptions:
        if exception.practice.strip().casefold() in codes:
            return None if exception.level == "never" else exception.level
    return rule.level


def why_now(rule: Requirement, level: Level, practice: str) -> str:
    """That a rule is dated, or is this practice's own, in sentences for who reads the reason; empty where neither is.

    Args:
        rule: A rule that holds.
        level: The level at which it holds.
        practice: The practice's name.
    """
    if rule.holds_always:
        return ""
    said = []
    if days := days_of(rule):
        said.append(f"This holds for what arrives {days}.")
    if level != rule.level:
        said.append(f"For {practice} it is laid down that {_LAID_DOWN[level]}.")
    elif rule.only_for:
        said.append(f"This is laid down for {practice}.")
    return " ".join(said)


def days_of(rule: Requirement) -> str:
    """The days that a rule is dated to: `from Fri 1 Jan 2027 to Wed 30 Jun 2027`; empty where it always holds."""
    if rule.begins is not None and rule.ends is not None:
        return f"from {shown_day(rule.begins)} to {shown_day(rule.ends)}"
    if rule.begins is not None:
        return f"from {shown_day(rule.begins)} on"
    return f"until {shown_day(rule.ends)}" if rule.ends is not None else ""


def folded(codes: Collection[str]) -> Codes:
    """Codes as they are compared: whatever their letters."""
    return frozenset(code.strip().casefold() for code in codes)


def _holds_on(rule: Requirement, day: date | None) -> bool:
    if day is None:
        return True
    return (rule.begins is None or rule.begins <= day) and (rule.ends is None or day <= rule.ends)
