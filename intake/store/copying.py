"""A sound copy of a SQLite database while it is in use."""

import os
from pathlib import Path
from typing import Any

from sqlalchemy import Engine

from intake.store.complaints import StoreRefused, in_words
from intake.store.engine import sqlite


def copy_database(engine: Engine, target: Path) -> None:
    """Copy the database as it stands into `target`: whole and on the disk, or not at all.

    Raises:
        StoreRefused: the copy could not be written or does not hold.
    """
    unfinished = target.with_name(f"{target.name}.unfinished")
    unfinished.unlink(missing_ok=True)
    try:
        _fill(engine, unfinished)
        put_in_place(unfinished, target)
    except (sqlite.Error, OSError) as error:
        unfinished.unlink(missing_ok=True)
        told = in_words(str(error), str(target))
        raise told or StoreRefused(f"The copy {target} could not be written: {error}") from error


def put_in_place(finished: Path, target: Path) -> None:
    """Give a finished file its name, after its bytes are on the disk; the name is then on the disk too."""
    with finished.open("rb+") as file:
        os.fsync(file.fileno())
    finished.replace(target)
    if os.name == "posix":  # Windows cannot open a folder, and writes names through by itself
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _fill(engine: Engine, file: Path) -> None:
    copy: Any = sqlite.connect(str(file))
    try:
        with engine.connect() as connection:
            source: Any = connection.connection.driver_connection
            source.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE").fetchall()
        if copy.execute("PRAGMA quick_check").fetchall() != [("ok",)]:
            raise StoreRefused(f"The copy {file} does not hold; nothing was replaced.")
    finally:
        copy.close()
