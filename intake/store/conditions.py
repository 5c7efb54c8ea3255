"""What a look-up asks of a job, each condition in two ways: as the cases that fit by index, and as SQL on one job."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from functools import cached_property

from sqlalchemy import ColumnElement, Connection, and_, exists, or_, select, union_all
from sqlalchemy.orm import InstrumentedAttribute, aliased

from intake.domain.wanted import At, Came, Late, Leaves, Made, Reading, Sent, Span, Standing
from intake.store.at_once import among, gathered
from intake.store.physical_tables import ParcelContentTable, ParcelTable
from intake.store.selects import AnySelect
from intake.store.tables import ArrivalTable, CaseTable, CaseWordTable, JobTable, PracticeTable

FEWEST_DIGITS = 3
"""Last digits of a number that are worth a look."""
RUNNING_DIGITS = 6
"""A running number is written with so many digits at least; it is what a caller reads out."""
FEWEST_OF_A_LABEL = 4
"""So many signs of a parcel's label, or of its last digits, are worth a look."""
Years = tuple[str, ...]
"""The years, two digits each, whose running numbers are looked through."""
LAST = "\U0010ffff"
TYPE_MARK = "@"
"""Stands before the types of appliances among the words of a case."""

IS_CLOSED = or_(JobTable.finished.is_not(None), JobTable.state == "withdrawn")
"""Whether nothing is to be done with a job any more."""


def begins(column: InstrumentedAttribute[str], text: str) -> ColumnElement[bool]:
    """A prefix as a range, which an index of either database answers."""
    return (column >= text) & (column < text + LAST)


PracticesWith = Callable[[str, bool], Collection[str]]
"""Gives the codes of the practices with a word: one that is it, or, where the second is false, begins with it."""


class Condition:
    """One thing that a job has to fit."""

    is_broad = False
    """Whether many jobs fit it nearly always."""
    of_job = False
    """Whether it tells the jobs of one case apart, so that a case that fits has jobs that do not."""

    @property
    def fits(self) -> ColumnElement[bool]:
        """Whether a job fits, looked at by itself; jobs and cases are joined."""
        raise NotImplementedError

    def selects(self, connection: Connection, practices: PracticesWith) -> list[AnySelect] | None:
        """The ids of the cases that fit, each select by its own index; None where no index helps."""
        raise NotImplementedError


def cases_of(
    connection: Connection, condition: Condition, practices: PracticesWith, most: int
) -> frozenset[int] | None:
    """The cases that fit a condition; None where they are more than `most`, or no index gives them."""
    selects = condition.selects(connection, practices)
    if selects is None:
        return None
    together = union_all(*selects) if len(selects) > 1 else selects[0]
    ids = gathered(connection, together.limit(most + 1))
    return frozenset(ids) if len(ids) <= most else None


@dataclass(frozen=True)
class Named(Condition):
    """A word of a name or a number: of the patient, the reference, the practice, the prescriber, the job, the parcel.

    Args:
        word: The word, squashed.
        years: The years whose running numbers are looked through.
        whole: Whether it is the whole of such a word, not its beginning.
    """

    word: str
    years: Years
    whole: bool = False

    @property
    def of_job(self) -> bool:  # type: ignore[override]
        """A number can be one job's."""
        return self.is_number

    @property
    def is_number(self) -> bool:
        """Whether it has digits only."""
        return self.word.isdigit() and self.word.isascii()

    @cached_property
    def fits(self) -> ColumnElement[bool]:
        """By each of the ways."""
        has_word = exists().where(CaseWordTable.case_id == JobTable.case_id, self._said(CaseWordTable.word))
        ways = [has_word, CaseTable.practice_code.in_(self._practices), *self._numbers]
        labels = self._labels
        if labels is not None:
            ways.append(exists(self.in_parcels(labels).where(ArrivalTable.case_id == JobTable.case_id)))
        return or_(*ways)

    def selects(self, connection: Connection, practices: PracticesWith) -> list[AnySelect]:
        """By the words of the case, its practice, its parcel and its jobs."""
        ways = [select(CaseWordTable.case_id).where(self._said(CaseWordTable.word))]
        # Codes by themselves: given them by a sub-select, PostgreSQL reads all cases rather than the index.
        if codes := practices(self.word, self.whole):
            ways.append(select(CaseTable.id).where(among(connection, CaseTable.practice_code, codes)))
        if (labels := self._labels) is not None:
            ways.append(self.in_parcels(labels))
        return [*ways, *(select(JobTable.case_id).where(number) for number in self._numbers)]

    def _said(self, column: InstrumentedAttribute[str]) -> ColumnElement[bool]:
        return column == self.word if self.whole else begins(column, self.word)

    @cached_property
    def _practices(self) -> AnySelect:
        """The codes of the practices with such a word; folded text has no wildcards."""
        if self.whole:
            return select(PracticeTable.code).where((PracticeTable.search_key + " ").like(f"% {self.word} %"))
        return select(PracticeTable.code).where(PracticeTable.search_key.like(f"% {self.word}%"))

    @cached_property
    def _numbers(self) -> list[ColumnElement[bool]]:
        """The ways in which a job's number can fit."""
        if not self.is_number:
            return []
        if self.whole:
            return [JobTable.number == self.word]
        fits = [begins(JobTable.number, self.word)]
        if len(self.word) >= FEWEST_DIGITS:
            fits.append(begins(JobTable.backward, self.word[::-1]))
        if len(self.word) >= RUNNING_DIGITS:
            fits += [begins(JobTable.number, year + self.word) for year in self.years]
        return fits

    @property
    def _labels(self) -> ColumnElement[bool] | None:
        """The parcels whose label it is, or begins, or whose label's last digits it is."""
        if len(self.word) < FEWEST_OF_A_LABEL or not any(sign.isdigit() for sign in self.word):
            return None
        label = self.word.upper()
        if self.whole:
            return ParcelTable.label == label
        begun = begins(ParcelTable.label, label)
        return or_(begun, begins(ParcelTable.backward, self.word[::-1])) if self.is_number else begun

    @staticmethod
    def in_parcels(labels: ColumnElement[bool]) -> AnySelect:
        """The cases that came in parcels."""
        return (
            select(ArrivalTable.case_id)
            .join(ParcelContentTable, ParcelContentTable.arrival_id == ArrivalTable.id)
            .join(ParcelTable, ParcelTable.id == ParcelContentTable.parcel_id)
            .where(labels, ArrivalTable.case_id.is_not(None))
        )


