"""A changed setup tried on cases that were booked: what it would hold, ask and let through, beside the one in force.

Where the two differ in the rule book alone, only the rules that differ are asked of a case, each once for both setups,
and no words are made: all other rules would say the same twice. Whether one of those holds the case is asked only where
it decides whether the work waits. Otherwise each case is judged by both from beginning to end. Either way gives the
same (`tests/domain/test_trying.py`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Literal, NamedTuple

from intake.domain.calendar import counts_from
from intake.domain.case import Case
from intake.domain.deadlines import WayHome, count_deadlines, way_home
from intake.domain.facts import Facts
from intake.domain.findings import lacking
from intake.domain.judging import facts_of, judge, split_into_jobs
from intake.domain.lab import Category, Lab
from intake.domain.practice import Practice
from intake.domain.raised import open_raised
from intake.domain.rulebook import LEVELS, Level, OutlookIs, Requirement
from intake.domain.rules_in_force import codes_of_case, level_for
from intake.domain.verdict import Deadlines, Finding
from intake.errors import IntakeError

Turn = Literal["held", "freed"]
"""The case would be held and is not, or the other way round."""
What = Literal["held", "freed", "held-otherwise", "asked", "no-longer-asked", "warned", "no-longer-warned"]
"""What a change does to a case: it turns; it is held by both, for other reasons; it would be asked, or warned of,
something that it is not, or the other way round."""
WHATS: tuple[What, ...] = (
    "held",
    "freed",
    "held-otherwise",
    "asked",
    "no-longer-asked",
    "warned",
    "no-longer-warned",
)
"""The gravest first."""
_LETTERHEAD = {"format", "name", "address", "postcode", "telephone", "email", "logo"}
_PAPER = {"ticket", "letter", "mail", "mailbox", "ringing", "cautions", "words", "languages"}
_ROOM = {"people", "hand_over", "load", "boxes", "benches", "parcels", "scans"}
_NEVER_JUDGES = frozenset({"rules"} | _LETTERHEAD | _PAPER | _ROOM)
"""The parts of a setup that decide nothing about a booked case; the rules are looked at one by one."""
_SAYS_NOTHING = {"question": "-", "because": ""}
_LOOKS_ALIKE = {"level": "warns", "begins": None, "ends": None, "only_for": (), "exceptions": (), **_SAYS_NOTHING}


class Said(NamedTuple):
    """A finding without its words, for one of very many cases."""

    requirement: str
    appliance: int | None
    level: Level


@dataclass(frozen=True)
class Difference:
    """What a changed setup would say otherwise of a case.

    Attributes:
        turn: Whether it would be held or freed by that; None where the work waits, or does not, by both.
        gone: What it would no longer have, the gravest first.
        new: What it would have besides.
    """

    turn: Turn | None
    gone: tuple[Said, ...]
    new: tuple[Said, ...]

    @cached_property
    def whats(self) -> tuple[What, ...]:
        """What it does, the gravest first."""
        gone, new = ({said.level for said in each} for each in (self.gone, self.new))
        true: dict[What, bool] = {
            "held": self.turn == "held",
            "freed": self.turn == "freed",
            "held-otherwise": self.turn is None and "stops" in gone | new,
            "asked": "asks" in new,
            "no-longer-asked": "asks" in gone,
            "warned": "warns" in new,
            "no-longer-warned": "warns" in gone,
        }
        return tuple(what for what in WHATS if true[what])


class Trial:
    """Two setups, made ready to be held against one another over many cases.

    Args:
        before: The setup in force.
        after: The changed one.
    """

    def __init__(self, before: Lab, after: Lab) -> None:
        """Find out which rules have to be asked by both."""
        self.before, self.after = before, after
        self.rules_alone = _without_rules(before) == _without_rules(after)
        """Whether the setups differ in the rule book alone, so that few rules have to be asked of each case."""
        ids = _differing(before, after)
        self.differ = bool(ids) or not self.rules_alone
        """Whether the setups can give different verdicts at all."""
        alike: dict[Requirement, Requirement] = {}
        self._books = tuple(
            _Book([rule for rule in lab.rules if rule.id in ids], before, alike) for lab in (before, after)
        )
        self._others = _Book([rule for rule in before.rules if rule.id not in ids and _can_stop(rule)], before, alike)
        self._dates: dict[tuple[object, ...], Deadlines | None] = {}
        self._said: dict[Difference, Difference] = {}
        self._ways: dict[str | None, int] = {}
        self._ways_known: dict[WayHome, int] = {}

    def of(self, case: Case, practice: Practice | None, booked: datetime) -> Difference | None:
        """What the changed setup would say otherwise of a case; None where it would say the same.

        Args:
            case: The prescription.
            practice: Its practice's entry in the directory.
            booked: When it was booked: it is judged as of then.
        """
        # An open question from a bench is held by a rule that every setup has where it has none of its own: see `find`.
        quick = self.rules_alone and not open_raised(case)
        found = self._found(case, practice, booked) if quick else self._judged(case, practice, booked)
        if found is None or found[0] == found[1]:
            return None
        gone, new = _ordered(found[0] - found[1]), _ordered(found[1] - found[0])
        held = [any(said.level == "stops" for said in each) for each in found]
        turns = held[0] != held[1] and not (quick and self._held_by_others(case, practice, booked))
        turn: Turn | None = ("held" if held[1] else "freed") if turns else None
        difference = Difference(turn, gone, new)
        return self._said.setdefault(difference, difference)  # of very many cases few differ

    def explained(
        self, case: Case, practice: Practice | None, booked: datetime
    ) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
        """What a case would no longer be told, and what besides, with the questions and the reasons; as in `of`."""
        found = [judge(case, lab, practice, booked).findings for lab in (self.before, self.after)]
        said = [{_said(finding) for finding in findings} for findings in found]
        gone = tuple(finding for finding in found[0] if _said(finding) not in said[1])
        new = tuple(finding for finding in found[1] if _said(finding) not in said[0])
        return gone, new

    def _judged(self, case: Case, practice: Practice | None, booked: datetime) -> list[set[Said]]:
        return [
            {_said(finding) for finding in judge(case, lab, practice, booked).findings}
            for lab in (self.before, self.after)
        ]

    def _found(self, case: Case, practice: Practice | None, booked: datetime) -> list[set[Said]] | None:
        """What the rules that differ say by either setup; None where none of them is for such a case."""
        kinds = frozenset(appliance.type for appliance in case.appliances)
        if not any(book.rules_for(kinds) for book in self._books):
            return None
        facts = self._facts(case, practice, booked, any(book.looks_at_dates for book in self._books))
        seen: Seen = {}
        return [book.said(case, kinds, facts, seen) for book in self._books]

    def _held_by_others(self, case: Case, practice: Practice | None, booked: datetime) -> bool:
        """Whether a rule that both setups share holds the case, whatever the others say."""
        kinds = frozenset(appliance.type for appliance in case.appliances)
        facts = self._facts(case, practice, booked, self._others.looks_at_dates)
        return any(said.level == "stops" for said in self._others.said(case, kinds, facts, {}))

    def _facts(self, case: Case, practice: Practice | None, now: datetime, dated: bool) -> Facts:
        """What the rules look at; both setups see the same, since they differ in rules alone."""
        parts = split_into_jobs(case, self.before) if dated and case.appointment is not None else []
        dates = self._counted(case, practice, now, parts)
        return facts_of(case, self.before, practice, now, True, parts, dates)

    def _counted(
        self, case: Case, practice: Practice | None, now: datetime, parts: list[tuple[Category, tuple[int, ...]]]
    ) -> dict[str, Deadlines]:
        """The dates of each part, counted once for all alike; none where one cannot be counted, as in `judge`."""
        if case.appointment is None or not parts:
            return {}
        lab, arrived, counted = self.before, case.arrived or now, {}
        appointment = case.appointment.date() if isinstance(case.appointment, datetime) else case.appointment
        try:
            start = max(counts_from(moment, lab.calendar) for moment in {arrived, now})
            way = self._way(practice)
            for category, _ in parts:
                key = (appointment, start, way, category.id)
                if key not in self._dates:
                    self._dates[key] = None
                    self._dates[key] = count_deadlines(appointment, category.route, arrived, now, practice, lab)
                dates = self._dates[key]
                if dates is None:
                    return {}
                counted[category.id] = dates
        except IntakeError:
            return {}
        return counted

    def _way(self, practice: Practice | None) -> int:
        """A number for the way home of a practice's work: practices of the same way share their dates."""
        code = practice.code if practice else None
        if code not in self._ways:
            way = way_home(practice, self.before)
            self._ways[code] = self._ways_known.setdefault(way, len(self._ways_known))
        return self._ways[code]


