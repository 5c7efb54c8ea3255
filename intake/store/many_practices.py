"""Many practices at once, in one unit of work: written, taken out again, asked for what has come from them."""

from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import islice
from typing import Any

from sqlalchemy import bindparam, delete, insert, select, update
from sqlalchemy.orm import Session

from intake.domain.practice import Practice
from intake.store.at_once import among
from intake.store.chain import Journal, Subject
from intake.store.differences import changes, flat
from intake.store.folding import words_of
from intake.store.meanwhile import NotNow
from intake.store.physical_tables import ParcelTable
from intake.store.rows import PracticeRow
from intake.store.scan_tables import SenderTable
from intake.store.tables import CaseTable, DocumentTable, PracticeTable, PrescriberTable
from intake.store.waiting_tables import AttemptTable, ReplyTable

Wanted = tuple[Practice, int | None]
"""A practice as it shall be, with the version that was read; None for a new one."""
Tick = Callable[[int, int], None]
"""Told so many are written, of so many; it may raise to stop."""
AT_ONCE = 500
COMES_FROM = (
    CaseTable.practice_code,
    DocumentTable.practice_code,
    ParcelTable.practice_code,
    SenderTable.practice_code,
    AttemptTable.practice_key,
    ReplyTable.practice_key,
)
"""Where a practice's code stands beside the directory."""


def write_many(session: Session, journal: Journal, wanted: Sequence[Wanted], tick: Tick | None) -> list[PracticeRow]:
    """Write practices, new ones and others, an event for each that changes; in their order, with their versions.

    Raises NotNow where a version is not the one that stands, or a new code is another's.
    """
    codes = [practice.code for practice, _ in wanted]
    stands = _standing(session, codes)
    written: list[PracticeRow] = []
    for batch in _batches(wanted):
        written += _Batch(session, journal, stands).write(batch)
        if tick is not None:
            tick(len(written), len(wanted))
    return written


def take_out_many(session: Session, journal: Journal, rows: Collection[PracticeRow]) -> None:
    """Take practices out that nothing has come from; the history keeps what they were.

    Raises NotNow where a version is not the one that stands.
    """
    stands = _standing(session, [row.practice.code for row in rows])
    for row in rows:
        known = stands.get(row.practice.code)
        if known is None or known[1] != row.version:
            raise NotNow(f"The entry of {row.practice.name} was changed meanwhile.")
        told = {"version": row.version, "changes": changes(flat(row.practice), {})}
        journal.record("practice-taken-out", Subject(practice=row.practice.code), told)
    if not rows:
        return
    connection = session.connection()
    codes = [row.practice.code for row in rows]
    connection.execute(delete(PrescriberTable).where(among(connection, PrescriberTable.practice_code, codes)))
    connection.execute(delete(PracticeTable).where(among(connection, PracticeTable.code, codes)))


def used_of(session: Session, codes: Collection[str]) -> frozenset[str]:
    """Those of some codes that something stands under beside the directory: a case, a letter, a parcel, a call."""
    if not codes:
        return frozenset()
    connection = session.connection()
    return frozenset(
        code
        for column in COMES_FROM
        for code in connection.scalars(select(column).where(among(connection, column, codes)).distinct())
        if code is not None
    )


def search_key_of(practice: Practice) -> str:
    """The folded words that a practice is found by, its former codes among them, a space before each."""
    texts = (practice.code, practice.name, *practice.former)
    return "".join(f" {word}" for word in sorted(frozenset().union(*map(words_of, texts))))


class _Batch:
    """What is written at once."""

    def __init__(self, session: Session, journal: Journal, stands: dict[str, tuple[Practice, int]]) -> None:
        self._connection, self._journal, self._stands = session.connection(), journal, stands
        self._new: list[dict[str, Any]] = []
        self._changed: list[dict[str, Any]] = []
        self._signs: list[Practice] = []

    def write(self, batch: Sequence[Wanted]) -> list[PracticeRow]:
        rows = [self._row(practice, version) for practice, version in batch]
        if self._new:
            self._connection.execute(insert(PracticeTable), self._new)
        if self._changed:
            columns = ("details", "name", "search_key", "version")
            values: dict[str, Any] = {column: bindparam(f"new_{column}") for column in columns}
            changing = update(PracticeTable).where(PracticeTable.code == bindparam("of_code")).values(values)
            self._connection.execute(changing, self._changed)
        self._write_prescribers()
        return rows

    def _row(self, practice: Practice, version: int | None) -> PracticeRow:
        known = self._stands.get(practice.code)
        if (known[1] if known is not None else None) != version:
            raise NotNow(f"The entry of {practice.name} ({practice.code}) was changed meanwhile.")
        before = known[0] if known is not None else None
        changed = changes(flat(before), flat(practice))
        if not changed:
            return PracticeRow(practice, version or 0)
        now = (version or 0) + 1
        self._keep(practice, before, now)
        told = {"version": now, "changes": changed}
        self._journal.record("practice-saved", Subject(practice=practice.code), told)
        self._stands[practice.code] = practice, now
        return PracticeRow(practice, now)

    def _keep(self, practice: Practice, before: Practice | None, version: int) -> None:
        values = {"details": practice, "name": practice.name, "search_key": search_key_of(practice), "version": version}
        if before is None:
            self._new.append({"code": practice.code} | values)
        else:
            self._changed.append({f"new_{name}": value for name, value in values.items()} | {"of_code": practice.code})
        if practice.prescribers != (before.prescribers if before is not None else ()):
            self._signs.append(practice)

    def _write_prescribers(self) -> None:
        codes = [practice.code for practice in self._signs]
        if not codes:
            return
        mine = among(self._connection, PrescriberTable.practice_code, codes)
        self._connection.execute(delete(PrescriberTable).where(mine))
        rows = [
            {"practice_code": practice.code, "position": position, "name": name}
            for practice in self._signs
            for position, name in enumerate(practice.prescribers)
        ]
        if rows:
            self._connection.execute(insert(PrescriberTable), rows)


def _standing(session: Session, codes: Collection[str]) -> dict[str, tuple[Practice, int]]:
    """The practices of the directory with these codes, each with its version."""
    if not codes:
        return {}
    connection = session.connection()
    columns = PracticeTable.code, PracticeTable.details, PracticeTable.version
    rows = connection.execute(select(*columns).where(among(connection, PracticeTable.code, codes)))
    return {code: (practice, version) for code, practice, version in rows}


def _batches(wanted: Sequence[Wanted]) -> Iterator[Sequence[Wanted]]:
    each = iter(wanted)
    while batch := tuple(islice(each, AT_ONCE)):
        yield batch
