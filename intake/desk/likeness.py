"""What a case may be the same as, of those that are here: shown before it is saved, each with its reasons."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import islice

from intake.desk.desk import Desk
from intake.desk.expected import practice_key
from intake.desk.linked import kin
from intake.domain.case import Case
from intake.domain.job_number import read_number
from intake.domain.likeness import WITHIN, Alike, Seen, same_case, seen
from intake.domain.wording import capital, listed
from intake.domain.written_dates import short_day
from intake.store.link_rows import LikeRow
from intake.store.rows import JobRow

MOST = 5
"""So many are shown."""
_STATES = {"held": "held", "clear": "clear", "gone": "handed over", "withdrawn": "withdrawn"}


@dataclass(frozen=True)
class Likely:
    """A case that may be the same."""

    case_id: int
    version: int
    number: str
    """The digits of its first number, by which it is opened."""
    numbers: tuple[str, ...]
    """Its numbers as they are shown."""
    score: float
    """From 0 to 1."""
    why: str
    """`Same practice, reference 20418, the same appliance, 1 day apart.`"""
    said: str
    """The whole in a sentence."""


def likely_same(desk: Desk, case: Case, case_id: int | None = None) -> tuple[Likely, ...]:
    """The cases that another one may be the same as, likeliest first. It reads, and changes nothing.

    Args:
        desk: The desk.
        case: The case as far as it is known.
        case_id: Where it is booked: it is not like itself, nor like those that it is linked to already.
    """
    patient = case.patient
    names = [name for name in (patient.label, patient.found, patient.reference) if name and name.strip()]
    if not names:
        return ()
    key, day = practice_key(desk, case), (case.arrived or desk.now()).date()
    mine = seen(case, key.strip("~"), day)
    since = datetime.combine(day - timedelta(days=WITHIN), time())
    known = kin(desk, case_id) | {case_id} if case_id is not None else frozenset[int]()
    found = []
    for row in desk.store.read.like_cases(key, names, since):
        alike = same_case(mine, _seen(row, row.arrived.date(), row.state == "withdrawn"), desk.lab)
        if alike is not None and row.case_id not in known:
            found.append((alike, row))
    found.sort(key=lambda each: (-each[0].score, -each[1].case_id))
    likely = (_likely(desk, alike, row) for alike, row in found)
    return tuple(islice((each for each in likely if each is not None), MOST))


def _seen(row: LikeRow, day: date, returned: bool) -> Seen:
    return seen(row.case, row.key.strip("~"), day, returned)


def _likely(desk: Desk, alike: Alike, row: LikeRow) -> Likely | None:
    """How it is told; None of one that was withdrawn for another reason than that it was sent back."""
    jobs = desk.store.read.jobs_of(row.case_id)
    standing = [job for job in jobs if job.state != "withdrawn"] or list(jobs)
    returned = desk.store.read.returned_of(row.case_id) if row.state == "withdrawn" else None
    if not standing or (row.state == "withdrawn" and returned is None):
        return None
    numbers = tuple(read_number(job.number).shown for job in standing)
    why = f"{capital(', '.join(alike.why))}."
    who = row.case.patient.label or row.case.patient.reference or "A patient without a label"
    is_here = f"{who} of {row.practice_name}" if row.practice_name else who
    stands = f"was sent back on {short_day(returned[0])}" if returned else f"came on {short_day(row.arrived.date())}"
    said = f"{is_here} {stands} as {listed(list(numbers))} ({_what(standing)}). {why}"
    return Likely(row.case_id, row.version, standing[0].number, numbers, alike.score, why, said)


def _what(jobs: list[JobRow]) -> str:
    return listed([f"{job.category_name}, {_STATES[job.state]}" for job in jobs])
