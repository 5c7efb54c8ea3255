"""Reads a spreadsheet, CSV or XLSX, as rows of text: where the names of the columns are, and what lies under them."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from intake.errors import IntakeError

Names = Callable[[Sequence[str]], int]
"""How much a row looks like the names of the columns; 0 where it does not."""
Tick = Callable[[int, int], None]
"""Told so many rows are read, of so many; it may raise to stop."""
MOST_BYTES = 50_000_000
MOST_ROWS = 200_000
MOST_COLUMNS = 200
LOOKED_AT = 30
"""The names of the columns stand in one of so many rows at the top."""
_ZIP, _OLD = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_SAVE_IT = "Open it in a spreadsheet program and save it as CSV or XLSX."


class SheetUnreadable(IntakeError):
    """A file cannot be read as a spreadsheet; the message says why."""


class Line(NamedTuple):
    """One row of a spreadsheet."""

    number: int
    """Its line in the file, from 1; of a CSV file whose cells hold several lines, the first of them."""
    cells: tuple[str, ...]
    odd: tuple[str, ...] = ()
    """What of it could not be read, a sentence each."""


@dataclass(frozen=True)
class Sheet:
    """What a spreadsheet holds.

    Attributes:
        headers: The names of the columns.
        lines: The rows under them, empty ones left out, each with as many cells as there are columns.
        remarks: What else is to be said of the file, a sentence each.
    """

    headers: tuple[str, ...]
    lines: tuple[Line, ...]
    remarks: tuple[str, ...] = ()


def read_sheet(path: Path, names: Names, tick: Tick | None = None) -> Sheet:
    """Reads a file by its content, whatever it is called.

    Args:
        path: The file.
        names: Tells the row with the names of the columns.
        tick: Told how far it is.

    Raises:
        SheetUnreadable: it is no spreadsheet, too large, or no row names the columns.
    """
    head = _head(path)
    if head.startswith(_OLD):
        raise SheetUnreadable(f"{path.name} is of an older kind, or has a password. {_SAVE_IT}")
    if head.startswith(_ZIP):
        from intake.inbox.xlsx_lines import read_xlsx  # it brings a library that is slow to import

        return read_xlsx(path, names, tick)
    from intake.inbox.csv_lines import csv_lines

    found = sheet_of(csv_lines(path, names), names)
    if found is None:
        raise SheetUnreadable(no_names(path))
    return found


def sheet_of(lines: Iterable[Line], names: Names, tick: Callable[[int], None] | None = None) -> Sheet | None:
    """The sheet that rows make up; None where none of the first ones names the columns.

    Raises SheetUnreadable where there are too many.
    """
    rows = iter(lines)
    top = [line for _, line in zip(range(LOOKED_AT), rows, strict=False)]
    scores = [names(line.cells) for line in top]
    if not any(scores):
        return None
    at = scores.index(max(scores))
    headers = _without_end(top[at].cells)
    if len(headers) > MOST_COLUMNS:
        raise SheetUnreadable(f"There are more than {MOST_COLUMNS} columns. Take out what is not needed.")
    width = len(headers)
    kept: list[Line] = []
    for number, line in enumerate((*top[at + 1 :], *rows), start=1):
        if len(kept) >= MOST_ROWS:
            raise SheetUnreadable(f"There are more than {MOST_ROWS:,} rows. Part the file in several.")
        if tick is not None:
            tick(number)
        if any(cell.strip() for cell in line.cells) or line.odd:
            kept.append(_fitted(line, width))
    return Sheet(tuple(header.strip() for header in headers), tuple(kept))


def no_names(path: Path) -> str:
    """Why a file without names of columns is refused."""
    return (
        f"No row of {path.name} names the columns. Put a row above the practices with a name over each column: Name, "
        "and Code, Address, Postcode, Telephone, E-mail or what else there is."
    )


def _head(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            head = file.read(8)
            size = path.stat().st_size
    except FileNotFoundError:
        raise SheetUnreadable(f"There is no file {path}.") from None
    except OSError as error:
        raise SheetUnreadable(f"{path} cannot be read: {error.strerror or error}.") from None
    if size > MOST_BYTES:
        raise SheetUnreadable(f"{path.name} is larger than {MOST_BYTES // 1_000_000} MB. Part it in several files.")
    if not size:
        raise SheetUnreadable(f"{path.name} is empty.")
    return head


def _without_end(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Without the empty cells behind the last that says something."""
    last = max((at for at, cell in enumerate(cells) if cell.strip()), default=-1)
    return cells[: last + 1]


def _fitted(line: Line, width: int) -> Line:
    """A row with as many cells as there are columns; more that say something make it odd."""
    over = [cell for cell in line.cells[width:] if cell.strip()]
    odd = (
        (*line.odd, f"This row has more cells than there are columns; the first of them is “{over[0].strip()[:40]}”.")
        if over
        else line.odd
    )
    return Line(line.number, (*line.cells[:width], *[""] * (width - len(line.cells))), odd)
