"""Returned forms: kept with the file that they came as, taken, set aside."""

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.store.chain import Journal, Subject
from intake.store.keys import code_of
from intake.store.letters import cases_in
from intake.store.meanwhile import NotNow, NotThere
from intake.store.waiting_rows import KeptReply, NewReply
from intake.store.waiting_tables import ReplyFileTable, ReplyTable
from intake.store.words import ReplyState


class Replies:
    """The returned forms of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def add(self, reply: NewReply) -> KeptReply:
        """Let a returned form wait; one whose fingerprint is known is not taken in twice."""
        same = select(ReplyTable.id).where(ReplyTable.fingerprint == reply.fingerprint)
        known = self._session.scalar(same)
        if known is not None:
            return KeptReply(known, already=True)
        row = ReplyTable(
            fingerprint=reply.fingerprint,
            source_name=reply.source_name,
            at=self._journal.at,
            letter_id=reply.letter_id,
            practice_key=reply.key,
            state="waiting",
            kind=reply.kind,
            problem=reply.problem,
            content=reply.content,
        )
        self._session.add(row)
        self._session.flush()
        self._session.add(ReplyFileTable(reply_id=row.id, name=reply.source_name, content=reply.file))
        told = {"kind": reply.kind, "fingerprint": reply.fingerprint}
        self._record("reply-added", row, told, {"source_name": reply.source_name, "problem": reply.problem})
        return KeptReply(row.id, already=False)

    def set_state(self, reply_id: int, state: ReplyState) -> None:
        """Mark a returned form as taken, set it aside, or let it wait again.

        Raises:
            NotThere: there is no such form.
            NotNow: it is in that state already, so another desk was faster.
        """
        row = self._session.get(ReplyTable, reply_id)
        if row is None:
            raise NotThere(f"There is no returned form {reply_id}.")
        if row.state == state:
            raise NotNow(f"This returned form is {state.replace('-', ' ')} already.")
        before, row.state = row.state, state
        self._record(f"reply-{state}", row, {"state": [before, state]})

    def _record(self, kind: str, row: ReplyTable, told: dict[str, Any], personal: dict[str, Any] | None = None) -> None:
        """Record an event in the history of each case of the letter; a file's name may name a patient."""
        details = {"reply": row.id, "letter": row.letter_id} | told
        cases = cases_in(self._session, row.letter_id) if row.letter_id is not None else ()
        for case_id in cases or (None,):
            subject = Subject(case_id=case_id, practice=code_of(row.practice_key))
            self._journal.record(kind, subject, details, personal)
