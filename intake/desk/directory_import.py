"""Takes practices in from a spreadsheet: first looked at, then taken in whole or not at all, and taken back."""

import gc
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.people import only_leads
from intake.desk.practices import count_dates_anew
from intake.documents.sheet_file import write_sheet
from intake.domain.directory_columns import columns_of, names_columns, one_line_each
from intake.domain.directory_comparing import Comparing, SheetRow
from intake.domain.directory_comparing import PreviewRow as PreviewRow
from intake.domain.practice import Practice
from intake.domain.practice_search import codes_taken
from intake.domain.safe_cells import guarded, unguarded
from intake.errors import IntakeError
from intake.inbox.spreadsheets import Line, read_sheet
from intake.store.many_practices import Wanted
from intake.store.rows import PracticeRow

Progress = Callable[[int, int], None]
"""Told so many are done, of so many."""
Stop = Callable[[], bool]
"""Whether it is to stop."""
EVERY = 200
"""After so many rows of a file it is told how far it is, and asked whether to stop."""
_NAMED = 3


class Stopped(IntakeError):
    """It was stopped, and nothing was changed."""


class DirectoryMovedOn(IntakeError):
    """The directory was changed since the file was looked at."""


class CannotTakeBack(IntakeError):
    """An import cannot be taken back any more; nothing was."""


@dataclass(frozen=True)
class Preview:
    """What a spreadsheet would change in the directory.

    Attributes:
        columns: Each column's name in the file, and the field it is taken for; None where it is not taken.
        rows: Every row under them that says something.
        remarks: What else is to be said of the file, a sentence each.
        versions: The version of each practice of the directory when it was looked at, by code.
    """

    columns: tuple[tuple[str, str | None], ...]
    rows: tuple[PreviewRow, ...]
    remarks: tuple[str, ...] = ()
    versions: Mapping[str, int] = field(default_factory=dict, repr=False)

    @property
    def counts(self) -> Counter[str]:
        """How many rows there are of each kind."""
        return Counter(row.kind for row in self.rows)


@dataclass(frozen=True)
class TakenIn:
    """An import that was done, so that it can be taken back: what came in, and what was there before."""

    new: tuple[PracticeRow, ...]
    changed: tuple[PracticeRow, ...]
    """As they are now."""
    before: tuple[Practice, ...]
    """As the changed ones were."""


def preview(desk: Desk, path: Path, progress: Progress | None = None, stop: Stop | None = None) -> Preview:
    """What a file would change; nothing is written.

    Args:
        desk: Whose directory it is.
        path: A CSV or XLSX file.
        progress: Told how many rows are done; first of those read, then of those compared.
        stop: Asked now and then whether to stop.

    Raises:
        SheetUnreadable: it is no spreadsheet, or no row names the columns.
        Stopped: it was stopped.
    """
    with _without_collecting():
        return _looked_at(desk, path, partial(_now_and_then, progress, stop))


def take_in(desk: Desk, shown: Preview, progress: Progress | None = None, stop: Stop | None = None) -> TakenIn:
    """Takes in what is new and what changes, all of it in one unit of work; the other rows are left.

    Afterwards the dates of open jobs are counted anew for practices to which the way has changed.

    Args:
        desk: Where it is done.
        shown: What was looked at.
        progress: Told how many practices are written.
        stop: Asked now and then whether to stop; then nothing at all was taken in.

    Raises:
        NotForYou: only a lead may.
        Stopped: it was stopped.
        DirectoryMovedOn: another desk changed one of the practices since, or gave a code away.
    """
    only_leads(desk, "import")
    new = [row.practice for row in shown.rows if row.kind == "new" and row.practice is not None]
    pairs = [(row.before, row.practice) for row in shown.rows if row.kind == "changed" and row.before and row.practice]
    with _without_collecting(), desk.work() as work:
        _refuse_moved_on(desk, shown.versions, new, [before for before, _ in pairs])
        wanted: list[Wanted] = [(practice, None) for practice in new]
        wanted += [(practice, shown.versions[practice.code]) for _, practice in pairs]
        written = work.practices.save_many(wanted, partial(_tell, progress, stop))
        if stop is not None and stop():
            raise Stopped("Stopped. Nothing was taken in.")
        work.commit()
    taken = TakenIn(written[: len(new)], written[len(new) :], tuple(before for before, _ in pairs))
    count_dates_anew(desk, pairs)
    return taken


