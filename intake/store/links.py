"""What cases are to one another, and what else becomes of a case that is booked."""

from collections.abc import Collection, Iterable, Mapping, Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.store import question_moving
from intake.store.chain import Journal, Subject
from intake.store.meanwhile import NotNow, NotThere
from intake.store.physical_tables import CaseLinkTable
from intake.store.question_moving import Exchanged, Placed
from intake.store.replaced_scans import KIND, scans_noted, told_of
from intake.store.tables import CaseTable, JobTable, QueryTable
from intake.store.words import LinkKind

KINDS: dict[str, str] = {"split": "case-split", "merged": "case-merged", "remake": "case-remade"}
"""The kind of event that tells of each kind of link."""


class Links:
    """The links of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def add(
        self, kind: LinkKind, case_id: int, of_case_id: int, reason: str, differs: Sequence[Sequence[str]] = ()
    ) -> int:
        """Link a case to the one that it was split off from, merged into or made anew of; the link's id.

        The history of both tells of it.

        Args:
            kind: What it is to the other.
            case_id: The case.
            of_case_id: The other one.
            reason: Why; it may name a patient.
            differs: Of two that are merged, what they say otherwise in words: each time the field, what stands and
                what the other said.

        Raises:
            NotThere: one of the cases is not in the store.
            NotNow: they are the same case.
        """
        if case_id == of_case_id:
            raise NotNow("A case cannot be linked to itself.")
        for each in (case_id, of_case_id):
            if self._session.get(CaseTable, each) is None:
                raise NotThere(f"There is no case {each}.")
        row = CaseLinkTable(
            kind=kind,
            case_id=case_id,
            of_case_id=of_case_id,
            at=self._journal.at,
            who=self._journal.who,
            reason=reason,
            taken_back=False,
        )
        self._session.add(row)
        self._session.flush()
        self._record(KINDS[kind], row, {"reason": reason, "differs": [list(each) for each in differs]})
        return row.id

    def take_back(self, link_id: int) -> None:
        """Take a link back that no longer holds; it stays in the history of both.

        Raises:
            NotThere: there is no such link.
            NotNow: it was taken back before.
        """
        row = self._session.get(CaseLinkTable, link_id)
        if row is None:
            raise NotThere(f"There is no link {link_id}.")
        if row.taken_back:
            raise NotNow("This was taken back already.")
        row.taken_back = True
        self._session.flush()
        self._record("link-taken-back", row, {})

    def returned(self, case_id: int, items: Sequence[str], reason: str) -> None:
        """Record that a case goes back to its practice, and what of it; it is withdrawn by `cases.withdraw`."""
        self._journal.record("case-returned", Subject(case_id=case_id), {"items": list(items)}, {"reason": reason})

    def replaced_scanned(self, number: str, copy: int) -> bool:
        """Record that a ticket was scanned that no longer counts; whether that was new, once a copy and day.

        Raises:
            NotThere: no job has that number.
        """
        case_id = self._session.scalar(select(JobTable.case_id).where(JobTable.number == number))
        if case_id is None:
            raise NotThere(f"There is no job {number}.")
        if self._session.execute(scans_noted(case_id, number, copy, self._journal.at.date())).first() is not None:
            return False
        self._journal.record(KIND, Subject(case_id=case_id, job=number), told_of(copy))
        return True

    def exchange_questions(
        self, from_id: int, into_id: int, places: Mapping[int, int], whole_case: bool = False
    ) -> tuple[Exchanged, ...]:
        """Let questions that were asked already follow their appliances to another case: `question_moving.exchange`."""
        exchanged = tuple(question_moving.exchange(self._session, from_id, into_id, places, whole_case))
        self._questions_moved((from_id, into_id), [each.moved_id for each in exchanged])
        return exchanged

    def exchange_questions_back(self, exchanged: Collection[Exchanged]) -> None:
        """Undo `exchange_questions`."""
        question_moving.exchange_back(self._session, exchanged)
        moved = [each.moved_id for each in exchanged]
        cases = select(QueryTable.case_id).where(QueryTable.id.in_([*moved, *(each.fresh_id for each in exchanged)]))
        self._questions_moved(sorted(set(self._session.scalars(cases))), moved)

    def renumber_questions(self, case_id: int, places: Mapping[int, int]) -> tuple[Placed, ...]:
        """Let the questions of a case say where its appliances are now: `question_moving.renumber`."""
        placed = tuple(question_moving.renumber(self._session, case_id, places))
        self._questions_moved((case_id,), [each.query_id for each in placed])
        return placed

    def put_questions_back(self, placed: Collection[Placed]) -> None:
        """Undo `renumber_questions`."""
        question_moving.put_back(self._session, placed)
        cases = select(QueryTable.case_id).where(QueryTable.id.in_([each.query_id for each in placed]))
        self._questions_moved(sorted(set(self._session.scalars(cases))), [each.query_id for each in placed])

    def _questions_moved(self, case_ids: Iterable[int], query_ids: Collection[int]) -> None:
        """Tell the history of each case which questions went to another case or place, and how they stand now."""
        if not query_ids:
            return
        columns = QueryTable.id, QueryTable.case_id, QueryTable.requirement, QueryTable.appliance, QueryTable.state
        rows = self._session.execute(select(*columns).where(QueryTable.id.in_(query_ids)).order_by(QueryTable.id))
        told = {"queries": [list(row) for row in rows]}
        for case_id in case_ids:
            self._journal.record("query-moved", Subject(case_id=case_id), told)

    def _record(self, kind: str, row: CaseLinkTable, personal: Mapping[str, object]) -> None:
        """Tell the history of both cases, each with the numbers of the other."""
        hidden = {name: what for name, what in personal.items() if what}
        for own, other, is_new in ((row.case_id, row.of_case_id, True), (row.of_case_id, row.case_id, False)):
            numbers = select(JobTable.number).where(JobTable.case_id == other).order_by(JobTable.id)
            told = {"link": row.id, "link_kind": row.kind, "other": list(self._session.scalars(numbers))}
            self._journal.record(kind, Subject(case_id=own), told | {"is_new": is_new}, hidden or None)
