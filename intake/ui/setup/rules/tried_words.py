"""What is said of a changed rule book that was tried: in numbers, and case by case."""

from typing import TYPE_CHECKING

from intake.domain.job_number import JobNumber
from intake.domain.trying import What
from intake.domain.wording import counted
from intake.domain.written_dates import shown_day

if TYPE_CHECKING:
    from intake.desk.try_rules import Tried, TriedCase

KINDS: dict[What, str] = {
    "held": "would be held, and are not",
    "freed": "would no longer be held",
    "stopped-otherwise": "would be held for another reason",
    "asked": "would be asked about something more",
    "no-longer-asked": "would no longer be asked about something",
    "warned": "would carry another caution",
    "no-longer-warned": "would no longer carry a caution",
}


def told(tried: "Tried") -> str:
    """What came of it, in a sentence or two."""
    span = f"{shown_day(tried.first)} to {shown_day(tried.last)}"
    cases = f"{counted(tried.looked_at, 'case')} booked from {span}"
    if tried.stopped:
        cases = f"Stopped after {counted(tried.looked_at, 'case')} of {tried.of} booked from {span}"
    if not tried.changed:
        return f"{cases}: the changed setup says the same of each."
    return (
        f"{cases}: of {tried.looked_at - len(tried.changed)} it says the same, of {len(tried.changed)} something else."
    )


def numbers(tried: "Tried") -> list[tuple[What, str]]:
    """The kinds of change that there are, each with how many cases it is true of."""
    return [(what, f"{count:,} {KINDS[what]}") for what, count in tried.counts.items() if count]


def head(case: "TriedCase") -> str:
    """The case in one line: its number, what becomes of it, its patient, when it was booked, its practice."""
    number = JobNumber(case.number).shown if case.number else f"Case {case.case_id}"
    states = {True: "held", False: "clear", None: ""}
    before, after = (states[held] for held in (case.difference.held_before, case.difference.held_after))
    turn = f"{before} → {after}" if before else ""
    return "   ".join(
        part for part in (number, turn, case.patient, shown_day(case.booked.date()), case.practice) if part
    )


def why(case: "TriedCase") -> str:
    """What would be said of the case besides, and what no longer."""
    new = [f"{each.level.capitalize()}: {each.question}" for each in case.difference.new]
    gone = [f"No longer {each.level}: {each.question}" for each in case.difference.gone]
    return " ".join((*new, *gone))
