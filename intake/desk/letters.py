"""Writes the query letters that are due: one to a practice, for everything that no letter has asked yet."""

from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue
from intake.domain.case import NewPractice
from intake.domain.job_number import read_number
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.store.rows import CaseRow, LetterDue


class NothingToAsk(IntakeError):
    """A practice has no question that a letter could ask."""


def write_due(desk: Desk) -> tuple[Issued, ...]:
    """Writes every letter that is due and hands it to the queue."""
    return tuple(_write(desk, due) for due in desk.store.read.letters_due())


def write_to_practice_of(desk: Desk, case_id: int) -> Issued:
    """Writes the letter to the practice of a case now, with everything that it is to be asked.

    Raises NothingToAsk where no letter can be written, with the reason.
    """
    case = desk.store.read.case(case_id)
    if case is None:
        raise NothingToAsk("This case is not here any more.")
    practice = desk.practice_of(case.case) or case.case.practice
    if not practice or isinstance(practice, str):
        raise NothingToAsk(_nobody(case))
    due = next((due for due in desk.store.read.letters_due() if due.practice == practice), None)
    if due is None:
        raise NothingToAsk(_asked_already(desk, case))
    return _write(desk, due)


def nobody_to_write_to(desk: Desk) -> tuple[str, ...]:
    """A sentence for each case with questions that no letter can ask, since nobody is named to write to."""
    read = desk.store.read
    due = {query.query_id for letter in read.letters_due() for query in letter.queries}
    left = [query for query in read.open_queries() if query.letter_id is None and query.query_id not in due]
    cases = (read.case(case_id) for case_id in dict.fromkeys(query.case_id for query in left))
    return tuple(f"{_numbers(desk, case)}: {_nobody(case)}" for case in cases if case is not None)


def _numbers(desk: Desk, case: CaseRow) -> str:
    jobs = [job for job in desk.store.read.jobs_of(case.case_id) if job.state != "withdrawn"]
    return listed([read_number(job.number).shown for job in jobs])


def _write(desk: Desk, due: LetterDue) -> Issued:
    with desk.work() as work:
        document_id = work.documents.add_letter([query.query_id for query in due.queries])
        work.commit()
    return issue(desk, document_id)


def _nobody(case: CaseRow) -> str:
    if not case.practice_name:
        return "The case names no practice, so there is nobody to write to. Enter the practice first."
    return (
        f"“{case.practice_name}” is not in the directory, so there is no address to write to. "
        "Enter the practice with its address first."
    )


def _asked_already(desk: Desk, case: CaseRow) -> str:
    name = case.case.practice.name if isinstance(case.case.practice, NewPractice) else case.practice_name
    asked = [query.letter_id for query in desk.store.read.queries_of(case.case_id) if query.state == "open"]
    if not any(asked):
        return f"There is nothing to ask {name}."
    return (
        f"Everything open was asked already, in letter {max(filter(None, asked))}; there is nothing new to ask {name}."
    )
