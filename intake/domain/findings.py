"""What the rule book says of a case: each requirement that is not met, with its evidence."""

from collections.abc import Iterator
from dataclasses import dataclass

from intake.domain import circumstances
from intake.domain.case import Appliance, Case
from intake.domain.facts import Facts
from intake.domain.lab import Lab
from intake.domain.raised import RULE, open_question
from intake.domain.rulebook import (
    LEVELS,
    ArchesSeen,
    Level,
    Prescribed,
    RaisedOpen,
    Received,
    Requirement,
    Standing,
    Waived,
)
from intake.domain.rules_in_force import codes_of_case, level_for, why_now
from intake.domain.satisfaction import (
    arches_missing,
    prescribed_evidence,
    received_evidence,
    satisfies_prescribed,
    satisfies_received,
)
from intake.domain.verdict import Finding
from intake.domain.wording import fill_in, place_of, sentence


@dataclass(frozen=True)
class Subject:
    """What a requirement is asked about: the case as a whole, or one appliance of it."""

    case: Case
    index: int | None
    appliance: Appliance | None
    facts: Facts
    lab: Lab


def find(case: Case, facts: Facts, lab: Lab) -> tuple[Finding, ...]:
    """All findings of a case, in the order to ask them: by level, then in the rule book's order.

    One requirement speaks once for an appliance, at its gravest level. A rule counts only on the days that it is dated
    to, and for its practices, at the level that is laid down for this one.
    """
    found: dict[tuple[str, int | None], tuple[int, int, Finding]] = {}
    for position, (requirement, level) in enumerate(_rules(case, facts, lab)):
        for subject in _subjects(requirement, case, facts, lab):
            finding = _finding(requirement, level, subject)
            if finding is None:
                continue
            rank = (LEVELS.index(finding.level), position, finding)
            key = (finding.requirement, finding.appliance)
            if key not in found or rank[0] < found[key][0]:
                found[key] = rank
    ordered = sorted(found.values(), key=lambda rank: (rank[0], rank[1], rank[2].appliance or 0))
    return tuple(finding for _, _, finding in ordered)


def lacking(requirement: Requirement, case: Case, facts: Facts, lab: Lab) -> Iterator[int | None]:
    """The appliances that a requirement finds something of, by their places; None for the case as a whole.

    Whatever its level, its days and its practices: those are asked by who calls.
    """
    for subject in _subjects(requirement, case, facts, lab):
        if _evidence(requirement, subject) is not None:
            yield subject.index


def _rules(case: Case, facts: Facts, lab: Lab) -> list[tuple[Requirement, Level]]:
    """The rules that hold for a case; what was raised at a bench stops the work also where none of them is for it."""
    codes = codes_of_case(case, facts.practice)
    rules = [
        (rule, level)
        for rule in lab.rules
        if (level := rule.level if rule.holds_always else level_for(rule, codes, facts.day))
    ]
    has_it = any(isinstance(each, RaisedOpen) for rule, _ in rules for each in rule.when)
    return rules if has_it else [*rules, (RULE, RULE.level)]


def _subjects(requirement: Requirement, case: Case, facts: Facts, lab: Lab) -> Iterator[Subject]:
    if requirement.types == "case":
        yield Subject(case, None, None, facts, lab)
        return
    for index, appliance in enumerate(case.appliances):
        if requirement.types == "every" or appliance.type in requirement.types:
            yield Subject(case, index, appliance, facts, lab)


def _finding(requirement: Requirement, level: Level, subject: Subject) -> Finding | None:
    evidence = _evidence(requirement, subject)
    if evidence is None:
        return None
    evidence += [_lacking(satisfier, subject) for satisfier in requirement.satisfied_by]
    said = sentence([part for part in dict.fromkeys(evidence) if part])
    question, because = filled_texts(requirement, subject)
    own = why_now(requirement, level, subject.facts.practice.name if subject.facts.practice else "this practice")
    return Finding(
        requirement=requirement.id,
        level=level,
        appliance=subject.index,
        question=question,
        because=" ".join(filter(None, (said, because.strip(), own))),
        place=place_of(requirement, subject.index),
    )


def _evidence(requirement: Requirement, subject: Subject) -> list[str] | None:
    """The evidence for each of its circumstances; None where it does not hold, or is satisfied."""
    evidence: list[str] = []
    for circumstance in requirement.when:
        seen = circumstances.evidence(
            circumstance, subject.case, subject.appliance, subject.index, subject.facts, subject.lab
        )
        if seen is None:
            return None
        evidence.append(seen)
    if any(_satisfied(requirement, satisfier, subject) for satisfier in requirement.satisfied_by):
        return None
    return evidence


def filled_texts(requirement: Requirement, subject: Subject) -> tuple[str, str]:
    """The question and the reason with their placeholders filled; only what is missing is asked for."""
    case, appliance, lab = subject.case, subject.appliance, subject.lab
    wanted = next((s for s in requirement.satisfied_by if isinstance(s, Received)), None)
    missing = arches_missing(wanted, case, appliance, lab) if wanted else ()
    raised = open_question(case)
    return (
        fill_in(requirement.question, appliance, subject.facts, lab, missing, raised),
        fill_in(requirement.because, appliance, subject.facts, lab, missing, raised),
    )


def _satisfied(requirement: Requirement, satisfier: object, subject: Subject) -> bool:
    case, appliance = subject.case, subject.appliance
    match satisfier:
        case Received():
            return satisfies_received(satisfier, case, appliance, subject.lab)
        case ArchesSeen():
            return case.arches is not None and case.arches.standing in satisfier.arches
        case Prescribed():
            return satisfies_prescribed(satisfier, case, appliance, subject.facts, subject.lab)
        case Standing():
            practice = subject.facts.practice
            kind = appliance.type if appliance else None
            return practice is not None and practice.standing_for(requirement.id, kind) is not None
        case Waived():
            return any(
                waiver.requirement == requirement.id and waiver.appliance in (None, subject.index)
                for waiver in case.waived
            )
    return False


def _lacking(satisfier: object, subject: Subject) -> str:
    match satisfier:
        case Received():
            return received_evidence(satisfier, subject.case, subject.appliance, subject.lab)
        case ArchesSeen():
            return subject.case.arches.says if subject.case.arches else ""
        case Prescribed():
            return prescribed_evidence(satisfier, subject.case, subject.facts)
    return ""
