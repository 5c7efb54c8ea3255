"""Look jobs up: every part of what is wanted has to fit a job, by a name or a number or by what else the part means.

What is rare is looked up by index: the cases of the rare conditions are intersected, and only the few that are left are
asked about the others. Where nothing is rare, the newest jobs are walked first, which answers whatever is common. Whole
words come before beginnings, open jobs before those that are done with, the newest first.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, func, select

from intake.domain.job_number import LENGTHS
from intake.domain.wanted import Part, Wanted, plain_words
from intake.store.at_once import among, gathered
from intake.store.conditions import IS_CLOSED, RUNNING_DIGITS, Alternative, Condition, Named, Read, Years, cases_of
from intake.store.folding import squash
from intake.store.selects import JOBS, AnySelect
from intake.store.tables import CaseTable, JobTable, PracticeTable

NEWEST = 2000
"""Jobs that are walked first; ten times as many where no word is rare."""
FEW = 300
"""Cases that are few enough to be asked about everything else at once."""
RARE = 2000
"""Cases of a condition that are few enough to be looked at one by one."""
MANY = 40_000
"""Cases of a condition that are few enough to be intersected with others."""
AT_ONCE = 4000
"""So many cases are asked about the other conditions at once, the newest first."""
MOST_WAYS = 16
"""So many readings of what was typed are tried."""

_IDS: AnySelect = select(JobTable.id).join(CaseTable, CaseTable.id == JobTable.case_id)
_ORDER = (IS_CLOSED, JobTable.id.desc())


def search(connection: Connection, typed: str, limit: int, walked: int = NEWEST) -> Sequence[Row[Any]]:
    """The rows of `JOBS` that every typed word fits as one of a name or a number; see `find`.

    A whole number, in groups as it is shown or not, is read as one first.
    """
    number = "".join(map(squash, typed.split()))
    whole = connection.execute(JOBS.where(JobTable.number == number)).all() if len(number) in LENGTHS else ()
    return whole or find(Search(connection, walked), plain_words(typed), limit)


def find(search: "Search", wanted: Wanted, limit: int) -> Sequence[Row[Any]]:
    """The rows of `JOBS` that every part fits: whole words first, open jobs before closed ones, the newest first."""
    return search.rows(search.exact(wanted.parts, limit))


@dataclass
class Search:
    """One look-up over one connection.

    Args:
        connection: The connection.
        walked: So many of the newest jobs are looked through where nothing is rare.
    """

    connection: Connection
    walked: int = NEWEST
    _known: dict[tuple[Condition, int], frozenset[int] | None] = field(default_factory=dict)
    _ways: dict[Part, tuple[Alternative, ...]] = field(default_factory=dict)

    @cached_property
    def years(self) -> Years:
        """The years whose running numbers are looked through: of the newest number, and the one before it."""
        newest = self.connection.scalar(select(JobTable.number).order_by(JobTable.id.desc()).limit(1))
        year = int(newest[:2]) if newest else 0
        return (f"{year:02d}", f"{(year - 1) % 100:02d}")

    def ways(self, part: Part) -> tuple[Alternative, ...]:
        """The ways in which a job fits a part: by what it means, and by its words."""
        if part not in self._ways:
            named = tuple(self._named(word) for word in map(squash, part.words) if word)
            self._ways[part] = (*((Read(reading),) for reading in part.readings), *((named,) if named else ()))
        return self._ways[part]

    def _named(self, word: str, whole: bool = False) -> Named:
        return Named(word, self.years if len(word) >= RUNNING_DIGITS and word.isdigit() else (), whole)

    def cases(self, condition: Condition, most: int = RARE) -> frozenset[int] | None:
        """The cases that fit a condition by index; None where they are more than `most`."""
        key = (condition, most)
        if key not in self._known:
            few = self._known.get((condition, RARE))
            read = few is None and not (most > RARE and condition.is_broad)
            self._known[key] = cases_of(self.connection, condition, self._practices, most) if read else few
        return self._known[key]

    @cached_property
    def directory(self) -> str:
        """A line for each practice: its code, a tab, and its words, a space before and behind each."""
        lines = PracticeTable.code + "\t" + PracticeTable.search_key + " \n"
        return "".join(gathered(self.connection, select(lines)))

    @cached_property
    def practices_by_word(self) -> dict[str, list[str]]:
        """The codes of the practices with a word."""
        codes: dict[str, list[str]] = {}
        for line in self.directory.splitlines():
            code, _, words = line.rpartition("\t")
            for word in words.split():
                codes.setdefault(word, []).append(code)
        return codes

    def _practices(self, word: str, whole: bool) -> list[str]:
        """Codes by one search through the whole text: practice by practice takes long."""
        text, said, codes = self.directory, f" {word} " if whole else f" {word}", []
        at = text.find(said)
        while at >= 0:
            begins, ends = text.rfind("\n", 0, at) + 1, text.find("\n", at)
            codes.append(text[begins:ends].rpartition("\t")[0])
            at = text.find(said, ends)
        return codes

    def rows(self, jobs: Sequence[int]) -> Sequence[Row[Any]]:
        """The rows of `JOBS` of these jobs, in this order."""
        if not jobs:
            return ()
        place = {job: n for n, job in enumerate(jobs)}
        found = self.connection.execute(JOBS.where(JobTable.id.in_(jobs))).all()
        return sorted(found, key=lambda row: place[row.job_id])

    def exact(self, parts: Sequence[Part], limit: int) -> list[int]:
        """The jobs that every part fits.

        Where a part can be read in more than one way, the way that fewer jobs fit comes first; each has its share of
        the places, and what one leaves the others may have.
        """
        said = [part for part in parts if part.readings or any(map(squash, part.words))]
        ways = [self._possible(self.ways(part)) for part in said]
        if not ways or limit < 1 or not all(ways):
            return []
        tried = list(product(*ways))[:MOST_WAYS]
        found = sorted((self._whole_first(sum(way, ()), limit) for way in tried), key=len)
        return _shared([each for each in found if each], limit)

    def _possible(self, ways: Iterable[Alternative]) -> tuple[Alternative, ...]:
        """The readings that some case fits."""
        return tuple(way for way in ways if all(self.cases(each) != frozenset() for each in way))

    def _whole_first(self, conditions: Alternative, limit: int) -> list[int]:
        """The jobs that fit all conditions, those with whole words before those with beginnings."""
        begun = self.fitting(conditions, limit)
        wholes = [self._named(each.word, whole=True) if isinstance(each, Named) else each for each in conditions]
        if (
            len(begun) < min(2, limit)
            or wholes == list(conditions)
            or any(self.cases(each) == frozenset() for each in wholes)
        ):
            return begun
        found = self.fitting(wholes, limit)
        return (found + [job for job in begun if job not in set(found)])[:limit]

    def fitting(self, conditions: Sequence[Condition], limit: int) -> list[int]:
        """The jobs that fit all conditions, open ones first, the newest first."""
        if (few := self._by_index(conditions, RARE, limit)) is not None:
            return few
        newest = self._newest(self.walked, conditions, limit)
        if len(newest) == limit:
            return newest
        if (several := self._by_index(conditions, MANY, limit)) is not None:
            return several
        further = self._newest(self.walked * 10, conditions, limit)
        return further if len(further) == limit else self._everything(conditions, limit)

    def _by_index(self, conditions: Sequence[Condition], most: int, limit: int) -> list[int] | None:
        """The jobs that fit all, where one condition at least is no commoner than `most`; None where none is."""
        known = {each: self.cases(each, most) for each in conditions}
        cases = common(known.values())
        if cases is None:
            return None
        if len(cases) > FEW and most < MANY:
            known = {each: self.cases(each, MANY) for each in conditions}
            cases = common(known.values()) or frozenset()
        return self.jobs_of(cases, [((each,),) for each in conditions if known[each] is None or each.of_job], limit)

    def jobs_of(self, cases: Iterable[int], asked: Sequence[Sequence[Alternative]], limit: int) -> list[int]:
        """The jobs of cases that fit what is asked, each in one way at least; open ones first, the newest first.

        The newest cases are asked first, and where they are enough no others.
        """
        newest, found = sorted(cases, reverse=True), list[int]()
        for first in range(0, len(newest), AT_ONCE):
            these = among(self.connection, JobTable.case_id, newest[first : first + AT_ONCE])
            found += self._ordered(self._narrowed(these, asked), limit)
            if len(found) >= limit:
                break
        return found[:limit]

    def _newest(self, depth: int, conditions: Sequence[Condition], limit: int) -> list[int]:
        newest = self.connection.scalar(select(func.max(JobTable.id))) or 0
        return self._ordered(self._narrowed(JobTable.id > newest - depth, [((each,),) for each in conditions]), limit)

    def _narrowed(self, jobs: ColumnElement[bool], asked: Sequence[Sequence[Alternative]]) -> ColumnElement[bool]:
        """Those of some jobs that fit what is asked.

        One question after the other, each of those that are left: so there are few kinds of statement, which are
        compiled once, and not one for each way to put them together.
        """
        for ways in asked:
            fitting: set[int] = set()
            for way in ways:
                left = jobs
                for condition in way:
                    ids = gathered(self.connection, _IDS.where(left, condition.fits))
                    left = among(self.connection, JobTable.id, ids)
                fitting.update(ids)
            jobs = among(self.connection, JobTable.id, fitting)
        return jobs

    def _ordered(self, jobs: ColumnElement[bool], limit: int) -> list[int]:
        found = select(JobTable.id).where(jobs).order_by(*_ORDER).limit(limit)
        return list(self.connection.scalars(found).all())

    def _everything(self, conditions: Sequence[Condition], limit: int) -> list[int]:
        """By the cases of every condition at once, whatever time that takes."""
        asked: list[ColumnElement[bool]] = [each.fits for each in conditions if each.of_job]
        for each in conditions:
            selects = each.selects(self.connection, self._practices)
            if selects is None:
                asked.append(each.fits)
            else:
                first, *more = selects
                asked.append(JobTable.case_id.in_(first.union_all(*more) if more else first))
        return list(self.connection.scalars(_IDS.where(*asked).order_by(*_ORDER).limit(limit)).all())


def common(sets: Iterable[frozenset[int] | None]) -> frozenset[int] | None:
    """The cases that are in all of the sets that are known; None where none is."""
    known = [cases for cases in sets if cases is not None]
    return frozenset.intersection(*known) if known else None


def _shared(found: Sequence[Sequence[int]], limit: int) -> list[int]:
    """Lists put behind one another, each with its share of the places and with what those before it leave."""
    chosen: list[int] = []
    for left, jobs in zip(range(len(found), 0, -1), found, strict=True):
        fresh = [job for job in jobs if job not in set(chosen)]
        chosen += fresh[: -(-(limit - len(chosen)) // left)]
    return chosen
