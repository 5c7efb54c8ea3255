"""Writes a spreadsheet, CSV or XLSX, of text alone: whole, or what was there before stays."""

import csv
import io
import os
import tempfile
from collections.abc import Sequence
from pathlib import Path

from intake.errors import IntakeError

Rows = Sequence[Sequence[str]]
CSV, XLSX = ".csv", ".xlsx"
_NARROW, _WIDE = 10, 60
"""Of a column, in digits."""


class SheetNotWritten(IntakeError):
    """A spreadsheet could not be written; what was there before is as it was."""


def write_sheet(path: Path, title: str, headers: Sequence[str], rows: Rows) -> None:
    """Writes rows under the names of their columns; what the file is called says how.

    Args:
        path: Ends in .csv or .xlsx.
        title: What the sheet in it is called.
        headers: The names of the columns.
        rows: Texts that are guarded against being taken for a formula.

    Raises:
        SheetNotWritten: the name ends otherwise, or the file cannot be written there.
    """
    kinds = {CSV: _csv, XLSX: _xlsx}
    make = kinds.get(path.suffix.casefold())
    if make is None:
        raise SheetNotWritten(f"“{path.name}” has to end in .csv or .xlsx; the ending says what it shall be.")
    try:
        _write_whole(path, make(title, headers, rows))
    except OSError as error:
        raise SheetNotWritten(f"{path} cannot be written: {error.strerror or error}.") from error


def _csv(_title: str, headers: Sequence[str], rows: Rows) -> bytes:
    """By RFC 4180, in UTF-8 with a mark, by which spreadsheet programs know it."""
    text = io.StringIO(newline="")
    csv.writer(text).writerows((headers, *rows))
    return text.getvalue().encode("utf-8-sig")


def _xlsx(title: str, headers: Sequence[str], rows: Rows) -> bytes:
    """Every cell a text, also one of digits alone, so that it keeps its zeros."""
    import xlsxwriter  # imported when a sheet is written, which is seldom

    file = io.BytesIO()
    plain = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(file, {"in_memory": True, **plain}) as book:
        sheet = book.add_worksheet(title)
        text, head = book.add_format({"num_format": "@"}), book.add_format({"num_format": "@", "bold": True})
        for number, cells in enumerate((headers, *rows)):
            for column, cell in enumerate(cells):
                sheet.write_string(number, column, cell, text if number else head)
        for column, header in enumerate(headers):
            longest = max((len(row[column]) for row in rows[:500]), default=0)
            sheet.set_column(column, column, min(max(_NARROW, len(header) + 2, longest + 1), _WIDE))
        sheet.freeze_panes(1, 0)
        sheet.autofilter(0, 0, max(len(rows), 1), max(len(headers) - 1, 0))
    return file.getvalue()


def _write_whole(path: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
