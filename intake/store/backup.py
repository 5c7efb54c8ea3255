"""A sound copy of the data, the way back, and the check of data and history."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from shutil import copyfile

from sqlalchemy import Connection, Engine, func, select, text

from intake.store.chain import Broken, Head, verify
from intake.store.complaints import StoreBusy, StoreRefused, in_words
from intake.store.copying import copy_database, put_in_place
from intake.store.engine import make_engine, sqlite, url_of
from intake.store.opening import Store
from intake.store.tables import CaseTable, DocumentTable, JobTable
from intake.store.upgrading import REVISIONS, refuse_strangers, revision_of

PATIENCE_SECONDS = 2
"""How long a restore waits for another program to let go of the data file."""


@dataclass(frozen=True)
class Check:
    """What a check found. `problems` is empty when all is sound; `head` is worth keeping elsewhere."""

    cases: int
    jobs: int
    documents: int
    head: Head | None
    problems: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong."""
        return not self.problems


def check(store: Store, remembered: Head | None = None) -> Check:
    """Check the database's own structure, its references and the whole history, as one moment of it."""
    with store.engine.connect() as connection:
        return _check(connection, remembered)


def backup(store: Store, target: Path) -> Check:
    """Copy a SQLite store into a file while it is in use, and check the copy before it takes the name.

    Raises:
        StoreRefused: the store is PostgreSQL, or the copy could not be written or is not sound.
    """
    if store.engine.name != "sqlite":
        raise StoreRefused(
            "This store is a PostgreSQL database. Its server copies it: pg_dump --format=custom, and pg_restore back."
        )
    fresh = target.with_name(f"{target.name}.fresh")
    copy_database(store.engine, fresh)
    try:
        found = examine(fresh)
        if not found.sound:
            raise StoreRefused(f"The copy is not sound, and {target} is as it was: {found.problems[0]}")
        put_in_place(fresh, target)
    finally:
        fresh.unlink(missing_ok=True)
    return found


def examine(file: Path, remembered: Head | None = None) -> Check:
    """Check a backup without changing it.

    Raises:
        StoreRefused: it is not there, not Intake's, or a newer Intake's.
    """
    engine = _backup_engine(file)
    try:
        with engine.connect() as connection:
            refuse_strangers(revision_of(connection) or "", REVISIONS, engine)
            return _check(connection, remembered)
    finally:
        engine.dispose()


def restore(source: Path, target: Path, at: datetime) -> Path | None:
    """Put a backup in the place of a SQLite store that no program has open.

    Args:
        source: The backup; it is checked first, and stays.
        target: The data file.
        at: The wall clock, for the name of what was there before.

    Returns:
        Where the file that was there before is kept; None when there was none.

    Raises:
        StoreRefused: the backup is not sound, or the data file is open elsewhere. Nothing was changed.
    """
    found = examine(source)
    if not found.sound:
        raise StoreRefused(f"{source} is not sound, and {target} is as it was: {found.problems[0]}")
    fresh = target.with_name(f"{target.name}.fresh")
    try:
        copyfile(source, fresh)
        kept = _set_aside(target, at) if target.exists() else None
        put_in_place(fresh, target)
    except OSError as error:
        fresh.unlink(missing_ok=True)
        raise StoreRefused(f"{source} could not be put in the place of {target}: {error.strerror}") from error
    return kept


def _set_aside(target: Path, at: datetime) -> Path:
    """Fold the journal of a data file into it and give it another name, journals and all."""
    kept = target.with_name(f"{target.stem}.before-restore-{at:%Y%m%d-%H%M%S}{target.suffix}")
    _fold_journal(target)
    for ending in ("", "-wal", "-shm", "-journal"):
        part = target.with_name(target.name + ending)
        if part.exists():
            part.replace(kept.with_name(kept.name + ending))
    return kept


def _fold_journal(target: Path) -> None:
    """Make the data file whole by itself; a damaged one is set aside as it is.

    Raises:
        StoreRefused: another program has it open.
    """
    connection = sqlite.connect(str(target), timeout=PATIENCE_SECONDS, isolation_level=None)
    try:
        connection.execute("PRAGMA journal_mode = DELETE").fetchall()
        connection.execute("BEGIN EXCLUSIVE")
        connection.rollback()
    except sqlite.Error as error:
        if isinstance(in_words(str(error), str(target)), StoreBusy):
            raise StoreRefused(f"{target} is open in another window or desk. Close Intake everywhere first.") from error
    finally:
        connection.close()


def _backup_engine(file: Path) -> Engine:
    if not file.is_file():
        raise StoreRefused(f"There is no backup {file}.")
    return make_engine(url_of(file))


def _check(connection: Connection, remembered: Head | None) -> Check:
    counts = (
        select(func.count()).select_from(table).scalar_subquery() for table in (CaseTable, JobTable, DocumentTable)
    )
    chain = verify(connection, remembered)
    problems = _structure(connection) if connection.dialect.name == "sqlite" else []
    if isinstance(chain, Broken):
        problems.append(f"The history does not hold. {chain.why}")
    cases, jobs, documents = connection.execute(select(*counts)).one()
    return Check(cases, jobs, documents, chain if isinstance(chain, Head) else None, tuple(problems))


def _structure(connection: Connection) -> list[str]:
    """SQLite's own checks. PostgreSQL checks its pages and references by itself."""
    said = [row[0] for row in connection.execute(text("PRAGMA quick_check"))]
    problems = [f"The file is damaged: {line}" for line in said if line != "ok"]
    for table, row, parent, _ in connection.execute(text("PRAGMA foreign_key_check")):
        problems.append(f"Row {row} of {table} belongs to a row of {parent} that is not there.")
    return problems
