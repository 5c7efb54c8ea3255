"""What the picture of the bench load asks of the desk, on the threads of the job runner."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from intake.ui.day.asked import Line, Section

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.load import Load, LoadCell, LoadJob, LoadLine

DAYS = 15
"""So many working days are shown: three weeks."""


@dataclass(frozen=True)
class LoadShown:
    """The load as the picture shows it."""

    load: "Load"
    counted: str


def load(desk: "Desk") -> LoadShown:
    """The load of the coming days."""
    from intake.desk.load import load_of

    now = desk.now()
    return LoadShown(load_of(desk, now.date(), DAYS), f"counted at {now:%H:%M}")


def jobs(desk: "Desk", line: "LoadLine", cell: "LoadCell") -> tuple[Section, ...]:
    """The jobs that a bench is asked for on a day, and those that it cannot be done with in time."""
    from intake.desk.load import jobs_at, late_at
    from intake.domain.written_dates import short_day

    asked, late = jobs_at(desk, line, cell), late_at(desk, line)
    count = len(cell.asked) + len(cell.held)
    here = Section(
        f"{line.bench}, {short_day(cell.day)}", tuple(map(_line, asked)), "nothing is asked.", count - len(asked)
    )
    if line.capacity is None:
        return (here,)
    empty = "every job can keep its day."
    return (
        here,
        Section(f"Cannot keep their day at {line.bench}", tuple(map(_line, late)), empty, line.late_count - len(late)),
    )


def _line(job: "LoadJob") -> Line:
    from intake.desk.evening import Go

    state = "held" if job.held else f"at {job.where}"
    leaves = f"leaves {job.must_leave}" if job.must_leave else ""
    return Line(
        title=f"{job.shown}  {job.patient}".rstrip(),
        about=", ".join(filter(None, (job.practice, job.category, f"{job.colour} box"))),
        where=", ".join(filter(None, (state, leaves))),
        why=job.late,
        hex=job.hex,
        go=Go("look-up", job.number),
        pressing=bool(job.late) or job.held,
    )


def cell_words(line: "LoadLine", cell: "LoadCell") -> str:
    """What is asked of a bench on a day, in a sentence."""
    from intake.domain.written_dates import short_day

    told = f"{line.bench}, {short_day(cell.day)}: {_jobs(len(cell.asked))} asked"
    if cell.overdue:
        told += f", {cell.overdue:,} of them overdue"
    if cell.capacity is not None:
        told += f"; it finishes {cell.capacity:,} in a working day"
        told += f", so {cell.over:,} are too many" if cell.over else ""
    return f"{told}; {len(cell.held):,} held." if cell.held else f"{told}."


def late_words(line: "LoadLine") -> str:
    """What follows for the dates of the jobs of a bench, when it works them by due date."""
    if line.capacity is None:
        return "Its capacity is not in the setup, so nothing is said of what it can do."
    if not line.late:
        return "Worked in order of due date, every job keeps its day here."
    late, move = _jobs(line.late_count), line.to_move
    told = f"Worked in order of due date, {late} cannot keep {'its' if line.late_count == 1 else 'their'} day here."
    if line.late_count > move:
        return f"{told} Were {move:,} of them moved to a later day, the others would keep theirs."
    return f"{told} {'It' if move == 1 else 'All of them'} would have to be moved to a later day."


def _jobs(count: int) -> str:
    return f"{count:,} job{'' if count == 1 else 's'}"
