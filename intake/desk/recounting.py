"""Counts the dates of the open jobs anew, when the setup or the way to a practice has changed."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from intake.desk.desk import Desk
from intake.desk.room_seen import RoomSeen
from intake.domain.bench_room import BenchRoom
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.recounting import NewDates, OpenJob, new_dates
from intake.domain.verdict import Deadlines
from intake.errors import IntakeError
from intake.store.recount_rows import DatedJobRow
from intake.store.recounts import Redated

Progress = Callable[[int, int], None]
"""Is told how many jobs are done, and how many there are."""
Stop = Callable[[], bool]
"""Is asked whether to stop."""

AT_ONCE = 200
"""So many jobs are counted, and kept in one unit of work, before others at the desks have their turn."""
ROUNDS = 3
"""So often a job is looked at that other desks change while it is counted."""
_MARK = "/recounted"
"""Where the store keeps up to which edition all dates were counted; no desk has such a name."""
WHY = "dates counted anew"
"""The reason on a ticket that is printed for new dates."""


@dataclass(frozen=True)
class Recount:
    """A job whose dates are other ones now.

    Attributes:
        job: The job, with its dates as they were.
        dates: Its dates as they are.
        became_late: Whether the appointment cannot be kept by them, and could be before.
        holds_again: Whether it can be kept by them, and could not be before.
        on_paper: Whether a ticket with the dates before is out.
    """

    job: DatedJobRow
    dates: Deadlines
    became_late: bool
    holds_again: bool
    on_paper: bool = False


@dataclass(frozen=True)
class NotCounted:
    """A job whose dates could not be counted, so that it keeps those that it had, and why."""

    job: DatedJobRow
    why: str


@dataclass(frozen=True)
class Recounted:
    """What became of the dates of the open jobs.

    Attributes:
        looked_at: So many jobs were looked at.
        of: So many there are.
        changed: Those with other dates; first those that became late, then by the day on which they must leave.
        not_counted: Those that keep their dates, since new ones cannot be counted.
        stopped: Whether it was stopped; then the jobs that were not looked at keep their dates until it goes on.
        kept: Whether the new dates are in the store; False when it was only asked what would change.
    """

    looked_at: int
    of: int
    changed: tuple[Recount, ...] = ()
    not_counted: tuple[NotCounted, ...] = ()
    stopped: bool = False
    kept: bool = True

    @property
    def late(self) -> tuple[Recount, ...]:
        """Those that became late."""
        return tuple(each for each in self.changed if each.became_late)


def recount(
    desk: Desk, progress: Progress | None = None, stop: Stop | None = None, practice: str | None = None
) -> Recounted:
    """Counts the dates of the open jobs anew by the setup in force, and keeps those that are other ones.

    What is done is kept step by step, each job with an event that says from what to what; stopped or killed, it goes on
    where it is begun again, since a job whose dates are right is left alone. A job that another desk changes meanwhile
    is looked at again.

    Args:
        desk: Where it is done.
        progress: Is told how far it is.
        stop: Asked between the steps.
        practice: The code of the practice whose jobs alone are looked at, when only its entry has changed.
    """
    rows, read, counted = desk.store.read.dated_jobs(practice), desk.store.read, _Counting(desk, desk.lab)
    done, of, stopped = 0, len(rows), False
    changed: list[Recount] = []
    not_counted: list[NotCounted] = []
    for batch in _batches(rows):
        if stopped := stop is not None and stop():
            break
        for _ in range(ROUNDS):
            found, refused = counted.of(batch)
            kept = _keep(desk, found)
            changed += [each for each in found if each.job.job_id in kept]
            not_counted += refused
            if not (late := [each.job.job_id for each in found if each.job.job_id not in kept]):
                break
            batch = read.dated_jobs_of(late)
        else:
            not_counted += [NotCounted(job, "It is being changed at another desk.") for job in batch]
        done = min(done + AT_ONCE, of)
        _tell(progress, done, of)
    if not stopped and practice is None:
        _mark(desk)
    return Recounted(done, of, _in_order(desk, changed), tuple(not_counted), stopped)


def would_change(desk: Desk, lab: Lab, progress: Progress | None = None, stop: Stop | None = None) -> Recounted:
    """What a setup would do to the dates of the open jobs, were it put in force; nothing is written."""
    rows, counted = desk.store.read.dated_jobs(), _Counting(desk, lab)
    done, of, stopped = 0, len(rows), False
    changed: list[Recount] = []
    not_counted: list[NotCounted] = []
    for batch in _batches(rows):
        if stopped := stop is not None and stop():
            break
        found, refused = counted.of(batch)
        changed += found
        not_counted += refused
        done += len(batch)
        _tell(progress, done, of)
    return Recounted(done, of, _in_order(desk, changed), tuple(not_counted), stopped, kept=False)


def is_due(desk: Desk) -> bool:
    """Whether the setup in force was changed since the dates of all open jobs were counted, or it was stopped."""
    if desk.edition is None:
        return False
    mark = desk.store.read.draft(_MARK)
    counted = int(mark.content["edition"]) if mark is not None else 1  # jobs were always judged by the first
    return counted < desk.edition


def tickets_anew(desk: Desk, recounted: Recounted) -> tuple[int, ...]:
    """Lets the next copy of every ticket wait that is out with dates that are no longer right; the documents' ids."""
    numbers = [each.job.number for each in recounted.changed if each.on_paper]
    if not numbers:
        return ()
    with desk.work() as work:
        copies = tuple(work.documents.next_copy(number, WHY).document_id for number in numbers)
        work.commit()
    return copies


