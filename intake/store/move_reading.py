"""What is read of moves and boxes."""

from collections.abc import Collection

from sqlalchemy import func, select

from intake.store.move_rows import BoxRow, Move
from intake.store.physical_tables import BoxTable, MoveTable
from intake.store.rows import JobRow
from intake.store.selecting import Selecting, parts
from intake.store.selects import JOBS
from intake.store.tables import JobTable

_MOVES = select(
    MoveTable.id,
    MoveTable.kind,
    MoveTable.bench,
    MoveTable.at,
    MoveTable.who,
    MoveTable.copy,
    MoveTable.reason,
).where(~MoveTable.taken_back)
_BOXES = select(BoxTable.number, BoxTable.job_id, JobTable.number, BoxTable.since).join(
    JobTable, JobTable.id == BoxTable.job_id
)


class MoveReading(Selecting):
    """Moves and boxes."""

    def moves_of(self, job_id: int) -> tuple[Move, ...]:
        """The moves of a job that were not taken back, oldest first."""
        found = _MOVES.where(MoveTable.job_id == job_id).order_by(MoveTable.id)
        return tuple(Move(*row) for row in self._all(found))

    def moves_of_jobs(self, job_ids: Collection[int]) -> dict[int, tuple[Move, ...]]:
        """The moves of each job that were not taken back, oldest first; none is an empty tuple."""
        moves: dict[int, list[Move]] = {job_id: [] for job_id in job_ids}
        for part in parts(job_ids):
            found = _MOVES.add_columns(MoveTable.job_id).where(MoveTable.job_id.in_(part)).order_by(MoveTable.id)
            for row in self._all(found):
                moves[row.job_id].append(Move(*row[:-1]))
        return {job_id: tuple(found) for job_id, found in moves.items()}

    def bench_counts(self) -> dict[str, int]:
        """How many boxes each bench has, or gets next; a bench without any is not among them."""
        there = JobTable.bench.is_not(None), JobTable.state == "gone"
        found = select(JobTable.bench, func.count()).where(*there).group_by(JobTable.bench)
        return {row[0]: row[1] for row in self._all(found)}

    def bench_count(self, bench: str) -> int:
        """How many boxes a bench has, or gets next."""
        found = select(func.count()).select_from(JobTable).where(JobTable.bench == bench, JobTable.state == "gone")
        return int(self._all(found)[0][0])

    def jobs_at(self, bench: str) -> tuple[JobRow, ...]:
        """The jobs that a bench has, or gets next, in the order of their numbers."""
        there = JobTable.bench == bench, JobTable.state == "gone"
        return self._jobs(JOBS.where(*there).order_by(JobTable.id))

    def boxes(self) -> tuple[BoxRow, ...]:
        """The numbered boxes that are in use, by number."""
        return tuple(BoxRow(*row) for row in self._all(_BOXES.order_by(BoxTable.number)))

    def box(self, number: int) -> BoxRow | None:
        """A numbered box, if it is in use."""
        return next((BoxRow(*row) for row in self._all(_BOXES.where(BoxTable.number == number))), None)

    def box_of(self, job_id: int) -> int | None:
        """The number of the box that a job lies in."""
        found = select(BoxTable.number).where(BoxTable.job_id == job_id)
        return next((row[0] for row in self._all(found)), None)
