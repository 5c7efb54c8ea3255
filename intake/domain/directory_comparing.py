"""Holds the rows of a spreadsheet against the directory: what is new, what changes, what stands there twice."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal, NamedTuple

from intake.domain.directory_cells import Cells, differences, read_cells, refuse_faults
from intake.domain.directory_columns import NAMES
from intake.domain.directory_index import DirectoryIndex, Likeness
from intake.domain.form_fields import FormWrong
from intake.domain.form_practice import read_code
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.practice_entry import changed
from intake.domain.safe_cells import unguarded

RowKind = Literal["new", "changed", "same", "double", "faulty"]


class SheetRow(NamedTuple):
    """One row of a spreadsheet, its cells by the field that they are taken for."""

    line: int
    cells: Cells
    raw: tuple[str, ...] = ()
    """All its cells, as they stand in the file."""
    odd: tuple[str, ...] = ()
    """Why it could not be read whole, a sentence each."""


class PreviewRow(NamedTuple):
    """One row of a spreadsheet, and what becomes of it."""

    line: int
    """Its line in the file."""
    kind: RowKind
    """new, changed and same: by the directory; double: it stands for a practice that is there, or in an earlier row,
    already; faulty: it cannot be read. The last two are not taken in."""
    practice: Practice | None = None
    """The practice as it would be; None where the row could not be read."""
    changes: tuple[tuple[str, str, str], ...] = ()
    """Each field that changes, as text: what it was and what it would be."""
    reason: str = ""
    """Why it is not taken."""
    before: Practice | None = None
    """The practice as the directory has it."""
    raw: tuple[str, ...] = ()
    """Its cells as they stand in the file, where it is not taken."""


class Comparing:
    """Goes through the rows of one file, and remembers what stood in those before.

    Args:
        practices: The directory.
        lab: For what the setup has to know.
        one_line_each: The fields that stand in several columns.
    """

    def __init__(self, practices: Iterable[Practice], lab: Lab, one_line_each: frozenset[str]) -> None:
        self._lab, self._one_line_each = lab, one_line_each
        self._index = DirectoryIndex(practices)
        self._lines: dict[str, int] = {}
        """The line in which a practice stood, by its code."""

    def rows(self, rows: Iterable[SheetRow]) -> Iterator[PreviewRow]:
        """What becomes of each row."""
        for row in rows:
            yield self.row(row)

    def row(self, row: SheetRow) -> PreviewRow:
        """What becomes of the next row."""
        try:
            return self._read(row)
        except FormWrong as problem:
            return PreviewRow(row.line, "faulty", reason=str(problem), raw=row.raw)

    def _read(self, row: SheetRow) -> PreviewRow:
        if row.odd:
            raise FormWrong(" ".join(row.odd))
        code, name = _first(row.cells, "code"), _first(row.cells, "name")
        if not name and not code:
            raise FormWrong("There is no name of a practice in this row.")
        known = self._of_code(code) if code else self._index.same(_likeness(row.cells, name))
        if known is not None and (line := self._lines.get(known.code)):
            return self._double(row, known, f"Line {line} is the same practice, {known.name} ({known.code}).")
        if known is None:
            return self._new(row, code, name)
        values = read_cells(row.cells, known, self._lab, self._one_line_each)
        practice = self._checked(changed(known, values), values) if values else known
        self._lines[known.code] = row.line
        if practice == known:
            return PreviewRow(row.line, "same", known, before=known)
        return PreviewRow(row.line, "changed", practice, differences(known, practice), before=known)

    def _of_code(self, code: str) -> Practice | None:
        return self._index.of_code(code) or self._index.of_code(_solid(code))

    def _new(self, row: SheetRow, code: str, name: str) -> PreviewRow:
        if not name:
            raise FormWrong(f"The directory has no practice {code}, and this row has no name for it.")
        code = _code(code) if code else ""
        values = read_cells(row.cells, None, self._lab, self._one_line_each)
        like, why = self._index.like(_likeness(row.cells, name))
        if like is not None:
            line = self._lines.get(like.code)
            where = f"line {line}" if line and self._index.is_added(like.code) else "the directory"
            return self._double(row, like, f"It looks like {like.name} ({like.code}) of {where}: {why}.")
        new = {"code": code or self._index.free_code(name)} | values
        practice = self._checked(Practice.model_validate(new), values)
        self._index.add(practice)
        self._lines[practice.code] = row.line
        return PreviewRow(row.line, "new", practice)

    def _checked(self, entry: Practice, values: Mapping[str, Any]) -> Practice:
        """A practice with what a row says of it. Raises FormWrong."""
        refuse_faults(entry, self._lab, values)
        if "former" in values:
            self._refuse_taken(entry)
        return entry

    def _refuse_taken(self, entry: Practice) -> None:
        for former in entry.former:
            other = self._index.of_code(former)
            if other is not None and other.code != entry.code:
                raise FormWrong(f"{NAMES['former']}: {former} is {other.name}’s ({other.code}).")

    def _double(self, row: SheetRow, known: Practice, reason: str) -> PreviewRow:
        return PreviewRow(row.line, "double", known, reason=reason, raw=row.raw)


def _solid(code: str) -> str:
    """A code without what parts it: a list may have K-10/23 where the directory has K1023."""
    return "".join(filter(str.isalnum, code))


def _code(text: str) -> str:
    try:
        return read_code(_solid(text))
    except FormWrong as problem:
        raise FormWrong(f"{NAMES['code']} “{text}”: {problem}") from None


def _first(cells: Cells, field: str) -> str:
    return " ".join(unguarded(next(iter(cells.get(field, ())), "")).split())


def _likeness(cells: Cells, name: str) -> Likeness:
    return Likeness.of(name, *(_first(cells, each) for each in ("postcode", "telephone", "email")))
