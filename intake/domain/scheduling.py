"""In which order to work jobs that have due dates, on one machine and on benches that finish so many a day.

One machine, every job ready at once:

  * Earliest due date first makes the greatest lateness as small as it can be (Jackson, Scheduling a production line to
    minimize maximum tardiness, Management Science Research Project, UCLA, report 43, 1955).
  * The fewest jobs are late by the rule of Moore (An n job, one machine sequencing algorithm for minimizing the number
    of late jobs, Management Science 15, 1968) in the form that he gives there as Hodgson's: take the jobs in order of
    their due dates, and whenever one would be late put off the longest so far.

A bench, every job as long as every other, each ready from some day on: earliest due date first, among those that are
ready, does both. It makes the greatest lateness as small as it can be, and with the jobs that would be late left out it
keeps as many dates as can be kept (Glover, Maximum matching in a convex bipartite graph, Naval Research Logistics
Quarterly 14, 1967). Where all are ready at once this is Moore and Hodgson's rule with equal times.

The papers are cited from memory; that the rules keep what is said here is tested against all orders and all subsets.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from typing import Generic, TypeVar

Name = TypeVar("Name")
Window = tuple[int, int]
"""The first day on which a job can be finished, and the last on which it should be; days count from 0."""


@dataclass(frozen=True)
class Task(Generic[Name]):
    """A job for one machine: how long it takes, and by when it should be done, from the same zero."""

    name: Name
    time: float
    due: float


@dataclass(frozen=True)
class Split(Generic[Name]):
    """The jobs that keep their dates, in the order to work them, and those that are put off."""

    on_time: tuple[Task[Name], ...]
    late: tuple[Task[Name], ...]


@dataclass(frozen=True)
class Worked:
    """So many jobs of one window that are finished on one day."""

    ready: int
    due: int
    day: int
    count: int


def by_due_date(tasks: Iterable[Task[Name]]) -> tuple[Task[Name], ...]:
    """The jobs with the earliest due date first; equal ones as they came."""
    return tuple(sorted(tasks, key=lambda task: task.due))


def greatest_lateness(order: Sequence[Task[Name]]) -> float:
    """By how much the latest job of an order is late; negative where every one is early. An empty order is an error."""
    done, worst = 0.0, float("-inf")
    for task in order:
        done += task.time
        worst = max(worst, done - task.due)
    if not order:
        raise ValueError("no jobs, no lateness")
    return worst


def fewest_late(tasks: Iterable[Task[Name]]) -> Split[Name]:
    """The fewest jobs that have to be late on one machine, by Moore and Hodgson."""
    kept: list[tuple[float, int, Task[Name]]] = []
    late: list[Task[Name]] = []
    done = 0.0
    for at, task in enumerate(by_due_date(tasks)):
        heappush(kept, (-task.time, at, task))
        done += task.time
        if done > task.due:
            _, _, longest = heappop(kept)
            late.append(longest)
            done -= longest.time
    return Split(by_due_date(task for _, _, task in sorted(kept, key=lambda each: each[1])), tuple(late))


def worked_off(jobs: Mapping[Window, int], a_day: int) -> tuple[Worked, ...]:
    """A bench that finishes so many jobs a day works them all, the earliest due date first; day by day.

    Args:
        jobs: How many jobs there are of each window. A job whose day has passed is due on a day before 0.
        a_day: How many it finishes in a day.
    """
    return _day_by_day(jobs, a_day, keep_late=True)


def fewest_late_a_day(jobs: Mapping[Window, int], a_day: int) -> dict[Window, int]:
    """How many jobs of each window cannot keep their day, where as many as possible do; windows without any left out.

    The jobs and the bench are as in `worked_off`. That the fewest are late is exact; which ones they are is one choice
    of several.
    """
    kept: dict[Window, int] = {}
    for done in _day_by_day(jobs, a_day, keep_late=False):
        window = (done.ready, done.due)
        kept[window] = kept.get(window, 0) + done.count
    short = {window: count - kept.get(window, 0) for window, count in jobs.items()}
    return {window: count for window, count in short.items() if count}


def days_with_room(worked: Sequence[Worked], a_day: int, days: int) -> frozenset[int]:
    """The days, of so many from 0 on, on which one more job can be finished without making any other later.

    No other job is moved beyond its due date, or beyond the day on which it is worked where that is later already. A
    day has room if a place on it is free, or can be made free by moving jobs, each within its own days, towards a day
    with a free place: Berge's theorem on augmenting paths (Comptes rendus 43, 1957; cited from memory).

    Args:
        worked: What `worked_off` gave for the bench.
        a_day: How many jobs it finishes in a day.
        days: How many days to look at.
    """
    taken: dict[int, int] = {}
    reach: dict[int, Window] = {}
    for done in worked:
        first, last = reach.get(done.day, (done.day, done.day))
        taken[done.day] = taken.get(done.day, 0) + done.count
        reach[done.day] = min(first, max(done.ready, 0)), max(last, done.due)
    last = max((at for _, at in reach.values()), default=0)
    room = {day for day in range(max(days, last + 1)) if taken.get(day, 0) < a_day}
    full = sorted(set(taken) - room)
    while reached := [day for day in full if day not in room and _touches(room, reach[day])]:
        room.update(reached)
    return frozenset(day for day in room if day < days)


def _touches(room: set[int], reach: Window) -> bool:
    return any(day in room for day in range(reach[0], reach[1] + 1))


def _day_by_day(jobs: Mapping[Window, int], a_day: int, keep_late: bool) -> tuple[Worked, ...]:
    """Works on each day what is due first of what is ready; leaves out what is late already, or works that too."""
    coming = sorted(((max(ready, 0), due, ready, count) for (ready, due), count in jobs.items() if count), reverse=True)
    waiting: list[tuple[int, int, int]] = []
    worked, day = [], 0
    while coming or waiting:
        if not waiting:
            day = max(day, coming[-1][0])
        while coming and coming[-1][0] <= day:
            _, due, ready, count = coming.pop()
            heappush(waiting, (due, ready, count))
        places = a_day
        while places and waiting:
            due, ready, count = heappop(waiting)
            if due < day and not keep_late:
                continue
            now = min(places, count)
            worked.append(Worked(ready, due, day, now))
            places -= now
            if now < count:
                heappush(waiting, (due, ready, count - now))
        day += 1
    return tuple(worked)
