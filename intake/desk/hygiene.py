"""Hygiene: how a case stands before it is handed on, and disinfections done here."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from intake.desk.arrivals import kept_case
from intake.desk.desk import Desk
from intake.desk.linked import came_of
from intake.desk.parcel_arrivals import practice_of_parcel
from intake.domain.case import Case
from intake.domain.circumstances import hygiene_meant
from intake.domain.form import read_form
from intake.domain.hygiene import (
    MOST_MINUTES,
    DoneHere,
    HygieneStanding,
    second_time,
    short_warning,
    standing_of_case,
    water_based,
)
from intake.domain.parcels import TO_BOOK
from intake.domain.practice import Practice, StandingInstruction
from intake.domain.wording import capital
from intake.domain.written_dates import short_day
from intake.errors import IntakeError
from intake.store.meanwhile import NotThere
from intake.store.parcel_rows import ContentRow, DisinfectionRow, ParcelRow

HYGIENE = "hygiene-status"
"""The requirement that a practice's standing statement answers."""


class NotSaid(IntakeError):
    """A disinfection without an agent, or without a time that can be."""


@dataclass(frozen=True)
class DisinfectionLine:
    """A disinfection done here."""

    disinfection_id: int
    at: datetime
    who: str
    agent: str
    minutes: int
    parcel_id: int | None
    case_id: int | None
    says: str


@dataclass(frozen=True)
class Disinfected:
    """A disinfection that was entered, with what is to be told about it."""

    disinfection_id: int
    says: str
    warning: str
    """A second disinfection of what takes up water, or a time shorter than the lab's list; empty when all is well."""


def hygiene_of(desk: Desk, case_id: int) -> HygieneStanding:
    """How a case stands: declared, standing, disinfected-here, to-disinfect or not-needed. Raises NotThere.

    What came for it in a later parcel that declares nothing is to be disinfected, whatever the first one declared.
    """
    row = desk.store.read.case(case_id)
    if row is None:
        raise NotThere(f"There is no case {case_id} here.")
    parcels, done = _done_to(desk, case_id)
    statement = standing_statement_of(desk.practice_of(row.case))
    in_order = sorted(parcels.values(), key=lambda parcel: (parcel.at, parcel.parcel_id))
    later = [
        f"{'a parcel' if parcel.facts.way == 'post' else 'what was handed in'} of {short_day(parcel.at.date())}"
        for parcel in in_order[1:]
        if parcel.facts.hygiene == "not-declared" and statement is None
        if not any(each.parcel_id == parcel.parcel_id or (each.case_id and each.at >= parcel.at) for each in done)
    ]
    return standing_of_case(row.case, statement, done_here(done), desk.lab, later)


def standing_statement(desk: Desk, practice: str) -> str:
    """What a practice has said of all that it sends, by its code or name; empty where it has said nothing."""
    code, _ = practice_of_parcel(practice, desk.practices())
    row = desk.store.read.practice(code) if code else None
    statement = standing_statement_of(row.practice if row else None)
    return statement.says if statement is not None else ""


def standing_statement_of(practice: Practice | None) -> StandingInstruction | None:
    """A practice's standing statement that everything it sends is disinfected."""
    return practice.standing_for(HYGIENE, None) if practice is not None else None


def second_warning(desk: Desk, *, parcel_id: int | None = None, case_id: int | None = None) -> str:
    """What to tell before something is disinfected once more; empty where nothing speaks against it.

    Raises NotThere.
    """
    if case_id is not None:
        return _warning_of_case(desk, case_id)
    assert parcel_id is not None, "a disinfection is of a parcel or of a case"
    return _warning_of_parcel(desk, parcel_id)


def disinfect(
    desk: Desk, agent: str, minutes: int, *, who: str = "", parcel_id: int | None = None, case_id: int | None = None
) -> Disinfected:
    """Enters a disinfection of everything in a parcel, or of one case. `who` is the desk's person when empty.

    Raises NotSaid where the agent or the time is missing, and NotThere.
    """
    if not agent.strip():
        raise NotSaid("Say with what it was disinfected: the agent stands in the history.")
    if not 1 <= minutes <= MOST_MINUTES:
        raise NotSaid(f"Say for how many minutes, from 1 to {MOST_MINUTES}; the maker’s instructions have the figure.")
    warning = second_warning(desk, parcel_id=parcel_id, case_id=case_id)
    done = DoneHere(agent.strip(), minutes, who.strip() or desk.person, desk.now())
    with desk.work() as work:
        entered = work.parcels.hygiene.disinfected(
            done.agent,
            minutes,
            done.who,
            parcel_id=None if case_id is not None else parcel_id,
            case_id=case_id,
            case_ids=_cases_in(desk, parcel_id) if case_id is None else (),
        )
        work.commit()
    told = " ".join(filter(None, (short_warning(agent, minutes, desk.lab), warning)))
    return Disinfected(entered, f"{capital(done.says)}.", told)


