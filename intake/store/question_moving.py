"""Questions follow what they are about: from one case to another one, and from one place in a case to another.

Whatever hangs on a question goes with it: the letters that ask it, what was promised, what was said.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from intake.store.asking import open_queries
from intake.store.tables import QueryTable
from intake.store.waiting_tables import AnswerTable


@dataclass(frozen=True)
class Exchanged:
    """A question that went to another case, and the fresh one there whose place it took; with their appliances."""

    moved_id: int
    fresh_id: int
    was: int | None
    fresh_was: int | None


@dataclass(frozen=True)
class Placed:
    """A question as it was before the appliances of its case got other places."""

    query_id: int
    appliance: int
    state: str


def exchange(
    session: Session, from_id: int, into_id: int, places: Mapping[int, int], whole_case: bool = False
) -> list[Exchanged]:
    """Let open questions that were asked already take the place of fresh ones of another case.

    A fresh one goes the other way and is closed; so nothing is asked twice, and nothing is deleted.

    Args:
        session: The unit of work's.
        from_id: The case that they are of.
        into_id: The case that they go to; the same questions are open there.
        places: Where each appliance is there; the questions about another one stay.
        whole_case: Whether those about the whole case go too.
    """
    fresh = {(query.requirement, query.appliance): query for query in open_queries(session, into_id)}
    moved = []
    for query in open_queries(session, from_id):
        goes = whole_case if query.appliance is None else query.appliance in places
        place = places.get(query.appliance) if query.appliance is not None else None
        wanted = fresh.get((query.requirement, place)) if goes else None
        if wanted is not None and _ahead(query) > _ahead(wanted):
            moved.append(Exchanged(query.id, wanted.id, query.appliance, wanted.appliance))
            _swap(session, query, wanted)
            wanted.state = "withdrawn"
    session.flush()
    return moved


def exchange_back(session: Session, exchanged: Collection[Exchanged]) -> None:
    """Undo `exchange`, whatever became of the places since."""
    for each in exchanged:
        query, fresh = session.get_one(QueryTable, each.moved_id), session.get_one(QueryTable, each.fresh_id)
        _swap(session, query, fresh)
        query.appliance, fresh.appliance, fresh.state = each.was, each.fresh_was, "open"
    session.flush()


def renumber(session: Session, case_id: int, places: Mapping[int, int]) -> list[Placed]:
    """Let the questions of a case say where its appliances are now; open ones about another appliance are closed.

    What they were is returned, for `put_back`.
    """
    before = []
    for query in session.scalars(select(QueryTable).where(QueryTable.case_id == case_id)).all():
        if query.appliance is None:
            continue
        was = Placed(query.id, query.appliance, query.state)
        if query.appliance in places:
            query.appliance = places[query.appliance]
        elif query.state == "open":
            query.state = "withdrawn"
        if (query.appliance, query.state) != (was.appliance, was.state):
            before.append(was)
    session.flush()
    return before


def put_back(session: Session, placed: Collection[Placed]) -> None:
    """Undo `renumber`."""
    for each in placed:
        query = session.get_one(QueryTable, each.query_id)
        query.appliance, query.state = each.appliance, each.state
    session.flush()


def _ahead(query: QueryTable) -> tuple[bool, int]:
    """How far it is with a question: whether something is promised, and how many letters ask it."""
    return query.expected_on is not None, query.letters


def _swap(session: Session, one: QueryTable, other: QueryTable) -> None:
    mine = one.case_id, one.job_id, one.appliance
    one.case_id, one.job_id, one.appliance = other.case_id, other.job_id, other.appliance
    other.case_id, other.job_id, other.appliance = mine
    for query in (one, other):
        answers = update(AnswerTable).where(AnswerTable.query_id == query.id).values(case_id=query.case_id)
        session.execute(answers, execution_options={"synchronize_session": False})
