"""What a letter asks and what it has confirmed, kept for every letter; each query and answer knows its newest."""

from collections.abc import Collection, Iterable, Sequence

from sqlalchemy import func, insert, select, union
from sqlalchemy.orm import Session

from intake.store.meanwhile import NotNow, NotThere
from intake.store.tables import CaseTable, DocumentTable, PracticeTable, QueryTable
from intake.store.waiting_tables import AnswerTable, LetterAnswerTable, LetterQueryTable


def to_ask(session: Session, query_ids: Collection[int]) -> list[QueryTable]:
    """The queries that a letter is to ask.

    Raises:
        NotThere: one of them is not in the store.
        NotNow: one of them is not open.
    """
    queries = list(session.scalars(select(QueryTable).where(QueryTable.id.in_(query_ids)).order_by(QueryTable.id)))
    if len(queries) != len(set(query_ids)):
        raise NotThere("A letter needs queries that are in the store.")
    if any(query.state != "open" for query in queries):
        raise NotNow("One of these queries is no longer open. Gather the letter once more.")
    return queries


def to_confirm(session: Session, answer_ids: Collection[int]) -> list[AnswerTable]:
    """The answers that a letter is to have confirmed.

    Raises:
        NotThere: one of them is not in the store.
        NotNow: one of them was taken back, or is confirmed.
    """
    answers = list(session.scalars(select(AnswerTable).where(AnswerTable.id.in_(answer_ids)).order_by(AnswerTable.id)))
    if len(answers) != len(set(answer_ids)):
        raise NotThere("A letter needs answers that are in the store.")
    if any(answer.taken_back or answer.confirmed is not None for answer in answers):
        raise NotNow("One of these answers was taken back or is confirmed. Gather the letter once more.")
    return answers


def one_practice(session: Session, case_ids: Collection[int]) -> tuple[str | None, str]:
    """The one practice of these cases: its code when the directory has it, and its name.

    Raises:
        NotNow: they are of several practices.
    """
    columns = CaseTable.practice_code, CaseTable.practice_name, PracticeTable.name
    of_cases = select(*columns).outerjoin(PracticeTable).where(CaseTable.id.in_(case_ids)).distinct()
    practices = {(code, known or name) for code, name, known in session.execute(of_cases)}
    if len(practices) > 1:
        raise NotNow("These queries are of several practices; a letter is to one.")
    return practices.pop()


def put_in(
    session: Session, letter_id: int, queries: Sequence[QueryTable], answers: Sequence[AnswerTable], reminder: int
) -> None:
    """Write down what a letter asks and confirms; only what a letter asked before is asked by a reminder."""
    asked = [
        {"letter_id": letter_id, "query_id": query.id, "reminder": reminder if query.letters else 0}
        for query in queries
    ]
    told = [{"letter_id": letter_id, "answer_id": answer.id} for answer in answers]
    for table, rows in ((LetterQueryTable, asked), (LetterAnswerTable, told)):
        if rows:
            session.connection().execute(insert(table), rows)
    for query in queries:
        query.letter_id, query.letters = letter_id, query.letters + 1
    for answer in answers:
        answer.letter_id = letter_id


def take_out(session: Session, letter_id: int) -> None:
    """Give the queries and answers of a cancelled letter their former letter back; what it asked stays written."""
    asked = select(LetterQueryTable.query_id).where(LetterQueryTable.letter_id == letter_id)
    for query in session.scalars(select(QueryTable).where(QueryTable.id.in_(asked))):
        of_it = LetterQueryTable.query_id == query.id
        query.letter_id, query.letters = _newest(session, LetterQueryTable, of_it)
    told = select(LetterAnswerTable.answer_id).where(LetterAnswerTable.letter_id == letter_id)
    for answer in session.scalars(select(AnswerTable).where(AnswerTable.id.in_(told))):
        answer.letter_id, _ = _newest(session, LetterAnswerTable, LetterAnswerTable.answer_id == answer.id)
    session.flush()


def cases_in(session: Session, letter_id: int) -> Sequence[int]:
    """The cases that a letter is about."""
    asked = select(QueryTable.case_id).join(LetterQueryTable, LetterQueryTable.query_id == QueryTable.id)
    told = select(AnswerTable.case_id).join(LetterAnswerTable, LetterAnswerTable.answer_id == AnswerTable.id)
    of_letter = (
        asked.where(LetterQueryTable.letter_id == letter_id),
        told.where(LetterAnswerTable.letter_id == letter_id),
    )
    return sorted(session.scalars(union(*of_letter)))


def by_case(rows: Iterable[QueryTable] | Iterable[AnswerTable]) -> dict[int, list[int]]:
    """The ids of queries or answers by their case."""
    found: dict[int, list[int]] = {}
    for row in rows:
        found.setdefault(row.case_id, []).append(row.id)
    return found


def _newest(
    session: Session, table: type[LetterQueryTable | LetterAnswerTable], of_it: object
) -> tuple[int | None, int]:
    """The newest letter that was not cancelled, and how many there are."""
    stands = DocumentTable.state != "cancelled"
    found = select(func.max(table.letter_id), func.count()).join(DocumentTable, DocumentTable.id == table.letter_id)
    newest, count = session.execute(found.where(of_it, stands)).one()  # type: ignore[arg-type]
    return newest, count
