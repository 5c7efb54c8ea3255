"""Bring a database to the schema of this release, keeping a copy of the file first.

Alembic is imported only when there is something to do: a database that is up to date opens without it.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, inspect, text

from intake.store.complaints import StoreRefused
from intake.store.copying import copy_database
from intake.store.engine import WRITING

SCRIPTS = Path(__file__).parent / "migrations"
REVISIONS = ("0001", "0002", "0003", "0004", "0005")
"""Every revision, oldest first; the last is what this release works with."""


def bring_up_to_date(engine: Engine, scripts: Path = SCRIPTS, revisions: tuple[str, ...] = REVISIONS) -> Path | None:
    """Migrate to the newest revision; the path of the copy that was kept, None if there was nothing to keep.

    Raises:
        StoreRefused: the database is a newer release's, or is not Intake's.
    """
    with engine.connect() as connection:
        revision = revision_of(connection)
    if revision == revisions[-1]:
        return None
    refuse_strangers(revision, revisions, engine)
    kept = _keep(engine, revision, revisions[-1]) if revision else None
    writing = engine.connect().execution_options(**{WRITING: True})
    with writing as connection, _references_unchecked(connection), connection.begin():
        _migrate(connection, scripts, revisions[-1])
        _refuse_broken_references(connection)
    return kept


def revision_of(connection: Connection) -> str | None:
    """The revision of a database: None when it is empty, "" when its tables are somebody else's."""
    tables = inspect(connection).get_table_names()
    if "alembic_version" in tables:
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return "" if tables else None


def refuse_strangers(revision: str | None, revisions: tuple[str, ...], engine: Engine) -> None:
    """Refuse a database that this release must not touch.

    Raises:
        StoreRefused: with what it is and what would be right.
    """
    where = engine.url.database
    if revision == "":
        raise StoreRefused(f"{where} holds other tables than Intake's. Choose an empty database, or a new file.")
    if revision is not None and revision not in revisions:
        raise StoreRefused(
            f"{where} was written by a newer Intake (schema {revision}; this one knows up to {revisions[-1]}). "
            "Nothing was changed. Install the newer Intake on this machine."
        )


def _keep(engine: Engine, revision: str, target: str) -> Path | None:
    """A copy of a SQLite file beside it; a PostgreSQL database is kept by whoever looks after the server."""
    if engine.name != "sqlite" or not engine.url.database:
        return None
    file = Path(engine.url.database)
    kept = file.with_name(f"{file.stem}.schema-{revision}-before-{target}{file.suffix}")
    copy_database(engine, kept)
    return kept


@contextmanager
def _references_unchecked(connection: Connection) -> Iterator[None]:
    """SQLite changes a constraint by moving a table's rows into a new one, and drops no table that is referred to.

    It heeds the setting only between transactions, so the driver is told; see https://www.sqlite.org/lang_altertable.html
    """
    driver: Any = connection.connection.driver_connection
    if connection.dialect.name == "sqlite":
        driver.execute("PRAGMA foreign_keys = OFF").fetchall()
    try:
        yield
    finally:
        if connection.dialect.name == "sqlite":
            driver.execute("PRAGMA foreign_keys = ON").fetchall()


def _refuse_broken_references(connection: Connection) -> None:
    """Let nothing be kept of a migration of SQLite that lost a row which others refer to."""
    broken = (
        connection.exec_driver_sql("PRAGMA foreign_key_check").first() if connection.dialect.name == "sqlite" else None
    )
    if broken is not None:
        raise StoreRefused(f"Row {broken[1]} of {broken[0]} belongs to a row of {broken[2]} that is not there.")


def _migrate(connection: Connection, scripts: Path, target: str) -> None:
    """Run what is missing in one transaction; a second desk that starts meanwhile waits and finds nothing to do."""
    # Slow to import, and not needed on an ordinary start.
    from alembic.config import Config
    from alembic.runtime.environment import EnvironmentContext
    from alembic.script import ScriptDirectory

    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(7245310)"))
    script = ScriptDirectory(str(scripts))
    with EnvironmentContext(
        Config(), script, fn=lambda current, _context: script._upgrade_revs(target, current)
    ) as env:
        env.configure(connection=connection)
        env.run_migrations()
