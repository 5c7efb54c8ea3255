"""Connections to SQLite and PostgreSQL, set so that what was committed survives a power cut.

SQLite's WAL mode can lose commits in releases before 3.51.3 (fixed too in 3.50.7 and 3.44.6, see
https://www.sqlite.org/wal.html#walresetbug); on those a rollback journal is kept instead, with `synchronous=EXTRA`.
"""

from pathlib import Path
from types import ModuleType
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url

from intake.store.complaints import StoreRefused, speak_plainly

# PyPI's pysqlite3 brings a SQLite newer than most systems have; without it Python's own does.
try:
    import pysqlite3 as _sqlite
except ImportError:
    import sqlite3 as _sqlite

sqlite: Any = _sqlite
WAIT_SECONDS = 10
"""How long a desk waits for another's writing before it is told that the store is busy."""
SHORT_READS = ("jit = off", "max_parallel_workers_per_gather = 0", "random_page_cost = 1.1")
"""PostgreSQL plans for long reads on hard disks; a desk's are short and by index, and starting a compiler or a second
process takes longer than they do. Over 100,000 cases the open queries take 40 ms so, and 60 to 75 otherwise."""
WRITING = "intake_writing"
"""The execution option of a connection that is going to write."""


def wal_is_sound(version: tuple[int, ...]) -> bool:
    """Whether a SQLite release has the fix of the WAL-reset bug."""
    fixed = {(3, 44): (3, 44, 6), (3, 50): (3, 50, 7)}
    return version >= fixed.get((version[0], version[1]), (3, 51, 3))


def url_of(place: str | Path) -> URL:
    """The database's URL from a path or from a URL as `postgresql://user@host/name`."""
    if isinstance(place, str) and "://" in place:
        try:
            url = make_url(place)
        except Exception as error:
            raise StoreRefused(f"“{place}” is no address of a database; write postgresql://user@host/name") from error
        if url.get_backend_name() == "postgresql":
            return url.set(drivername="postgresql+psycopg")
        if url.get_backend_name() == "sqlite":
            return url.set(drivername="sqlite")
        raise StoreRefused(f"Intake keeps its data in SQLite or PostgreSQL, not in {url.get_backend_name()}.")
    return URL.create("sqlite", database=str(Path(place).absolute()))


def make_engine(url: URL) -> Engine:
    """An engine whose complaints are sentences."""
    engine = _sqlite_engine(url) if url.get_backend_name() == "sqlite" else _postgres_engine(url)
    speak_plainly(engine, url.database or "The store" if engine.name == "sqlite" else f"The database “{url.database}”")
    return engine


def _postgres_engine(url: URL) -> Engine:
    engine = create_engine(url, pool_pre_ping=True)

    @event.listens_for(engine, "connect")
    def _prepare(connection: Any, _record: object) -> None:
        with connection.cursor() as cursor:
            for setting in (f"lock_timeout = '{WAIT_SECONDS}s'", *SHORT_READS):
                cursor.execute(f"SET {setting}")
        connection.commit()

    return engine


def _sqlite_engine(url: URL) -> Engine:
    engine = create_engine(url, module=sqlite, connect_args={"timeout": WAIT_SECONDS})
    pragmas = _pragmas(sqlite)

    @event.listens_for(engine, "connect")
    def _prepare(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # the driver begins nothing by itself; `_begin` does
        for pragma in pragmas:
            connection.execute(f"PRAGMA {pragma}").fetchall()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writing = connection.get_execution_options().get(WRITING)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine


def _pragmas(module: ModuleType) -> tuple[str, ...]:
    """The settings of every SQLite connection."""
    safe = ("journal_mode = WAL", "synchronous = FULL")
    if not wal_is_sound(module.sqlite_version_info):
        safe = ("journal_mode = TRUNCATE", "synchronous = EXTRA")
    return ("foreign_keys = ON", *safe)
