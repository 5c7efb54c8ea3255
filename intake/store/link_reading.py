"""What is read of cases that belong together, and of those that may be the same."""

import json
from collections.abc import Collection
from datetime import date, datetime

from sqlalchemy import ColumnElement, or_, select

from intake.store.folding import squash
from intake.store.keys import CASE_KEY, UNLISTED, is_of
from intake.store.link_rows import LikeRow, LinkRow
from intake.store.physical_tables import CaseLinkTable
from intake.store.replaced_scans import scans_noted
from intake.store.selecting import Selecting
from intake.store.selects import PRACTICE_NAME, AnySelect
from intake.store.tables import CaseTable, CaseWordTable, EventTable, PracticeTable

MOST = 400
"""So many cases of a practice, the newest, are looked at for one that may be the same."""

_LIKE: AnySelect = select(
    CaseTable.id,
    CaseTable.version,
    CaseTable.state,
    CASE_KEY,
    PRACTICE_NAME,
    CaseTable.prescription,
    CaseTable.stream,
    CaseTable.arrived,
).outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)


class LinkReading(Selecting):
    """Links between cases, and cases that may be the same."""

    def links_of(self, case_id: int) -> tuple[LinkRow, ...]:
        """The links of a case that stand, whichever end it is, oldest first."""
        table = CaseLinkTable
        found = select(table.id, table.kind, table.case_id, table.of_case_id, table.at, table.who, table.reason)
        either = or_(table.case_id == case_id, table.of_case_id == case_id)
        found = found.where(either, ~table.taken_back).order_by(table.id)
        return tuple(LinkRow(*row) for row in self._all(found))

    def like_cases(self, key: str, patients: Collection[str], since: datetime) -> tuple[LikeRow, ...]:
        """The cases that may be of the same patient, newest first: those of a practice, and those of the same words.

        Args:
            key: The practice's key; empty, or `~`, where none is named: then only the words count.
            patients: Labels and references, as they are written.
            since: Nothing that was booked before is looked at.
        """
        own = self._like(is_of(CaseTable, key), since) if key not in ("", UNLISTED) else ()
        words = sorted(filter(None, map(squash, patients)))
        named = select(CaseWordTable.case_id).where(CaseWordTable.word.in_(words))
        others = self._like(CaseTable.id.in_(named), since) if words else ()
        known = {row.case_id for row in own}
        return (*own, *(row for row in others if row.case_id not in known))

    def returned_of(self, case_id: int) -> tuple[date, str] | None:
        """When a case was last sent back, and why, empty where that was erased; None where it never was."""
        found = select(EventTable.at, EventTable.personal).where(EventTable.case_id == case_id)
        newest = found.where(EventTable.kind == "case-returned").order_by(EventTable.seq.desc()).limit(1)
        for at, personal in self._all(newest):
            return at.date(), str(json.loads(personal).get("reason", "")) if personal else ""
        return None

    def replaced_scan_is_noted(self, case_id: int, number: str, copy: int, day: date) -> bool:
        """Whether it stands in the history that a replaced copy of a job's ticket was scanned on a day."""
        return bool(self._all(scans_noted(case_id, number, copy, day)))

    def _like(self, which: ColumnElement[bool], since: datetime) -> tuple[LikeRow, ...]:
        found = _LIKE.where(which, CaseTable.booked >= since).order_by(CaseTable.id.desc()).limit(MOST)
        return tuple(LikeRow(*row) for row in self._all(found))
