"""Two practices made one in a unit of work, and two again: everything that belongs to the one goes with it.

The history is never rewritten: its events stay under the code that they were written with, and are found by it as one
of the former codes of the practice that stays. Each case gets an event of its own, and another version, so that who has
it open at another desk hears of it.
"""

from collections.abc import Collection
from typing import Any

from sqlalchemy import bindparam, delete, select, update
from sqlalchemy.orm import Session

from intake.domain.practice import Practice
from intake.store.at_once import among
from intake.store.chain import Journal, Subject
from intake.store.many_practices import write_many
from intake.store.meanwhile import NotNow
from intake.store.physical_tables import ParcelTable
from intake.store.practice_reading import WHERE, belongings
from intake.store.practice_rows import Belongings
from intake.store.rows import PracticeRow
from intake.store.tables import CaseTable, PracticeTable, PrescriberTable


def merge_into(
    session: Session, journal: Journal, goes: PracticeRow, stays: PracticeRow, practice: Practice
) -> tuple[Belongings, int]:
    """Let everything of a practice belong to another, and take its entry out; what moved, and the other's version.

    Args:
        session: The unit of work's.
        journal: Its events.
        goes: The practice that becomes part of the other, as it was read.
        stays: The other, as it was read.
        practice: The other, as it shall be.

    Raises NotNow where one of them was changed since it was read.
    """
    _refuse_stale(session, goes, stays)
    left, into = goes.practice, stays.practice
    (written,) = write_many(session, journal, [(practice, stays.version)], None)
    connection = session.connection()
    moved = belongings(connection, left.code)
    _move(session, journal, moved, left, practice, "case-practice-merged")
    connection.execute(delete(PrescriberTable).where(PrescriberTable.practice_code == left.code))
    connection.execute(delete(PracticeTable).where(PracticeTable.code == left.code))
    told = {"from": left.code, "name": left.name, "moved": _told(moved)}
    journal.record("practice-merged", Subject(practice=into.code), told)
    gone = {"version": goes.version + 1, "into": into.code, "name": into.name}
    journal.record("practice-merged-into", Subject(practice=left.code), gone)
    return moved, written.version


def part(
    session: Session, journal: Journal, goes: PracticeRow, stays: PracticeRow, before: Practice, moved: Belongings
) -> None:
    """Undo `merge_into`: both entries are as they were, and what moved is back where it still stands there.

    Args:
        session: The unit of work's.
        journal: Its events.
        goes: The practice that became part of the other, as it was.
        stays: The other, as it is.
        before: The other, as it was.
        moved: What `merge_into` gave.

    Raises NotNow where the other was changed since, or the code was given to another practice.
    """
    _refuse_stale(session, None, stays)
    if session.get(PracticeTable, goes.practice.code) is not None:
        raise NotNow(f"The code {goes.practice.code} was given to another practice since.")
    left = goes.practice
    write_many(session, journal, [(before, stays.version), (left, None)], None)
    connection = session.connection()
    numbered = update(PracticeTable).where(PracticeTable.code == left.code)
    connection.execute(numbered.values(version=goes.version + 2))  # no version may come twice
    now = belongings(connection, before.code)
    back = Belongings(**{name: _both(getattr(moved, name), getattr(now, name)) for name in WHERE})
    _move(session, journal, back, before, left, "case-practice-parted")
    told = {"from": left.code, "name": left.name, "moved": _told(back)}
    journal.record("practice-parted", Subject(practice=before.code), told)


def _both(some: tuple[Any, ...], others: tuple[Any, ...]) -> tuple[Any, ...]:
    return tuple(sorted(set(some) & set(others)))


def _refuse_stale(session: Session, *rows: PracticeRow | None) -> None:
    for row in filter(None, rows):
        stands = session.get(PracticeTable, row.practice.code)
        if stands is None or stands.version != row.version:
            raise NotNow(f"The entry of {row.practice.name} was changed since. Look at both again.")


def _told(moved: Belongings) -> dict[str, Any]:
    """What moved, by id; addresses name people and are counted."""
    return {name: getattr(moved, name) for name in moved.counts if name != "senders"} | {"senders": len(moved.senders)}


def _move(session: Session, journal: Journal, moved: Belongings, left: Practice, into: Practice, kind: str) -> None:
    connection = session.connection()
    _move_cases(session, journal, moved.cases, left, into, kind)
    for name, (bears, column) in WHERE.items():
        ids: Collection[Any] = getattr(moved, name)
        if name == "cases" or not ids:
            continue
        values: dict[str, Any] = {column.key: into.code}
        if name == "parcels":
            values["version"] = ParcelTable.version + 1
        table: Any = bears.class_
        connection.execute(update(table).where(among(connection, bears, ids)).values(values))


def _move_cases(
    session: Session, journal: Journal, ids: Collection[int], left: Practice, into: Practice, kind: str
) -> None:
    connection = session.connection()
    columns = CaseTable.id, CaseTable.version, CaseTable.prescription
    rows = connection.execute(select(*columns).where(among(connection, CaseTable.id, ids)).order_by(CaseTable.id)).all()
    changed = []
    for case_id, version, prescription in rows:
        case = prescription.model_copy(update={"practice": into.code})
        changed.append({"of_id": case_id, "new_version": version + 1, "new_prescription": case})
        told = {"version": version + 1, "changes": {"practice": [left.code, into.code]}, "name": into.name}
        journal.record(kind, Subject(case_id=case_id, practice=into.code), told)
    if changed:
        values: dict[str, Any] = {"practice_code": into.code, "practice_name": into.name}
        values |= {name: bindparam(f"new_{name}") for name in ("version", "prescription")}
        connection.execute(update(CaseTable).where(CaseTable.id == bindparam("of_id")).values(values), changed)