def take_disinfection_back(desk: Desk, disinfection_id: int) -> None:
    """Takes an entry back that was a mistake; it stays in the history. Raises NotThere, or NotNow where it was."""
    row = desk.store.read.disinfection(disinfection_id)
    with desk.work() as work:
        work.parcels.hygiene.take_back(disinfection_id, _cases_in(desk, row.parcel_id if row else None))
        work.commit()


def disinfection_line(row: DisinfectionRow) -> DisinfectionLine:
    """A disinfection with its sentence."""
    return DisinfectionLine(**vars(row), says=f"{capital(_done(row).says)}.")


def done_here(rows: Iterable[DisinfectionRow]) -> tuple[DoneHere, ...]:
    """Disinfections as the domain knows them."""
    return tuple(map(_done, rows))


def _done(row: DisinfectionRow) -> DoneHere:
    return DoneHere(row.agent, row.minutes, row.who, row.at)


def _done_to(desk: Desk, case_id: int) -> tuple[dict[int, ParcelRow], list[DisinfectionRow]]:
    """The parcels that a case came in, and every disinfection of them and of it.

    So it is with those of the case that it was split off from, or made anew of, as far as they were there before.
    """
    read, before = desk.store.read, came_of(desk, case_id)
    own = {each.parcel_id for each in read.contents_of_case(case_id)}
    parcels = dict(read.parcels(own))
    for other, until in before.items():
        came = read.parcels({each.parcel_id for each in read.contents_of_case(other)} - own)
        parcels |= {parcel_id: parcel for parcel_id, parcel in came.items() if parcel.at <= until}
    done = read.disinfections(parcels, [case_id, *before])
    return parcels, [row for row in done if row.case_id not in before or row.at <= before[row.case_id]]


def _cases_in(desk: Desk, parcel_id: int | None) -> list[int]:
    contents = desk.store.read.contents_of([parcel_id]).get(parcel_id, ()) if parcel_id is not None else ()
    return [each.case_id for each in contents if each.case_id is not None and each.arrival_state == "booked"]


def _warning_of_case(desk: Desk, case_id: int) -> str:
    row = desk.store.read.case(case_id)
    if row is None:
        raise NotThere(f"There is no case {case_id} here.")
    done = done_here(_done_to(desk, case_id)[1])
    statement = standing_statement_of(desk.practice_of(row.case))
    meant = hygiene_meant(row.case)
    declared = meant == "disinfected" or (meant == "unknown" and statement is not None)
    return second_time(done, declared, water_based([row.case], desk.lab), unknown=False)


def _warning_of_parcel(desk: Desk, parcel_id: int) -> str:
    row = desk.store.read.parcel(parcel_id)
    if row is None:
        raise NotThere(f"There is no parcel {parcel_id}.")
    contents = desk.store.read.contents_of([parcel_id]).get(parcel_id, ())
    cases = [case for each in contents if (case := _case_of(desk, each)) is not None]
    done = done_here(desk.store.read.disinfections([parcel_id], _cases_in(desk, parcel_id)))
    declared = row.facts.hygiene != "not-declared" or any(case.hygiene == "disinfected" for case in cases)
    unknown = not contents or any(_may_be_impressions(each, _case_of(desk, each)) for each in contents)
    return second_time(done, declared, water_based(cases, desk.lab), unknown)


def _may_be_impressions(content: ContentRow, case: Case | None) -> bool:
    """Whether there can be impressions in something of which it is not entered what came."""
    return content.kind in TO_BOOK - {"repair"} and (case is None or not case.items)


def _case_of(desk: Desk, content: ContentRow) -> Case | None:
    """The case that a thing in a parcel is, booked or as far as its form says."""
    if content.arrival_state == "booked" and content.case_id is not None:
        row = desk.store.read.case(content.case_id)
        return row.case if row is not None else None
    arrival = desk.store.read.arrival(content.arrival_id) if content.arrival_id is not None else None
    if arrival is None or "typed" not in arrival.prescription:
        return None
    typed: dict[str, str] = arrival.prescription["typed"]
    return read_form(typed, desk.lab, desk.practices(), desk.now(), kept_case(arrival.prescription)).case