def take_back(desk: Desk, taken: TakenIn) -> None:
    """Undoes an import, all of it or nothing: what was new is taken out, what was changed is as it was.

    Raises:
        NotForYou: only a lead may.
        CannotTakeBack: one of the practices was changed since, or something has come from it.
    """
    only_leads(desk, "import")
    with _without_collecting(), desk.work() as work:
        now = {row.practice.code: row.version for row in desk.store.read.practices()}
        moved = [row for row in (*taken.new, *taken.changed) if now.get(row.practice.code) != row.version]
        if moved:
            raise CannotTakeBack(f"Nothing was taken back, for these were changed since: {_names(moved)}.")
        used = work.practices.used([row.practice.code for row in taken.new])
        if used:
            new = [row for row in taken.new if row.practice.code in used]
            raise CannotTakeBack(f"Nothing was taken back, for something has come from these since: {_names(new)}.")
        versions = [row.version for row in taken.changed]
        work.practices.save_many(list(zip(taken.before, versions, strict=True)))
        work.practices.take_out(taken.new)
        work.commit()
    count_dates_anew(desk, [(row.practice, before) for row, before in zip(taken.changed, taken.before, strict=True)])


def export_faulty(shown: Preview, path: Path) -> None:
    """Writes the rows that are not taken to a CSV or XLSX file, as they stand, each with its line and the reason.

    Raises SheetNotWritten.
    """
    headers = [guarded(header) for header, _ in shown.columns]
    left = [row for row in shown.rows if row.kind in ("faulty", "double")]
    rows = [[*map(_as_text, row.raw), str(row.line), guarded(row.reason)] for row in left]
    write_sheet(path, "Not taken", [*headers, "Line", "Reason"], rows)


def _as_text(cell: str) -> str:
    """A cell of a file, which may be guarded already."""
    return guarded(unguarded(cell))


def _looked_at(desk: Desk, path: Path, tell: Progress) -> Preview:
    sheet = read_sheet(path, names_columns, tell)
    fields = columns_of(sheet.headers)
    known = desk.store.read.practices()
    comparing = Comparing((row.practice for row in known), desk.lab, one_line_each(sheet.headers, fields))
    rows = []
    for done, line in enumerate(sheet.lines, start=1):
        rows.append(comparing.row(_row(line, fields)))
        tell(done, len(sheet.lines))
    versions = {row.practice.code: row.version for row in known}
    return Preview(tuple(zip(sheet.headers, fields, strict=True)), tuple(rows), sheet.remarks, versions)


def _row(line: Line, fields: Sequence[str | None]) -> SheetRow:
    cells: dict[str, tuple[str, ...]] = {}
    for name, cell in zip(fields, line.cells, strict=True):
        if name is not None and cell:
            cells[name] = (*cells.get(name, ()), cell)
    return SheetRow(line.number, cells, line.cells, line.odd)


def _now_and_then(progress: Progress | None, stop: Stop | None, done: int, of: int) -> None:
    if done % EVERY == 0 or done == of:
        _tell(progress, stop, done, of)


def _tell(progress: Progress | None, stop: Stop | None, done: int, of: int) -> None:
    if stop is not None and stop():
        raise Stopped("Stopped. Nothing was taken in.")
    if progress is not None:
        progress(done, of)


@contextmanager
def _without_collecting() -> Iterator[None]:
    """Lets Python not look for rubbish meanwhile: what is made here is kept, and it takes a third longer."""
    collected = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collected:
            gc.enable()


def _refuse_moved_on(
    desk: Desk, versions: Mapping[str, int], new: Sequence[Practice], changed: Sequence[Practice]
) -> None:
    """Refuses what was looked at before another desk changed it; asked inside a unit of work."""
    rows = desk.store.read.practices()
    now = {row.practice.code: row.version for row in rows}
    moved = [practice.name for practice in changed if now.get(practice.code) != versions[practice.code]]
    taken = codes_taken(row.practice for row in rows if versions.get(row.practice.code) != row.version)
    moved += [practice.name for practice in new if practice.code.casefold() in taken]
    if moved:
        raise DirectoryMovedOn(
            f"The directory was changed meanwhile: {_listed(moved)}. Nothing was taken in; look at the file again."
        )


def _names(rows: Sequence[PracticeRow]) -> str:
    return _listed([row.practice.name for row in rows])


def _listed(names: Sequence[str]) -> str:
    return ", ".join(_with_more(names))


def _with_more(names: Sequence[str]) -> Iterator[str]:
    yield from names[:_NAMED]
    if len(names) > _NAMED:
        yield f"and {len(names) - _NAMED} more"
