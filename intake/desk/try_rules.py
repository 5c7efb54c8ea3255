"""Tries a changed setup on the cases of the last months, before it is put in force; nothing is written."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from intake.desk.desk import Desk
from intake.domain.case import Case
from intake.domain.lab import Lab
from intake.domain.months import months_later
from intake.domain.practice import Practice
from intake.domain.trying import WHATS, Difference, Trial, What
from intake.store.trial_reading import TrialRow

Progress = Callable[[int, int], None]
"""Is told how many cases are done, and how many there are."""
Stop = Callable[[], bool]
"""Is asked whether to stop."""


@dataclass(frozen=True)
class TriedCase:
    """A case of which the changed setup would say something else.

    Attributes:
        case_id: The case.
        number: The digits of its first job's number; empty where it has none.
        booked: When it was booked.
        practice: The practice's name, or what stands in its place.
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
        rules_alone: Whether only the rule book differs, which is quick.
        differ: Whether the two setups can say anything different at all; no case was looked at where they cannot.
    """

    first: date
    last: date
    looked_at: int
    of: int
    changed: tuple[TriedCase, ...]
    stopped: bool
    rules_alone: bool
    differ: bool

    @property
    def counts(self) -> Mapping[What, int]:
        """Of how many cases each kind of change would be true; a case can count for several."""
        counted = Counter(what for case in self.changed for what in case.difference.whats)
        return {what: counted[what] for what in WHATS}


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
    changed: list[tuple[TrialRow, Case, Difference]] = []
    for rows in desk.store.read.booked_cases(first, last) if trial.differ else ():
        if stopped := stop is not None and stop():
            break
        changed += _tried(rows, trial, practices)
        done += len(rows)
        if progress is not None:
            progress(done, of)
    numbers = desk.store.read.first_jobs([row.case_id for row, _, _ in changed])
    cases = tuple(
        TriedCase(
            row.case_id,
            numbers.get(row.case_id, ""),
            row.booked,
            _practice_of(case, row, practices),
            case.patient.label or case.patient.reference or "",
            difference,
        )
        for row, case, difference in changed
    )
    return Tried(first, last, done, of, cases, stopped, trial.rules_alone, trial.differ)


def _tried(
    rows: Iterable[TrialRow], trial: Trial, practices: Mapping[str, Practice]
) -> Iterator[tuple[TrialRow, Case, Difference]]:
    for row in rows:
        case = Case.model_validate_json(row.prescription)
        practice = practices.get(row.practice_code) if row.practice_code else None
        difference = trial.of(case, practice, row.booked)
        if difference is not None:
            yield row, case, difference


def _practice_of(case: Case, row: TrialRow, practices: Mapping[str, Practice]) -> str:
    known = practices.get(row.practice_code) if row.practice_code else None
    if known is not None:
        return known.name
    written = case.practice
    return written if isinstance(written, str) else written.name if written is not None else ""