class _Counting:
    """Counts by one setup and the directory as it stands."""

    def __init__(self, desk: Desk, lab: Lab) -> None:
        self._lab, self._now = lab, desk.now()
        self._practices: Mapping[str, Practice] = {practice.code: practice for practice in desk.practices()}
        self._room = _room(desk, lab)

    def of(self, rows: Iterable[DatedJobRow]) -> tuple[list[Recount], list[NotCounted]]:
        """The jobs whose dates are other ones, and those that cannot be counted."""
        changed, refused = [], []
        for row in rows:
            try:
                new = self._new(row)
            except IntakeError as problem:
                refused.append(NotCounted(row, str(problem)))
                continue
            if new is not None:
                changed.append(Recount(row, new.dates, new.became_late, new.holds_again))
        return changed, refused

    def _new(self, row: DatedJobRow) -> NewDates | None:
        job = OpenJob(
            category=row.category,
            category_name=row.category_name,
            appointment=row.appointment,
            arrived=row.arrived,
            dates=row.deadlines,
            begun=row.moved is not None,
        )
        practice = self._practices.get(row.practice_code) if row.practice_code else None
        return new_dates(job, practice, self._lab, self._now, self._room)


def _room(desk: Desk, lab: Lab) -> BenchRoom | None:
    """The room on the benches, where the setup's promise counts it and its calendar has such days."""
    try:
        return replace(desk, lab=lab, room_seen=RoomSeen()).room
    except IntakeError:
        return None


def _batches(rows: Sequence[DatedJobRow]) -> Iterator[Sequence[DatedJobRow]]:
    for first in range(0, len(rows), AT_ONCE):
        yield rows[first : first + AT_ONCE]


def _keep(desk: Desk, found: Sequence[Recount]) -> frozenset[int]:
    """Writes new dates; the ids of the jobs that have them now."""
    if not found:
        return frozenset()
    with desk.work() as work:
        kept = work.recounts.redate([Redated(e.job.job_id, e.job.version, e.dates) for e in found], desk.edition)
        work.commit()
    return kept


def _mark(desk: Desk) -> None:
    """Remembers that all dates are counted by the setup in force."""
    if desk.edition is not None:
        with desk.work() as work:
            work.drafts.keep(_MARK, {"edition": desk.edition})
            work.commit()


def _in_order(desk: Desk, changed: Sequence[Recount]) -> tuple[Recount, ...]:
    paper = desk.store.read.on_paper([each.job.job_id for each in changed])
    told = [replace(each, on_paper=each.job.job_id in paper) for each in changed]
    return tuple(sorted(told, key=lambda each: (not each.became_late, each.dates.must_leave, each.job.number)))


def _tell(progress: Progress | None, done: int, of: int) -> None:
    if progress is not None:
        progress(done, of)
