"""Tries to reach a practice by telephone, kept one by one."""

from collections.abc import Collection
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from intake.store.chain import Journal, Subject
from intake.store.keys import code_of
from intake.store.meanwhile import NotNow, NotThere
from intake.store.waiting_tables import AttemptTable
from intake.store.words import CallOutcome


class Calls:
    """The calls of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def attempt(
        self,
        *,
        key: str,
        name: str,
        outcome: CallOutcome,
        telephone: str,
        note: str = "",
        ring_back: datetime | None = None,
        case_ids: Collection[int] = (),
    ) -> int:
        """Keep one try; its id.

        Args:
            key: The practice's key.
            name: Its name, as it stands now.
            outcome: What came of it.
            telephone: The number that was rung.
            note: What else was said; it may name a patient.
            ring_back: When to ring again, where a time was said.
            case_ids: The cases it was about; the history of each tells of it.
        """
        row = AttemptTable(
            practice_key=key,
            practice_name=name,
            at=self._journal.at,
            who=self._journal.who,
            outcome=outcome,
            telephone=telephone,
            note=note,
            ring_back=ring_back,
        )
        self._session.add(row)
        self._session.flush()
        told: dict[str, Any] = {"attempt": row.id, "name": name, "outcome": outcome, "telephone": telephone}
        if ring_back is not None:
            told["ring_back"] = ring_back.isoformat()
        for case_id in sorted(set(case_ids)) or (None,):
            subject = Subject(case_id=case_id, practice=code_of(key))
            self._journal.record("practice-rung", subject, told, {"note": note} if note else None)
        return row.id

    def take_back(self, attempt_id: int, case_ids: Collection[int] = ()) -> None:
        """Take a try back that was noted by mistake; it counts no more, and stays in the history.

        Raises:
            NotThere: there is no such try.
            NotNow: it was taken back before.
        """
        row = self._session.get(AttemptTable, attempt_id)
        if row is None:
            raise NotThere(f"There is no try {attempt_id}.")
        if row.taken_back:
            raise NotNow("This try was taken back already.")
        row.taken_back = True
        self._session.flush()
        told = {"attempt": row.id, "outcome": row.outcome}
        for case_id in sorted(set(case_ids)) or (None,):
            self._journal.record("try-taken-back", Subject(case_id=case_id, practice=code_of(row.practice_key)), told)
