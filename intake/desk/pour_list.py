"""Says which impressions to pour first, and keeps that they were poured."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from pydantic import ValidationError

from intake.desk.desk import Desk
from intake.domain.case import Case, Item
from intake.domain.item_phrases import read_items
from intake.domain.job_number import read_number
from intake.domain.lab import Lab
from intake.domain.pour_order import Impression, Standing, is_to_pour, pour_work, what_words, when_words
from intake.domain.written_dates import DateUnclear
from intake.store.rows import ArrivalRow, CaseRow, JobRow

MOST = 500
"""So many cases are listed, what keeps least first; nobody pours more in a day without looking again."""


@dataclass(frozen=True)
class PourJob:
    """A job that the impressions of a case are for."""

    number: str
    shown: str
    category: str
    colour: str
    hex: str
    held: bool
    where: str
    """The bench that has its box, or gets it next; or reception."""


@dataclass(frozen=True)
class PourImpression:
    """One impression of a case, in words."""

    words: str
    """What it is: `upper, Alginate`."""
    when: str
    """Until when to pour it, from when on, and how sure that is."""
    standing: Standing
    estimated: bool


@dataclass(frozen=True)
class ToPour:
    """A booked case whose impressions nobody has poured yet."""

    case_id: int
    practice: str
    patient: str
    jobs: tuple[PourJob, ...]
    impressions: tuple[PourImpression, ...]
    """The one to pour first stands first."""
    left: str
    """How long the first of them keeps still, or since when it does not; empty where that is not known."""

    @property
    def first(self) -> PourImpression:
        """The impression that decides where the case stands."""
        return self.impressions[0]


@dataclass(frozen=True)
class Unopened:
    """What waits to be booked in by post."""

    with_impression: int
    """How many arrivals are known to hold an impression."""
    not_known: int
    """How many of which nobody has said yet what they hold."""


@dataclass(frozen=True)
class Poured:
    """What was kept, to be taken back."""

    pouring_id: int
    said: str


def pour_list(desk: Desk, most: int = MOST) -> tuple[ToPour, ...]:
    """What to pour, in the order in which to pour it."""
    read, now = desk.store.read, desk.now()
    ids = read.cases_to_pour(_where_poured(desk.lab))[:most]
    cases, jobs = read.cases(ids), read.jobs_of_cases(ids)
    works = []
    for case_id in ids:
        standing = [job for job in jobs[case_id] if job.state != "withdrawn" and job.finished is None]
        if any(_is_past_pouring(job, desk.lab) for job in jobs[case_id]):
            continue
        work = pour_work(_arrived(cases[case_id]), desk.lab, now)
        if work is not None:
            works.append((work, _line(cases[case_id], standing, work.impressions, desk)))
    return tuple(line for _, line in sorted(works, key=lambda each: each[0].first.rank))


def how_many_to_pour(desk: Desk) -> int:
    """How many cases there are to pour, listed or not; a few that are past the bench may be among them."""
    return len(desk.store.read.cases_to_pour(_where_poured(desk.lab)))


def unopened(desk: Desk) -> Unopened:
    """How many arrivals by post still wait that hold an impression, or may hold one."""
    waiting = [row for row in desk.store.read.arrivals("waiting") if row.stream == "post"]
    items = [_items(desk, row) for row in waiting]
    known = sum(any(is_to_pour(item) for item in found) for found in items)
    return Unopened(known, sum(not found for found in items))


def mark_poured(desk: Desk, case_id: int) -> Poured:
    """Keeps that the impressions of a case were poured, now, by whom is at the desk.

    Raises:
        NotThere: there is no such case.
        NotNow: it is withdrawn, or was poured already.
    """
    with desk.work() as work:
        pouring_id = work.pourings.pour(case_id)
        work.commit()
    jobs = [job for job in desk.store.read.jobs_of(case_id) if job.state != "withdrawn"]
    of = f" of {read_number(jobs[0].number).shown}" if jobs else ""
    return Poured(pouring_id, f"The impressions{of} are poured.")


def take_poured_back(desk: Desk, poured: Poured) -> None:
    """Takes back that impressions were poured; they are on the list again.

    Raises:
        NotNow: it was taken back before.
    """
    with desk.work() as work:
        work.pourings.take_back(poured.pouring_id)
        work.commit()


def print_pour_list(desk: Desk) -> int:
    """Lets a pour list wait for the printer; the document's id, to be issued."""
    with desk.work() as work:
        document_id = work.documents.add_sheet("pour-list", {"at": desk.now().isoformat(timespec="minutes")})
        work.commit()
    return document_id


def _where_poured(lab: Lab) -> tuple[str, ...]:
    return tuple(name for name, bench in lab.bench_by_name.items() if bench.pours)


def _is_past_pouring(job: JobRow, lab: Lab) -> bool:
    """Whether a job's box is at a bench behind the one that pours, though nobody saw it come out there."""
    category = lab.category_by_id.get(job.category)
    names = [step.bench for step in category.route] if category else []
    poured = [at for at, name in enumerate(names) if lab.bench_by_name[name].pours]
    return job.bench in names and bool(poured) and names.index(job.bench) > poured[0]


def _arrived(row: CaseRow) -> Case:
    return row.case if row.case.arrived else row.case.model_copy(update={"arrived": row.arrived})


def _line(row: CaseRow, jobs: Iterable[JobRow], impressions: tuple[Impression, ...], desk: Desk) -> ToPour:
    patient = row.case.patient
    return ToPour(
        case_id=row.case_id,
        practice=row.practice_name,
        patient=" · ".join(filter(None, (patient.label, patient.reference))),
        jobs=tuple(map(_job, jobs)),
        impressions=tuple(_told(impressions, desk.now())),
        left=_left(impressions[0].minutes_left),
    )


def _told(impressions: tuple[Impression, ...], now: datetime) -> Iterator[PourImpression]:
    """Impressions in words, those of one material and time together."""
    for (_, when), some in groupby(impressions, key=lambda each: (each.material, when_words(each, now))):
        alike = list(some)
        yield PourImpression(what_words(alike), when, alike[0].standing, bool(alike[0].estimated))


def _job(job: JobRow) -> PourJob:
    shown, where = read_number(job.number).shown, job.bench or "reception"
    held = job.state == "held"
    return PourJob(job.number, shown, job.category_name, job.box_colour, job.box_hex, held, where)


def _left(minutes: int | None) -> str:
    """`3 h 20 min left`, `over by 2 days`; days where they say enough."""
    if minutes is None:
        return ""
    span = abs(minutes)
    if span >= 48 * 60:
        told = f"{span // (24 * 60)} days"
    elif span >= 60:
        told = f"{span // 60} h {span % 60} min" if span % 60 else f"{span // 60} h"
    else:
        told = f"{span} min"
    return f"{told} left" if minutes >= 0 else f"over by {told}"


def _items(desk: Desk, row: ArrivalRow) -> tuple[Item, ...]:
    """What an arrival is known to hold; nothing where that cannot be read yet."""
    if "case" in row.prescription:
        return Case.model_validate(row.prescription["case"]).items
    try:
        return read_items(row.prescription.get("typed", {}).get("items", ""), desk.lab, desk.now().date()).items
    except (DateUnclear, ValidationError):
        return ()
