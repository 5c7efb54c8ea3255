"""The rows of an XLSX file (ECMA-376): of the first sheet whose columns have known names."""

import re
import warnings
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time
from functools import partial
from pathlib import Path
from typing import Any

from intake.errors import IntakeError
from intake.inbox.spreadsheets import MOST_COLUMNS, Line, Names, Sheet, SheetUnreadable, Tick, no_names, sheet_of

MOST_UNPACKED = 500_000_000
"""Bytes of everything in the file: 200,000 practices take a tenth of it."""
_MOST_TIMES = 200
"""So many times its packed size may a part have: text of a sheet packs well, a file made to fill a disk 1,000 times."""
_FORMULA = re.compile(rb"<f[ >/]")
_HIDDEN = re.compile(rb"""<row [^>]*hidden=["'](?:1|true)["']""")
_PIECE = 1 << 20
_SHEETS = "xl/worksheets/"
HIDDEN = "Some rows are hidden in the file. They are read like the others."


def read_xlsx(path: Path, names: Names, tick: Tick | None) -> Sheet:
    """Reads a file. Of a formula its last result counts. Raises SheetUnreadable, and whatever `tick` raises."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of styles and the like that the library leaves out
            return _read(path, names, tick, *_looked_through(path))
    except IntakeError:
        raise
    except Exception as error:  # BadZipFile, KeyError, what XML raises, and whatever else a damaged file leads to
        raise SheetUnreadable(
            f"{path.name} is no spreadsheet, or a damaged one. Open it in a spreadsheet program and save it as XLSX."
        ) from error


def _looked_through(path: Path) -> tuple[bool, bool]:
    """Whether a sheet has formulas, and hidden rows. Raises SheetUnreadable for what would grow too large."""
    with zipfile.ZipFile(path) as archive:
        parts = archive.infolist()
        if "xl/workbook.xml" not in archive.namelist():
            raise SheetUnreadable(f"{path.name} is packed, and no XLSX file. Save the list as CSV or XLSX.")
        if sum(part.file_size for part in parts) > MOST_UNPACKED or any(
            part.file_size > _PIECE and part.file_size > _MOST_TIMES * max(part.compress_size, 1) for part in parts
        ):
            raise SheetUnreadable(f"{path.name} would grow far too large, as no list of practices does.")
        sheets = [part for part in parts if part.filename.startswith(_SHEETS)]
        formulas, hidden = (any(_has(archive, part, mark) for part in sheets) for mark in (_FORMULA, _HIDDEN))
        return formulas, hidden


def _has(archive: zipfile.ZipFile, part: zipfile.ZipInfo, mark: re.Pattern[bytes]) -> bool:
    with archive.open(part) as sheet:
        tail = b""
        while piece := sheet.read(_PIECE):
            if mark.search(tail + piece):
                return True
            tail = piece[-200:]
    return False


def _read(path: Path, names: Names, tick: Tick | None, formulas: bool, hidden: bool) -> Sheet:
    book, written = _book(path, data_only=True), _book(path, data_only=False) if formulas else None
    try:
        for sheet in book.worksheets:
            if sheet.sheet_state != "visible":
                continue
            told = None if tick is None else partial(_tell, tick, sheet.max_row or 0)
            lines = _lines(sheet, written[sheet.title] if written is not None else None)
            if (found := sheet_of(lines, names, told)) is not None:
                only = f"Only the sheet “{sheet.title}” was read."
                remarks = ((only,) if len(book.worksheets) > 1 else ()) + ((HIDDEN,) if hidden else ())
                return Sheet(found.headers, found.lines, remarks)
    finally:
        for each in filter(None, (book, written)):
            each.close()
    raise SheetUnreadable(no_names(path))


def _book(path: Path, *, data_only: bool) -> Any:
    import openpyxl  # 160 ms to import

    return openpyxl.load_workbook(path, read_only=True, data_only=data_only, keep_links=False)


def _tell(tick: Tick, of: int, done: int) -> None:
    tick(done, max(done, of))


def _lines(sheet: Any, written: Any) -> Iterator[Line]:
    if written is None:
        for number, cells in enumerate(_rows(sheet), start=1):
            yield Line(number, tuple(map(_text, cells)))
        return
    for number, (cells, formulas) in enumerate(zip(_rows(sheet), _rows(written), strict=False), start=1):
        yield Line(number, tuple(map(_text, cells)), tuple(_without_result(cells, formulas)))


def _rows(sheet: Any) -> Any:
    sheet.reset_dimensions()  # what a file says of its size is not always so
    return sheet.iter_rows(max_col=MOST_COLUMNS + 1)


def _without_result(cells: Any, formulas: Any) -> Iterator[str]:
    """A formula whose result the file does not hold: it was written by a program that does not reckon."""
    for cell, formula in zip(cells, formulas, strict=False):
        if cell.value is None and formula.value is not None and formula.data_type == "f":
            yield f"Cell {formula.coordinate} is a formula without its result: open the file, save it, and try again."


def _text(cell: Any) -> str:
    """What a cell shows, as text: a number whole and with the zeros that its format puts in front."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(value, str(cell.number_format or ""))
    if isinstance(value, datetime) and value.time() == time():
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date | time) else str(value)


def _number(value: float, shape: str) -> str:
    if value != int(value):
        return repr(value)
    digits = str(int(value))
    return digits.zfill(len(shape)) if shape and not shape.strip("0") else digits
