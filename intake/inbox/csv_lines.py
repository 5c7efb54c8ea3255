"""The rows of a CSV file (RFC 4180), as spreadsheet programs of several countries write it."""

import codecs
import csv
import io
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from intake.inbox.spreadsheets import LOOKED_AT, Line, Names, SheetUnreadable

DELIMITERS = ",;\t"
"""Comma; semicolon, where a comma parts the decimals; tab, in what is called Unicode text."""
_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_LONGEST_CELL = 131_072


def csv_lines(path: Path, names: Names) -> Iterator[Line]:
    """Each row of a file with its line. Raises SheetUnreadable."""
    text = _text(path)
    delimiter, text, skipped = _delimiter(text, names)
    csv.field_size_limit(_LONGEST_CELL)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    begins = skipped + 1
    try:
        for cells in reader:
            yield Line(begins, tuple(cells))
            begins = skipped + reader.line_num + 1
    except csv.Error as error:
        why = "a cell in it is far too long; is a quotation mark missing?" if "limit" in str(error) else f"{error}."
        raise SheetUnreadable(f"{path.name} cannot be read from line {begins} on: {why}") from None


def _text(path: Path) -> str:
    """By its mark, else UTF-8, else Windows-1252, in which older programs of western Europe write."""
    content = path.read_bytes()
    marked = next((encoding for mark, encoding in _MARKS if content.startswith(mark)), None)
    try:
        if marked is not None:
            return content.decode(marked)
        if b"\x00" in content:
            raise SheetUnreadable(f"{path.name} is no CSV file, nor an XLSX file.")
        return content.decode("utf-8")
    except UnicodeDecodeError:
        pass
    try:
        return content.decode("cp1252")
    except UnicodeDecodeError:
        raise SheetUnreadable(
            f"The letters of {path.name} cannot be read. Save it as “CSV UTF-8”, or as XLSX."
        ) from None


def _delimiter(text: str, names: Names) -> tuple[str, str, int]:
    """What parts the cells, the text to read, and how many lines stand before it.

    Spreadsheet programs may say it in a line of its own, `sep=;`. Else the one by which most columns have a known name.
    """
    first, _, rest = text.partition("\n")
    said = first.strip().strip('"')
    if said.casefold().startswith("sep=") and len(said) == 5:
        return said[4], rest, 1
    return max(DELIMITERS, key=lambda delimiter: _known_names(text, delimiter, names)), text, 0


def _known_names(text: str, delimiter: str, names: Names) -> int:
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        return max((names(cells) for cells in islice(rows, LOOKED_AT)), default=0)
    except csv.Error:
        return 0
