"""What practices have promised, and the arrival that brings it: offered when it fits, joined when the desk says so."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from intake.desk.amending import Amended, bring_in_line
from intake.desk.book_in import Booked, book_arrival_as, let_wait_again
from intake.desk.desk import Desk
from intake.desk.ticket_words import patient_words
from intake.domain.case import Case, NewPractice
from intake.domain.job_number import read_number
from intake.domain.matching import NOTHING_CAME, Expected, fits, joined
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.store.keys import key_of
from intake.store.rows import CaseRow, ExpectedRow
from intake.store.work import Work


class CannotJoin(IntakeError):
    """What came cannot be put to a case."""


@dataclass(frozen=True)
class Match:
    """A case for which something was promised that an arrival may bring."""

    case_id: int
    version: int
    case: Case
    """The case as it was when it was offered."""
    query_ids: tuple[int, ...]
    numbers: tuple[str, ...]
    why: str
    """Why it fits, in a few words."""
    said: str
    """The offer in a sentence."""
    kind: Literal["promised"] = "promised"


def expected_for(desk: Desk, case: Case) -> tuple[Match, ...]:
    """The cases of the same practice that wait for what this one may bring, the likeliest first."""
    key = practice_key(desk, case)
    by_case: dict[int, list[tuple[ExpectedRow, str]]] = {}
    for row in desk.store.read.expected(key) if key else ():
        why = fits(_expected(row), case, key)
        if why:
            by_case.setdefault(row.case_id, []).append((row, why))
    return tuple(_match(desk, case_id, fitting) for case_id, fitting in by_case.items())


def join(desk: Desk, match: Match, arriving: Case, arrival_id: int | None = None) -> Booked:
    """Puts what came to the case that waited for it; its questions are answered by it, its arrival is booked.

    Raises CannotJoin where nothing came, ChangedMeanwhile where the case was changed since it was offered, and
    BookedElsewhere where the arrival was booked meanwhile.
    """
    if not arriving.items:
        raise CannotJoin(NOTHING_CAME)
    with desk.work() as work:
        amended = _bring_in_line(desk, work, match, match.version, joined(match.case, arriving))
        if arrival_id is not None:
            book_arrival_as(desk, work, arrival_id, match.case_id)
        work.commit()
    return _booked(match, amended, arrival_id)


def take_apart(desk: Desk, match: Match, joined_case: Booked) -> Booked:
    """Undoes a join: the case is as it was and waits for what was promised, and the arrival waits again.

    Raises ChangedMeanwhile where the case was changed since.
    """
    with desk.work() as work:
        work.answers.reopen(match.query_ids)
        amended = _bring_in_line(desk, work, match, joined_case.version, match.case)
        let_wait_again(desk, work, joined_case.arrival_id)
        work.commit()
    return _booked(match, amended, joined_case.arrival_id)


def _bring_in_line(desk: Desk, work: Work, match: Match, version: int, case: Case) -> Amended:
    return bring_in_line(desk, work, match.case_id, version, case, desk.practice_of(case), match.query_ids)


def _booked(match: Match, amended: Amended, arrival_id: int | None) -> Booked:
    return Booked(match.case_id, amended.version, amended.jobs, amended.verdict, amended.tickets, arrival_id)


def practice_key(desk: Desk, case: Case) -> str:
    """The practice's key; empty while the case names none."""
    known = desk.practice_of(case)
    if known is not None:
        return known.code
    name = case.practice.name if isinstance(case.practice, NewPractice) else case.practice or ""
    return key_of(None, name) if name.strip() else ""


def _expected(row: ExpectedRow) -> Expected:
    return Expected(
        query_id=row.query_id,
        case_id=row.case_id,
        requirement=row.requirement,
        items=row.promise.items,
        way=row.promise.way,
        patient_label=row.patient_label,
        patient_reference=row.patient_reference,
        practice_key=row.key,
    )


def _match(desk: Desk, case_id: int, fitting: Sequence[tuple[ExpectedRow, str]]) -> Match:
    case = desk.store.read.case(case_id)
    assert case is not None, "a case is never deleted"
    numbers = tuple(
        read_number(job.number).shown for job in desk.store.read.jobs_of(case_id) if job.state != "withdrawn"
    )
    promised = listed(list(dict.fromkeys(row.expected for row, _ in fitting)))
    return Match(
        case_id=case_id,
        version=case.version,
        case=case.case,
        query_ids=tuple(row.query_id for row, _ in fitting),
        numbers=numbers,
        why=fitting[0][1],
        said=f"{_who(case, desk)}, job {listed(numbers)}, waits for this: {promised}.",
    )


def _who(case: CaseRow, desk: Desk) -> str:
    return patient_words(case.case.patient, desk.lab) or "A patient without a label"
