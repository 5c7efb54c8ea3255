"""A sound copy of the data, the way back, and a check of data and history."""

from datetime import datetime
from pathlib import Path

from intake.desk.desk import Desk
from intake.store.backup import Check, backup, check, restore


def back_up(desk: Desk, target: Path) -> Check:
    """Copies the data while they are in use; the copy is proved before it takes its name."""
    return backup(desk.store, target)


def put_back(source: Path, target: Path, at: datetime) -> Path | None:
    """Puts a copy in the place of data that no desk has open; gives where the former data are kept."""
    return restore(source, target, at)


def verify(desk: Desk) -> Check:
    """Checks the database, its references and the whole chain of its history."""
    return check(desk.store)