Seen = dict[int, tuple[int | None, ...]]
"""The appliances of one case of which a rule finds something, by the rule's identity."""
Asked = tuple[Requirement, Requirement]
"""A rule, and one that looks at the same as it does, whatever its level, days, practices and words."""


class _Book:
    """Some rules of a rule book, as they are asked of many cases.

    Args:
        rules: The rules.
        lab: What they look things up in.
        alike: Those of all books that look at something else than the others before them.
    """

    def __init__(self, rules: Sequence[Requirement], lab: Lab, alike: dict[Requirement, Requirement]) -> None:
        self._lab = lab
        self._rules: list[Asked] = []
        for rule in rules:
            looks = rule.model_copy(update=_LOOKS_ALIKE)
            self._rules.append((rule, alike.setdefault(looks, looks)))
        self._for_kinds: dict[frozenset[str], list[Asked]] = {}
        self.looks_at_dates = any(isinstance(each, OutlookIs) for rule in rules for each in rule.when)

    def rules_for(self, kinds: frozenset[str]) -> list[Asked]:
        """Those that are for a case with such appliances."""
        if kinds not in self._for_kinds:
            self._for_kinds[kinds] = [asked for asked in self._rules if _is_for(asked[0], kinds)]
        return self._for_kinds[kinds]

    def said(self, case: Case, kinds: frozenset[str], facts: Facts, seen: Seen) -> set[Said]:
        """What they say of a case: each requirement once of an appliance, at its gravest level."""
        found: dict[tuple[str, int | None], Level] = {}
        codes = codes_of_case(case, facts.practice)
        for rule, looks in self.rules_for(kinds):
            level = level_for(rule, codes, facts.day)
            if level is None:
                continue
            if id(looks) not in seen:
                seen[id(looks)] = tuple(lacking(looks, case, facts, self._lab))
            for appliance in seen[id(looks)]:
                before = found.get((rule.id, appliance), level)
                found[rule.id, appliance] = min(before, level, key=LEVELS.index)
        return {Said(requirement, appliance, level) for (requirement, appliance), level in found.items()}


