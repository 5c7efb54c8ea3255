"""Tries a changed setup on the cases of the last months, before it is put in force; nothing is written."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import NamedTuple

from intake.desk.desk import Desk
from intake.domain.case import Case
from intake.domain.lab import Lab
from intake.domain.months import months_later
from intake.domain.practice import Practice
from intake.domain.trying import WHATS, Difference, Trial, What
from intake.domain.verdict import Finding
from intake.store.trial_reading import TrialRow

Progress = Callable[[int, int], None]
"""Is told how many cases are done, and how many there are."""
Stop = Callable[[], bool]
"""Is asked whether to stop."""


@dataclass(frozen=True, slots=True)
class TriedCase:
    """A case of which the changed setup would say something else.

    Attributes:
        case_id: The case.
        number: The digits of its first job's number; empty where it has none.
        booked: When it was booked.
        practice: The practice's name.
        patient: The patient's label or reference.
        difference: What would be otherwise.
    """

    case_id: int
    number: str
    booked: datetime
    practice: str
    patient: str
    difference: Difference


@dataclass(frozen=True)
class Tried:
    """What a changed setup would have done.

    Attributes:
        first: The first day of booking that was looked at.
        last: The last one.
        looked_at: So many cases were looked at.
        of: So many there are.
        changed: Those of which something else would be said, in the order of booking.
        stopped: Whether it was stopped.
        trial: The two setups that were held against one another.
    """

    first: date
    last: date
    looked_at: int
    of: int
    changed: tuple[TriedCase, ...]
    stopped: bool
    trial: Trial

    @property
    def counts(self) -> Mapping[What, int]:
        """Of how many cases each kind of change would be true; a case can count for several."""
        counted = Counter(what for case in self.changed for what in case.difference.whats)
        return {what: counted[what] for what in WHATS}


class Explained(NamedTuple):
    """What would be otherwise of one case, in words."""

    gone: tuple[Finding, ...]
    """What it would no longer be told."""
    new: tuple[Finding, ...]
    """What it would be told besides."""


def try_setup(desk: Desk, lab: Lab, months: int, progress: Progress | None = None, stop: Stop | None = None) -> Tried:
    """Holds a changed setup against the one in force, over the cases that stand and were booked in the last months.

    Each is judged as of the moment it was booked, as its prescription stands now, with the practice's answers, and by
    the directory as it is now. The load of the benches does not count.

    Args:
        desk: Whose cases and setup.
        lab: The changed setup.
        months: So many months back from today.
        progress: Is told how far it is.
        stop: Asked between one lot of cases and the next.
    """
    last = desk.now().date()
    first = months_later(last, -months)
    trial, practices = Trial(desk.lab, lab), {practice.code: practice for practice in desk.practices()}
    of = desk.store.read.count_booked(first, last)
    done, stopped = 0, False
    changed: list[TriedCase] = []
    for rows in desk.store.read.booked_cases(first, last) if trial.differ else ():
        if stopped := stop is not None and stop():
            break
        found = list(_tried(rows, trial, practices))
        numbers = desk.store.read.first_jobs([each.case_id for each in found])
        changed += [replace(each, number=numbers.get(each.case_id, "")) for each in found]
        done += len(rows)
        if progress is not None:
            progress(done, of)
    return Tried(first, last, done, of, tuple(changed), stopped, trial)


def explain(desk: Desk, tried: Tried, case: TriedCase) -> Explained:
    """What would be otherwise of one case, with the questions and the reasons."""
    row = desk.store.read.case(case.case_id)
    if row is None:
        return Explained((), ())
    known = desk.store.read.practice(row.practice_code) if row.practice_code else None
    return Explained(*tried.trial.explained(row.case, known.practice if known else None, case.booked))


def _tried(rows: Iterable[TrialRow], trial: Trial, practices: Mapping[str, Practice]) -> Iterator[TriedCase]:
    for row in rows:
        case = Case.model_validate_json(row.prescription)
        difference = trial.of(case, practices.get(row.practice_code or ""), row.booked)
        if difference is not None:
            patient = case.patient.label or case.patient.reference or ""
            yield TriedCase(row.case_id, "", row.booked, row.practice_name, patient, difference)
