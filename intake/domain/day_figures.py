"""A day in numbers."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, fields
from datetime import date

HOURS = 24
STREAMS = ("post", "scan")
MADE_HERE = ("split", "remake")
"""The kinds of link by which a case was made of another one, and brought by nobody."""
UNSENT = ("waiting", "drawn", "failed")
"""The states of a document that has not left yet."""


@dataclass(frozen=True)
class Share:
    """A share of a day: all of it, or what is of one stream, one category or one hour.

    Arrivals count in the hour they came, cases and jobs in the hour they were booked, and what was handed over in the
    hour it first was on that day. A category's share counts jobs only: a case can be of two.
    """

    arrived: int = 0
    """Arrivals that came on the day, but for those that were taken off the list; a case that was booked without one
    counts as one."""
    booked: int = 0
    """Cases booked on the day that stand."""
    jobs: int = 0
    """The jobs of these cases that stand."""
    clear: int = 0
    """Those of them that are clear now."""
    held: int = 0
    gone: int = 0
    """Those of them that are handed over."""
    handed_over: int = 0
    """Jobs that were handed over on the day, whenever they were booked."""

    def __add__(self, other: "Share") -> "Share":
        """Both together."""
        return Share(*(getattr(self, each.name) + getattr(other, each.name) for each in fields(Share)))


@dataclass(frozen=True)
class Standing:
    """What stands open just now, from whatever day."""

    arrivals: int = 0
    """Arrivals that wait to be booked in."""
    parcels: int = 0
    """Parcels that are not finished."""
    held: int = 0
    """Jobs that are held."""
    tickets: int = 0
    """Tickets that wait for the printer."""
    letters: int = 0
    """Letters that have not left."""


@dataclass(frozen=True)
class DayCounts:
    """A day in numbers."""

    day: date
    whole: Share
    streams: tuple[tuple[str, Share], ...]
    """Post, then scans."""
    categories: tuple[tuple[str, Share], ...]
    """By their names."""
    hours: tuple[Share, ...]
    """The day's 24 hours."""
    standing: Standing


@dataclass(frozen=True)
class Came:
    """So many arrivals, or cases that were booked without one, of one stream in one hour."""

    stream: str
    hour: int
    count: int = 1


@dataclass(frozen=True)
class Made:
    """So many jobs of one stream and category: booked in that hour and standing so, or handed over in it."""

    stream: str
    category: str
    hour: int
    stands: str
    count: int = 1


def day_counts(
    day: date,
    arrived: Iterable[Came],
    booked: Iterable[Came],
    jobs: Iterable[Made],
    handed_over: Iterable[Made],
    standing: Standing,
) -> DayCounts:
    """The numbers of a day from its parts; the `stands` of what was handed over does not count."""
    streams: defaultdict[str, Share] = defaultdict(Share, dict.fromkeys(STREAMS, Share()))
    categories: defaultdict[str, Share] = defaultdict(Share)
    hours = [Share()] * HOURS
    shares: list[tuple[Came | Made, Share]] = [(one, Share(arrived=one.count)) for one in arrived]
    shares += [(one, Share(booked=one.count)) for one in booked]
    made = [(job, Share(jobs=job.count) + Share(**{job.stands: job.count})) for job in jobs]
    made += [(job, Share(handed_over=job.count)) for job in handed_over]
    for job, share in made:
        categories[job.category] += share
    for each, share in (*shares, *made):
        streams[each.stream] += share
        hours[each.hour] += share
    whole = sum(hours, Share())
    return DayCounts(day, whole, tuple(streams.items()), tuple(sorted(categories.items())), tuple(hours), standing)
