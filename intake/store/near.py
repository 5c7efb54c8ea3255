"""Look jobs up in spite of slips of the hand, and in spite of a word too many.

What everything fits comes first and alone. Where there is nothing, one of the lab's own words or one word of a name is
taken to be mistyped, then one slip in each of several; at last some words are left out, which is said.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, select

from intake.domain.slips import RIGHT, Slip, allowed
from intake.domain.wanted import Mended, Part, Wanted
from intake.store.conditions import IS_CLOSED
from intake.store.folding import squash
from intake.store.near_words import NearWord, words_of_cases
from intake.store.rows import JobRow
from intake.store.searching import FEW, MANY, Search, common, find
from intake.store.selecting import job_row
from intake.store.tables import JobTable

MOST_LOOSE = 4
"""With more words than these no two of them are taken to be mistyped."""
ReadAs = tuple[tuple[str, str], ...]
"""What was typed, and what it was read as; a day is read as "", since each row has its own."""


@dataclass(frozen=True)
class Near:
    """How near a job is; where a word of the lab's own was mistyped, what was typed and what it was read as."""

    slip: Slip
    mended: tuple[str, str] | None = None


@dataclass(frozen=True)
class NearJob:
    """A job that is near what was typed."""

    job: JobRow
    read: ReadAs


@dataclass(frozen=True)
class FoundJobs:
    """What was found.

    Attributes:
        jobs: The jobs that everything fits.
        near: Only where there are none: jobs that are near, the nearest first.
        left_out: The words without which those of `near` fit; empty where all words fit nearly.
    """

    jobs: tuple[JobRow, ...] = ()
    near: tuple[NearJob, ...] = ()
    left_out: tuple[str, ...] = ()


def look_up(search: Search, wanted: Wanted, mended: Callable[[], Iterable[Mended]] | None, limit: int) -> FoundJobs:
    """The jobs that everything fits; where there are none, the near ones; else those that most of it fits.

    Args:
        search: The look-up.
        wanted: What is looked for.
        mended: Gives what may be looked for if one of the lab's own words was mistyped; asked only when needed. None
            where nothing that is near is wanted.
        limit: So many jobs at the most.
    """
    rows = find(search, wanted, limit)
    if rows or mended is None or limit < 1:
        return FoundJobs(tuple(map(job_row, rows)))
    nearing = _Nearing(search, wanted.parts, limit)
    near = nearing.one_word() | nearing.mended(mended()) or nearing.several_words()
    if near:
        closed = nearing.closed(near)
        order = sorted(near, key=lambda job: (near[job].slip, job in closed, -job))
        rows = search.rows(order[:limit])
        read = nearing.read_as(rows, near)
        return FoundJobs(near=tuple(NearJob(job_row(row), read[row.job_id]) for row in rows))
    jobs, left_out = nearing.without_some()
    return FoundJobs(
        near=tuple(NearJob(job_row(row), ()) for row in search.rows(jobs)), left_out=left_out if jobs else ()
    )


