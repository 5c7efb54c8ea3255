"""Writes the directory to a spreadsheet, as it can be read in again."""

from pathlib import Path

from intake.desk.desk import Desk
from intake.documents.sheet_file import write_sheet
from intake.domain.directory_cells import ADDRESS_COLUMNS, cells_of
from intake.domain.directory_columns import NAMES

MOST_ADDRESS_COLUMNS = 8
"""What is longer stands in the last of them."""


def export(desk: Desk, path: Path) -> int:
    """Writes the practices by name to a CSV or XLSX file, by its ending; how many.

    Read in again, the file changes nothing. Standing instructions are not in it: they are made on the call with the
    practice. Raises SheetNotWritten.
    """
    practices = desk.practices()
    longest = max((len(practice.address) for practice in practices), default=0)
    columns = min(max(longest, ADDRESS_COLUMNS), MOST_ADDRESS_COLUMNS)
    headers = [name for field in NAMES for name in _headers(field, columns)]
    rows = [[cell for cells in cells_of(practice, columns).values() for cell in cells] for practice in practices]
    write_sheet(path, "Practices", headers, rows)
    return len(rows)


def _headers(field: str, address_columns: int) -> list[str]:
    name = NAMES[field]
    return [f"{name} {number}" for number in range(1, address_columns + 1)] if field == "address" else [name]
