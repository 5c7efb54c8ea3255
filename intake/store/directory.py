"""The practices of the directory, added and changed."""

from typing import Any

from sqlalchemy import delete, insert
from sqlalchemy.orm import Session

from intake.domain.practice import Practice
from intake.store.chain import Journal, Subject
from intake.store.columns import clean
from intake.store.differences import changes, flat
from intake.store.folding import words_of
from intake.store.meanwhile import NotNow, refuse_stale
from intake.store.tables import EventTable, PracticeTable, PrescriberTable


class Directory:
    """The practices of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def save(self, practice: Practice, version: int | None = None) -> int:
        """Add a practice, or replace the one that was read; its version. Nothing is written when nothing changes.

        Args:
            practice: The practice as it shall be.
            version: The version that was read; None for a new practice.

        Raises:
            NotNow: a new practice's code is another's.
            ChangedMeanwhile: it was changed since it was read.
        """
        row = self._session.get(PracticeTable, practice.code)
        before = flat(row.details) if row else {}
        changed = changes(before, flat(practice))
        if row and changed:
            self._refuse(row, practice, version, before)
        if row is None:
            row = PracticeTable(code=practice.code)
            self._session.add(row)
        if changed:
            self._write(row, practice)
            details = {"version": row.version, "changes": changed}
            self._journal.record("practice-saved", Subject(practice=practice.code), details)
        return row.version

    def _refuse(self, row: PracticeTable, practice: Practice, version: int | None, theirs: dict[str, Any]) -> None:
        if version is None:
            raise NotNow(
                f"The code “{practice.code}” is {row.name}’s already. Choose another code for {practice.name}."
            )
        about = (EventTable.practice == clean(practice.code)) & EventTable.kind.startswith("practice-")
        what = f"The practice {row.name}"
        refuse_stale(self._session, what, (version, row.version), about, theirs, flat(practice))

    def _write(self, row: PracticeTable, practice: Practice) -> None:
        row.details, row.name = practice, practice.name
        row.search_key = "".join(f" {word}" for word in sorted(words_of(practice.code) | words_of(practice.name)))
        self._session.flush()
        mine = PrescriberTable.practice_code == row.code
        self._session.connection().execute(delete(PrescriberTable).where(mine))
        named = [
            {"practice_code": row.code, "position": n, "name": name} for n, name in enumerate(practice.prescribers)
        ]
        if named:
            self._session.connection().execute(insert(PrescriberTable), named)