def _is_for(rule: Requirement, kinds: frozenset[str]) -> bool:
    if rule.types in ("case", "every"):
        return rule.types == "case" or bool(kinds)
    return not kinds.isdisjoint(rule.types)


def _without_rules(lab: Lab) -> dict[str, object]:
    return {name: getattr(lab, name) for name in type(lab).model_fields if name not in _NEVER_JUDGES}


def _differing(before: Lab, after: Lab) -> frozenset[str]:
    """The names of the rules whose entries are not the same in both, in number, order and content but their words."""
    one, other = (_by_id(lab) for lab in (before, after))
    return frozenset(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))


def _by_id(lab: Lab) -> dict[str, list[Requirement]]:
    book: dict[str, list[Requirement]] = {}
    for rule in lab.rules:
        book.setdefault(rule.id, []).append(rule.model_copy(update=_SAYS_NOTHING))
    return book


def _can_stop(rule: Requirement) -> bool:
    return rule.level == "stops" or any(each.level == "stops" for each in rule.exceptions)


def _said(finding: Finding) -> Said:
    return Said(finding.requirement, finding.appliance, finding.level)


def _ordered(said: set[Said]) -> tuple[Said, ...]:
    return tuple(sorted(said, key=lambda each: (LEVELS.index(each.level), each.requirement, each.appliance or 0)))
