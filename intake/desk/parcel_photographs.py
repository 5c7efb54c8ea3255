"""Photographs of parcels: kept with the files of the scans, each content once."""

from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.parcel_cards import Photograph
from intake.desk.parcel_entries import the_parcel
from intake.errors import IntakeError
from intake.inbox.file_names import clean_name
from intake.inbox.sorting import PICTURES

MOST_BYTES = 30_000_000
"""So large is a photograph at most: a camera's own is a few million bytes."""


class NoPicture(IntakeError):
    """A file that is no photograph."""


def add_photograph(desk: Desk, parcel_id: int, name: str, content: bytes | Path) -> Photograph:
    """Keeps a photograph (PNG or JPEG) of a parcel. Raises NoPicture, NoRoom, NotRead and NotThere."""
    the_parcel(desk, parcel_id)
    _refuse_no_picture(content)
    kept = desk.scan_files.keep(content)
    with desk.work() as work:
        file_id = work.parcels.add_file(parcel_id, clean_name(name) or "photograph", kept.sha256, kept.bytes)
        work.commit()
    row = desk.store.read.parcel_file(file_id)
    assert row is not None, "it was kept just now"
    return Photograph(row.file_id, row.name, row.at, kept.path)


def take_photograph_out(desk: Desk, file_id: int) -> None:
    """Takes a photograph out; the file itself is kept. `put_photograph_back` undoes it. Raises NotThere."""
    _show_photograph(desk, file_id, shown=False)


def put_photograph_back(desk: Desk, file_id: int) -> None:
    """Undoes `take_photograph_out`. Raises NotThere."""
    _show_photograph(desk, file_id, shown=True)


def _show_photograph(desk: Desk, file_id: int, *, shown: bool) -> None:
    with desk.work() as work:
        work.parcels.show_file(file_id, shown=shown)
        work.commit()


def _refuse_no_picture(content: bytes | Path) -> None:
    """Raises NoPicture for what is neither PNG nor JPEG, or too large."""
    try:
        size = len(content) if isinstance(content, bytes) else content.stat().st_size
        head = content[:8] if isinstance(content, bytes) else _head(content)
    except OSError as error:
        raise NoPicture(f"It cannot be read: {error.strerror or type(error).__name__}.") from None
    if not head.startswith(PICTURES):
        raise NoPicture("This is no photograph that can be kept: use PNG or JPEG.")
    if size > MOST_BYTES:
        raise NoPicture(f"It is larger than {MOST_BYTES // 1_000_000} MB: make a smaller photograph.")


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(8)
