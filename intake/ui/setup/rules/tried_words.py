"""What is said of a changed setup that was tried: in numbers, and case by case."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from intake.domain.job_number import JobNumber
from intake.domain.rulebook import Level
from intake.domain.trying import Difference, Said, What
from intake.domain.wording import capital, counted, requirement_name
from intake.domain.written_dates import shown_day

if TYPE_CHECKING:
    from intake.desk.try_rules import Explained, Tried, TriedCase
    from intake.domain.verdict import Finding

KINDS: dict[What, str] = {
    "held": "would be held, and {is} not",
    "freed": "would no longer be held",
    "held-otherwise": "would stay held, for other reasons",
    "asked": "would be asked something more",
    "no-longer-asked": "would no longer be asked something",
    "warned": "would carry a caution more",
    "no-longer-warned": "would no longer carry a caution",
}
TURNS = {"held": "clear → held", "freed": "held → clear", None: ""}
_TURNED: dict[What, str] = {
    "held": "It is clear, and would be held.",
    "freed": "It is held, and would be clear.",
    "held-otherwise": "It is held, and would stay so, for other reasons.",
}
_WOULD: dict[Level, str] = {
    "stops": "The work would wait for this",
    "asks": "This would be asked",
    "warns": "This would be a caution to read",
}
_NOW: dict[Level, str] = {
    "stops": "now the work waits for it",
    "asks": "now it is asked",
    "warns": "now it is a caution",
}
_NO_LONGER: dict[Level, str] = {
    "stops": "The work would no longer wait for this",
    "asks": "This would no longer be asked",
    "warns": "This would no longer be a caution",
}


def told(tried: "Tried") -> str:
    """What came of it, in a sentence or two."""
    span = f"booked from {shown_day(tried.first)} to {shown_day(tried.last)}"
    said = f"{counted(tried.looked_at, 'case')} {span}"
    if tried.stopped:
        said = f"Stopped after {tried.looked_at} of {counted(tried.of, 'case')} {span}"
    if not tried.changed:
        return f"{said}: the changed setup says the same of {'it' if tried.looked_at == 1 else 'each'}."
    same, other = tried.looked_at - len(tried.changed), len(tried.changed)
    return f"{said}: it says something else of {other}, and the same of {same}."


def numbers(tried: "Tried") -> Iterator[tuple[What, str]]:
    """The kinds of change that there are, each with how many cases it is true of."""
    for what, count in tried.counts.items():
        if count:
            yield what, f"{count} {KINDS[what].format(**{'is': 'is' if count == 1 else 'are'})}"


def head(case: "TriedCase") -> str:
    """The case in one line: its number, its patient, when it was booked, and its practice."""
    number = JobNumber(case.number).shown if case.number else f"Case {case.case_id}"
    return "   ".join(filter(None, (number, case.patient, shown_day(case.booked.date()), case.practice)))


def outline(difference: Difference) -> str:
    """What is otherwise, requirement by requirement: `Bite record: stops → asks`."""
    steps: dict[str, None] = {}
    for (requirement, _), (before, after) in _by_place(difference.gone, difference.new).items():
        name = capital(requirement_name(requirement))
        steps[f"{name}: {before or 'nothing'} → {after or 'nothing'}"] = None
    return "; ".join(steps)


def reasons(case: "TriedCase", explained: "Explained") -> str:
    """All that would be otherwise of a case, each with its question and its reason, in sentences."""
    parts = [_TURNED[what] for what in case.difference.whats if what in _TURNED]
    new = {(finding.requirement, finding.appliance): finding for finding in explained.new}
    gone = {(finding.requirement, finding.appliance): finding for finding in explained.gone}
    for place in {**new, **gone}:
        before, after = gone.get(place), new.get(place)
        if after is not None:
            now = f"; {_NOW[before.level]}" if before is not None else ""
            parts.append(f"{_WOULD[after.level]}{now}: {_words(after)}")
        elif before is not None:
            parts.append(f"{_NO_LONGER[before.level]}: {_words(before)}")
    return "\n".join(parts)


def _words(finding: "Finding") -> str:
    return " ".join(filter(None, (finding.question, finding.because)))


def _by_place(
    gone: Iterable[Said], new: Iterable[Said]
) -> dict[tuple[str, int | None], tuple[Level | None, Level | None]]:
    before = {(said.requirement, said.appliance): said.level for said in gone}
    after = {(said.requirement, said.appliance): said.level for said in new}
    return {place: (before.get(place), after.get(place)) for place in {**after, **before}}
