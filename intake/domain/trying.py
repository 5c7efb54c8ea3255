"""A changed setup tried on cases that were booked: what it would hold, ask and let through, beside the one in force.

Where the two differ in the rule book alone, only the rules that differ are asked of each case, by both setups; all the
others would say the same twice. Whether other rules hold a case is asked only where that decides its state. Otherwise
each case is judged by both from beginning to end. Either way gives the same (`tests/domain/test_trying.py`).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from intake.domain.calendar import counts_from
from intake.domain.case import Case
from intake.domain.deadlines import count_deadlines
from intake.domain.facts import Facts
from intake.domain.findings import find, gathered, rules_of, said_by
from intake.domain.judging import facts_of, judge, split_into_jobs
from intake.domain.lab import Category, Lab
from intake.domain.practice import Practice
from intake.domain.rulebook import Level, OutlookIs, RaisedOpen, Requirement
from intake.domain.verdict import Deadlines, Finding
from intake.errors import IntakeError

What = Literal["held", "freed", "asked", "no-longer-asked", "warned", "no-longer-warned", "stopped-otherwise"]
"""What a change does to a case: it would be held and was not, or the other way round; it would be asked, or warned of,
something that it was not, or the other way round; it stays held, for other reasons."""
WHATS: tuple[What, ...] = (
    "held",
    "freed",
    "asked",
    "no-longer-asked",
    "warned",
    "no-longer-warned",
    "stopped-otherwise",
)
_NEVER_JUDGES = (
    "rules",
    "format",
    "name",
    "address",
    "postcode",
    "telephone",
    "email",
    "logo",
    "ticket",
    "letter",
    "ringing",
    "mail",
    "mailbox",
    "people",
    "hand_over",
    "load",
    "boxes",
    "parcels",
    "cautions",
    "benches",
)
"""The parts of a setup that no verdict on a stored case depends on; the rules are looked at one by one."""


@dataclass(frozen=True)
class Difference:
    """What a changed setup would say otherwise of a case.

    Attributes:
        held_before: Whether the case is held by the setup in force; None where that makes no difference.
        held_after: Whether it would be held by the changed one; None as well, then.
        gone: The findings that it would no longer have.
        new: The findings that it would have besides, at their level.
    """

    held_before: bool | None
    held_after: bool | None
    gone: tuple[Finding, ...]
    new: tuple[Finding, ...]

    @property
    def whats(self) -> tuple[What, ...]:
        """What it does, the gravest first."""
        said: list[What] = []
        levels: tuple[tuple[Level, What, What], ...] = (
            ("asks", "asked", "no-longer-asked"),
            ("warns", "warned", "no-longer-warned"),
        )
        if self.held_after != self.held_before:
            said.append("held" if self.held_after else "freed")
        elif _stops((*self.gone, *self.new)):
            said.append("stopped-otherwise")
        for level, more, less in levels:
            if any(finding.level == level for finding in self.new):
                said.append(more)
            if any(finding.level == level for finding in self.gone):
                said.append(less)
        return tuple(said)


class Trial:
    """Two setups, made ready to be held against one another over many cases.

    Args:
        before: The setup in force.
        after: The changed one.
    """

    def __init__(self, before: Lab, after: Lab) -> None:
        """Find out which rules have to be asked by both."""
        self._before, self._after = before, after
        self.rules_alone = _without_rules(before) == _without_rules(after)
        """Whether the setups differ in the rule book alone, so that few rules have to be asked of each case."""
        ids = set(_differing(before, after))
        self.differ = bool(ids) or not self.rules_alone
        """Whether the setups can give different verdicts at all."""
        # Whether the rule that every lab has for raised questions stands in depends on all rules about them.
        ids |= {rule.id for lab in (before, after) for rule in lab.rules if _about_raised(rule)}
        mine = [tuple(rule for rule in lab.rules if rule.id in ids) for lab in (before, after)]
        others = tuple(rule for rule in before.rules if rule.id not in ids and _can_stop(rule))
        self._asked = [
            lab.model_copy(update={"rules": rules}) for lab, rules in zip((before, after), mine, strict=True)
        ]
        self._same = _numbered((*mine[0], *mine[1]))
        self._others = before.model_copy(update={"rules": others})
        self._dated = any(map(_looks_at_dates, (*mine[0], *mine[1]))), any(map(_looks_at_dates, others))
        self._dates: dict[tuple[object, ...], Deadlines | None] = {}

    def of(self, case: Case, practice: Practice | None, booked: datetime) -> Difference | None:
        """What the changed setup would say otherwise of a case; None where it would say the same.

        Args:
            case: The prescription.
            practice: Its practice's entry in the directory.
            booked: When it was booked: it is judged as of then.
        """
        if self.rules_alone:
            facts = self._facts(case, practice, booked, self._dated[0])
            found = self._found(case, facts)
        else:
            found = [judge(case, lab, practice, booked).findings for lab in (self._before, self._after)]
        keys = [{_key(finding) for finding in findings} for findings in found]
        if keys[0] == keys[1]:
            return None
        gone = tuple(finding for finding in found[0] if _key(finding) not in keys[1])
        new = tuple(finding for finding in found[1] if _key(finding) not in keys[0])
        held = [_stops(findings) for findings in found]
        if held[0] == held[1] or (self.rules_alone and self._held_otherwise(case, practice, booked)):
            return Difference(None, None, gone, new)
        return Difference(held[0], held[1], gone, new)

    def _found(self, case: Case, facts: Facts) -> list[tuple[Finding, ...]]:
        """What the rules that differ say by either setup; what both have is asked once, whatever its level."""
        said: dict[tuple[int, Level | None], list[Finding]] = {}
        found = []
        for lab in self._asked:
            numbered = []
            for position, (rule, level) in enumerate(rules_of(case, facts, lab)):
                # A rule that is dated, or a practice's own, says its level in its reason too.
                key = (self._same.get(id(rule), id(rule)), None if rule.holds_always else level)
                if key not in said:
                    said[key] = list(said_by(rule, level, case, facts, lab))
                numbered += [
                    (position, each if each.level == level else each.model_copy(update={"level": level}))
                    for each in said[key]
                ]
            found.append(gathered(numbered))
        return found

    def _held_otherwise(self, case: Case, practice: Practice | None, booked: datetime) -> bool:
        """Whether a rule that both setups share holds the case, whatever the others say."""
        asked = case.model_copy(update={"raised": ()})  # what was raised is looked at with the rules that differ
        return _stops(find(asked, self._facts(case, practice, booked, self._dated[1]), self._others))

    def _facts(self, case: Case, practice: Practice | None, now: datetime, dated: bool) -> Facts:
        """What the rules look at; both setups see the same, since they differ in rules alone."""
        parts = split_into_jobs(case, self._before) if dated and case.appointment is not None else []
        dates = self._counted(case, practice, now, parts)
        return facts_of(case, self._before, practice, now, True, parts, dates)

    def _counted(
        self, case: Case, practice: Practice | None, now: datetime, parts: list[tuple[Category, tuple[int, ...]]]
    ) -> dict[str, Deadlines]:
        """The dates of each part, counted once for all alike; none where one cannot be counted, as in `judge`."""
        if case.appointment is None or not parts:
            return {}
        lab, arrived, counted = self._before, case.arrived or now, {}
        try:
            start = max(counts_from(arrived, lab.calendar), counts_from(now, lab.calendar))
            for category, _ in parts:
                key = (case.appointment, start, practice.code if practice else None, category.id)
                if key not in self._dates:
                    self._dates[key] = None
                    self._dates[key] = count_deadlines(case.appointment, category.route, arrived, now, practice, lab)
                dates = self._dates[key]
                if dates is None:
                    return {}
                counted[category.id] = dates
        except IntakeError:
            return {}
        return counted


def _without_rules(lab: Lab) -> dict[str, object]:
    return {name: getattr(lab, name) for name in type(lab).model_fields if name not in _NEVER_JUDGES}


def _differing(before: Lab, after: Lab) -> Iterator[str]:
    """The names of the rules whose entries are not the same in both, in number, order and content."""
    books = [_by_id(lab) for lab in (before, after)]
    for name in books[0].keys() | books[1].keys():
        if books[0].get(name) != books[1].get(name):
            yield name


def _by_id(lab: Lab) -> dict[str, list[Requirement]]:
    book: dict[str, list[Requirement]] = {}
    for rule in lab.rules:
        book.setdefault(rule.id, []).append(rule)
    return book


def _numbered(rules: Sequence[Requirement]) -> dict[int, int]:
    """A number for each rule by its identity; those that differ in their level alone share one."""
    known: dict[Requirement, int] = {}
    numbers = {}
    for rule in rules:
        numbers[id(rule)] = known.setdefault(rule.model_copy(update={"level": "stops"}), len(known))
    return numbers


def _can_stop(rule: Requirement) -> bool:
    return rule.level == "stops" or any(each.level == "stops" for each in rule.exceptions)


def _about_raised(rule: Requirement) -> bool:
    return any(isinstance(each, RaisedOpen) for each in rule.when)


def _looks_at_dates(rule: Requirement) -> bool:
    return any(isinstance(each, OutlookIs) for each in rule.when) or "{earliest" in rule.question + rule.because


def _stops(findings: tuple[Finding, ...]) -> bool:
    return any(finding.level == "stops" for finding in findings)


def _key(finding: Finding) -> tuple[str, int | None, str]:
    return finding.requirement, finding.appliance, finding.level