@dataclass(frozen=True)
class Read(Condition):
    """What a stretch of words was read as."""

    reading: Reading

    @property
    def is_broad(self) -> bool:  # type: ignore[override]
        """Appliances and streams are."""
        return isinstance(self.reading, Made | Sent)

    @property
    def of_job(self) -> bool:  # type: ignore[override]
        """Whether it tells the jobs of one case apart."""
        return not isinstance(self.reading, Came | Sent)

    @cached_property
    def fits(self) -> ColumnElement[bool]:
        """The reading as SQL."""
        match self.reading:
            case Made(types, _, categories):
                words = [TYPE_MARK + each for each in types]
                made = exists().where(CaseWordTable.case_id == JobTable.case_id, CaseWordTable.word.in_(words))
                return and_(made, _in_its_box(categories)) if categories else made
            case Standing(standing):
                return _stands(standing)
            case Late(today, start):
                begun_late = and_(JobTable.state != "gone", JobTable.latest_start < start)
                return and_(~IS_CLOSED, or_(JobTable.must_leave < today, begun_late))
            case Came(spans):
                return or_(*(_within(span) for span in spans))
            case Leaves(spans):
                return or_(*(JobTable.must_leave.between(*span) for span in spans))
            case At(None):
                return and_(JobTable.bench.is_(None), JobTable.state.in_(("held", "clear")))
            case At(bench):
                return JobTable.bench == bench
            case Sent(stream):
                return CaseTable.stream == stream

    def selects(self, connection: Connection, practices: PracticesWith) -> list[AnySelect] | None:
        """The cases by index, where there is one that fits."""
        match self.reading:
            case Sent() | Standing("gone" | "finished"):
                return None
            case Made(types):
                words = [TYPE_MARK + each for each in types]
                return [select(CaseWordTable.case_id).where(CaseWordTable.word.in_(words))]
            case Came(spans):
                return [select(CaseTable.id).where(_within(span)) for span in spans]
        return [select(JobTable.case_id).where(self.fits)]


def _in_its_box(categories: tuple[str, ...]) -> ColumnElement[bool]:
    """Whether it is the job of such a category, or its case has none: the setup may have changed since."""
    sister = aliased(JobTable)
    other = exists().where(sister.case_id == JobTable.case_id, sister.category.in_(categories))
    return or_(JobTable.category.in_(categories), ~other)


def _stands(standing: str) -> ColumnElement[bool]:
    if standing == "open":
        return ~IS_CLOSED
    return JobTable.finished.is_not(None) if standing == "finished" else JobTable.state == standing


def _within(span: Span) -> ColumnElement[bool]:
    first, last = datetime.combine(span[0], time()), datetime.combine(span[1] + timedelta(1), time())
    return and_(CaseTable.arrived >= first, CaseTable.arrived < last)


Alternative = tuple[Condition, ...]
"""One way to read a part: each condition has to fit."""
