"""Look jobs up by the beginnings of words.

The newest jobs are walked first, which answers whatever is common. What is rare is looked up by index instead: the
cases of the rarest word, then whether the other words fit them too. Where no word is rare, more is walked, and only
then are the cases of each word intersected.
"""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import ColumnElement, CompoundSelect, Connection, Row, Select, exists, func, or_, select, union_all
from sqlalchemy.orm import InstrumentedAttribute

from intake.domain.job_number import LENGTHS
from intake.store.folding import squash
from intake.store.selects import JOBS, AnySelect
from intake.store.tables import CaseTable, CaseWordTable, JobTable, PracticeTable

NEWEST = 2000
"""Jobs that are walked first; ten times as many where no word is rare."""
RARE = 2000
"""Cases of a word that are few enough to be looked at one by one."""
FEWEST_DIGITS = 3
"""Last digits of a number that are worth a look."""
RUNNING_DIGITS = 6
"""A running number is written with so many digits at least; it is what a caller reads out."""
Years = tuple[str, ...]
"""The years, two digits each, whose running numbers are looked through."""
_Cases = CompoundSelect[*tuple[Any, ...]]
_LAST = "\U0010ffff"


def search(connection: Connection, typed: str, limit: int, walked: int = NEWEST) -> Sequence[Row[Any]]:
    """The rows of `JOBS` that every typed word fits, newest first; so many of the newest are looked through at once.

    A whole number, in groups as it is shown or not, is read as one first.
    """
    words = [word for word in map(squash, typed.split()) if word]
    if not words or limit < 1:
        return ()
    number = "".join(words)
    whole = connection.execute(JOBS.where(JobTable.number == number)).all() if len(number) in LENGTHS else ()
    if whole:
        return whole
    years = _years(connection)
    newest = _walk(connection, words, years, limit, walked)
    if len(newest) == limit:
        return newest
    cases = [_cases(connection, word, years) for word in words]
    count, rarest = min((_count(connection, found), place) for place, found in enumerate(cases))
    if count < RARE:
        others = [_fits(word, years) for place, word in enumerate(words) if place != rarest]
        return _newest_first(connection, limit, JobTable.case_id.in_(cases[rarest]), *others)
    further = _walk(connection, words, years, limit, walked * 10)
    if len(further) == limit:
        return further
    return _newest_first(connection, limit, *(JobTable.case_id.in_(found) for found in cases))


def _years(connection: Connection) -> Years:
    """The year of the newest number and the one before it."""
    newest = connection.scalar(select(JobTable.number).order_by(JobTable.id.desc()).limit(1))
    year = int(newest[:2]) if newest else 0
    return (f"{year:02d}", f"{(year - 1) % 100:02d}")


def _walk(connection: Connection, words: list[str], years: Years, limit: int, depth: int) -> Sequence[Row[Any]]:
    newest = connection.scalar(select(func.max(JobTable.id))) or 0
    fits = [_fits(word, years) for word in words]
    return _newest_first(connection, limit, JobTable.id > newest - depth, *fits)


def _newest_first(connection: Connection, limit: int, *conditions: ColumnElement[bool]) -> Sequence[Row[Any]]:
    return connection.execute(JOBS.where(*conditions).order_by(JobTable.id.desc()).limit(limit)).all()


def _count(connection: Connection, cases: _Cases) -> int:
    """How many cases there are, counted no further than needed."""
    return connection.scalar(select(func.count()).select_from(cases.limit(RARE).subquery())) or 0


def _cases(connection: Connection, word: str, years: Years) -> _Cases:
    """The cases that a word fits, each part by its own index; one may come twice."""
    parts: list[AnySelect] = [select(CaseWordTable.case_id).where(_begins(CaseWordTable.word, word))]
    # Codes by themselves: given them by a sub-select, PostgreSQL reads all cases rather than the index.
    practices = connection.scalars(_practices(word)).all()
    if practices:
        parts.append(select(CaseTable.id).where(CaseTable.practice_code.in_(practices)))
    return union_all(*parts, *(select(JobTable.case_id).where(fits) for fits in _fits_job(word, years)))


def _fits(word: str, years: Years) -> ColumnElement[bool]:
    """Whether a word fits one job, looked at by itself."""
    return or_(_has_word(word), CaseTable.practice_code.in_(_practices(word)), *_fits_job(word, years))


def _has_word(word: str) -> ColumnElement[bool]:
    of_case = CaseWordTable.case_id == JobTable.case_id
    return exists().where(of_case, _begins(CaseWordTable.word, word))


def _fits_job(word: str, years: Years) -> list[ColumnElement[bool]]:
    if not (word.isdigit() and word.isascii()):
        return []
    fits = [_begins(JobTable.number, word)]
    if len(word) >= FEWEST_DIGITS:
        fits.append(_begins(JobTable.backward, word[::-1]))
    if len(word) >= RUNNING_DIGITS:
        fits += [_begins(JobTable.number, year + word) for year in years]
    return fits


def _practices(word: str) -> Select[str]:
    """The codes of the practices with a word that begins so; folded text has no wildcards."""
    return select(PracticeTable.code).where(PracticeTable.search_key.like(f"% {word}%"))


def _begins(column: InstrumentedAttribute[str], text: str) -> ColumnElement[bool]:
    """A prefix as a range, which an index of either database answers."""
    return (column >= text) & (column < text + _LAST)