class _Nearing:
    """Tries what is near, one way after the other."""

    def __init__(self, search: Search, parts: Sequence[Part], limit: int) -> None:
        self._search, self._parts, self._limit = search, parts, limit
        self._words: dict[int, set[str]] = {}
        self._mistypeds: dict[str, NearWord] = {}
        self._supersets: dict[Part, frozenset[int] | None] = {}

    def mended(self, every: Iterable[Mended]) -> dict[int, Near]:
        """The jobs that fit when a slip in one of the lab's own words is mended."""
        found: dict[int, Near] = {}
        for each in every:
            for job in self._search.exact(each.wanted.parts, self._limit):
                found.setdefault(job, Near(each.slip, (each.typed, each.read)))
        return found

    def one_word(self) -> dict[int, Near]:
        """The jobs that fit when one word of a name or a number was mistyped."""
        found: dict[int, Near] = {}
        for place, part in enumerate(self._parts):
            word = _word_of(part)
            if part.readings or not allowed(word):
                continue  # a word of the lab's own is typed right
            others = [other for n, other in enumerate(self._parts) if n != place]
            cases = self._those_of(others)
            mistyped = self._mistyped(word)
            few = cases is not None and len(cases) <= FEW
            near = mistyped.compared(self._words_of(cases)) if cases is not None and few else mistyped.sought(cases)
            for job, each in self._jobs(near, others).items():
                found[job] = min(each, found.get(job, each), key=lambda how: how.slip)
        return found

    def several_words(self) -> dict[int, Near]:
        """The jobs that fit when two words or more were mistyped, each by one slip."""
        named = [part for part in self._parts if _word_of(part) and not part.readings]
        others = [part for part in self._parts if part not in named]
        if not 2 <= len(named) <= MOST_LOOSE:
            return {}
        near: dict[int, Slip] | None = None
        for part in named:
            exact = self._superset(part)
            if exact is None:
                others.append(part)  # so common that it is asked about at the end
                continue
            word = _word_of(part)
            fits = (self._mistyped(word).sought() if allowed(word) else {}) | dict.fromkeys(exact, RIGHT)
            near = fits if near is None else {case: near[case] + fits[case] for case in near.keys() & fits.keys()}
        return self._jobs(near or {}, others)

    def read_as(self, rows: Sequence[Row[Any]], near: dict[int, Near]) -> dict[int, ReadAs]:
        """For each job what was read as what, so that it fits."""
        words = words_of_cases(self._search, {row.case_id for row in rows})
        read: dict[int, ReadAs] = {}
        for row in rows:
            mended = near[row.job_id].mended
            read[row.job_id] = (mended,) if mended else self._misread(words[row.case_id])
        return read

    def _misread(self, words: set[str]) -> ReadAs:
        read = []
        for part in self._parts:
            word = _word_of(part)
            if word and not part.readings and not any(other.startswith(word) for other in words):
                how = self._mistyped(word).near(words)
                read += [(part.typed, how[1])] if how else []
        return tuple(read)

    def without_some(self) -> tuple[list[int], tuple[str, ...]]:
        """The jobs that fit most of what was typed, and the words that are left out."""
        unknown = [part for part in self._parts if not self._search.exact([part], 1)]
        if unknown:
            known = [part for part in self._parts if part not in unknown]
            return self._search.exact(known, self._limit), tuple(part.typed for part in unknown)
        for left_out in reversed(self._parts):
            jobs = self._search.exact([part for part in self._parts if part is not left_out], self._limit)
            if jobs:
                return jobs, (left_out.typed,)
        return [], ()

    def closed(self, jobs: Collection[int]) -> frozenset[int]:
        """Those of the jobs with which nothing is to be done any more."""
        found = select(JobTable.id).where(JobTable.id.in_(list(jobs)), IS_CLOSED)
        return frozenset(self._search.connection.scalars(found))

    def _superset(self, part: Part) -> frozenset[int] | None:
        """Cases among which are all that fit a part; None where they are too many."""
        if part not in self._supersets:
            self._supersets[part] = self._read_superset(part)
        return self._supersets[part]

    def _read_superset(self, part: Part) -> frozenset[int] | None:
        found: set[int] = set()
        for way in self._search.ways(part):
            cases = common(self._search.cases(each, MANY) for each in way)
            if cases is None:
                return None
            found |= cases
        return frozenset(found)

    def _those_of(self, parts: Sequence[Part]) -> frozenset[int] | None:
        """Cases among which are all that fit every one of some parts; None where they are too many."""
        return common(map(self._superset, parts))

    def _words_of(self, cases: frozenset[int]) -> dict[int, set[str]]:
        if fresh := cases - self._words.keys():
            self._words |= words_of_cases(self._search, fresh)
        return {case: self._words[case] for case in cases}

    def _mistyped(self, word: str) -> NearWord:
        return self._mistypeds.setdefault(word, NearWord(self._search, word))

    def _jobs(self, near: dict[int, Slip], others: Sequence[Part]) -> dict[int, Near]:
        """The jobs of near cases that fit the other parts, the nearest first, and hardly more than are wanted."""
        asked, found = [self._search.ways(part) for part in others], dict[int, Near]()
        for slip in sorted(set(near.values())):
            jobs = self._search.jobs_of([case for case, each in near.items() if each == slip], asked, self._limit)
            found |= dict.fromkeys(jobs, Near(slip))
            if len(found) >= self._limit:
                break
        return found


def _word_of(part: Part) -> str:
    """The one word of a name that a part may be, squashed; empty where it has several."""
    return squash(part.words[0]) if len(part.words) == 1 else ""
