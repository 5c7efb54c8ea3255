"""The practices of the directory, added and changed."""

from collections.abc import Collection, Sequence
from typing import Any

from sqlalchemy import delete, insert
from sqlalchemy.orm import Session

from intake.domain.practice import Practice
from intake.store.chain import Journal, Subject
from intake.store.columns import clean
from intake.store.differences import changes, flat
from intake.store.many_practices import Tick, Wanted, search_key_of, take_out_many, used_of, write_many
from intake.store.meanwhile import NotNow, refuse_stale
from intake.store.practice_merging import merge_into, part
from intake.store.practice_rows import Belongings
from intake.store.rows import PracticeRow
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

    def save_many(self, wanted: Sequence[Wanted], tick: Tick | None = None) -> tuple[PracticeRow, ...]:
        """Save many practices as `save` does each; in their order, with their versions.

        Args:
            wanted: Each with the version that was read; None for a new one.
            tick: Told how far it is; it may raise to stop, which leaves nothing where the unit of work is left.

        Raises:
            NotNow: one of them was changed since it was read, or a new one's code is another's.
        """
        return tuple(write_many(self._session, self._journal, wanted, tick))

    def take_out(self, rows: Collection[PracticeRow]) -> None:
        """Take practices out that nothing has come from. Raises NotNow where one was changed since it was read."""
        take_out_many(self._session, self._journal, rows)

    def used(self, codes: Collection[str]) -> frozenset[str]:
        """Those of some codes from which something has come: a case, a parcel, a call; or to which a letter went."""
        return used_of(self._session, codes)

    def merge(self, goes: PracticeRow, stays: PracticeRow, practice: Practice) -> tuple[Belongings, int]:
        """Let everything of a practice belong to another, as `practice_merging.merge_into` does.

        What moved, and the version of the one that stays. Raises NotNow where one was changed since it was read.
        """
        return merge_into(self._session, self._journal, goes, stays, practice)

    def part(self, goes: PracticeRow, stays: PracticeRow, before: Practice, moved: Belongings) -> None:
        """Undo `merge`. Raises NotNow where the practice that stayed was changed since, or the code is another's."""
        part(self._session, self._journal, goes, stays, before, moved)

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
        row.search_key = search_key_of(practice)
        self._session.flush()
        mine = PrescriberTable.practice_code == row.code
        self._session.connection().execute(delete(PrescriberTable).where(mine))
        named = [
            {"practice_code": row.code, "position": n, "name": name} for n, name in enumerate(practice.prescribers)
        ]
        if named:
            self._session.connection().execute(insert(PrescriberTable), named)
