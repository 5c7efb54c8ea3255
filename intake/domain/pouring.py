"""Until when impressions can be poured, and how old they are.

Hours are elapsed hours, counted through UTC: 100 hours over a change of the clocks are 100 hours, whatever the clock on
the wall shows. Times go in and come out as the lab's local time, without a time zone. The figures are the lab's own, by
material; the maker's figure for the product at hand goes before any table (ISO 21563 has the maker state it).
"""

from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from typing import Literal, NamedTuple
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from intake.domain.case import Case, Frozen, Item
from intake.domain.lab import ImpressionMaterial, Lab
from intake.domain.verdict import PourBy
from intake.domain.written_dates import shown_moment
from intake.errors import IntakeError

_EARLIEST, _LATEST = datetime(1900, 1, 1), datetime(9000, 1, 1)
"""Beyond these a mistyped year could not be counted with; within them it is merely very old or far away."""
Freshness = Literal["fresh", "past-usual", "past-limit"]


class ZoneUnknown(IntakeError):
    """The lab's time zone is not in the time zone database."""


class ImpressionAge(Frozen):
    """How old an impression is, against what its material allows."""

    item: int
    """Its place among the case's items, from 0."""
    material: str
    hours: float
    """Elapsed hours since it was taken; negative when it is said to be taken later than now."""
    state: Freshness
    estimated: str | None
    """From what the time was taken when the prescription does not say it: "from the day it arrived"."""


class _Taken(NamedTuple):
    """When an impression was taken, as well as it is known."""

    at: datetime
    """In UTC."""
    estimated: str | None


class PourTimes(NamedTuple):
    """Between when an impression is to be poured: instants in UTC, so that they compare over changes of the clocks."""

    item: int
    """Its place among the case's items, from 0."""
    material: ImpressionMaterial
    by: datetime
    usual: datetime
    """When it should be poured by the material's usual figure."""
    not_before: datetime | None
    estimated: str | None
    """From what the time was taken when the prescription does not say it."""


def pour_times(case: Case, lab: Lab) -> tuple[PourTimes, ...]:
    """The times of a case's impressions of known materials, in the order of its items.

    Raises:
        ZoneUnknown: the lab's time zone is not known.
    """
    return tuple(_times(*dated) for dated in _dated_impressions(case, lab))


def instants(local: datetime, lab: Lab) -> tuple[datetime, datetime]:
    """The earliest and the latest instant in UTC that a local time of the lab can mean.

    They are the same, but in the hours when the clocks change.

    Raises:
        ZoneUnknown: the lab's time zone is not known.
    """
    readings = _readings(local, lab.calendar.zone)
    return min(readings), max(readings)


def lab_time(at: datetime, lab: Lab) -> datetime:
    """An instant in UTC on the lab's wall clock, without a time zone.

    Raises:
        ZoneUnknown: the lab's time zone is not known.
    """
    return at.astimezone(_zone(lab.calendar.zone)).replace(tzinfo=None, fold=0)


def pour_by(case: Case, lab: Lab) -> PourBy | None:
    """Until when the first impression of a case has to be poured.

    Of all impressions of a known material the one with the earliest limit counts. None where there is no such
    impression, or nothing is known of when it was taken, posted or arrived.

    Raises:
        ZoneUnknown: the lab's time zone is not known.
    """
    first = min(pour_times(case, lab), key=lambda times: (times.by, times.item), default=None)
    if first is None:
        return None
    return PourBy(
        item=first.item,
        by=lab_time(first.by, lab),
        usual=lab_time(first.usual, lab),
        not_before=lab_time(first.not_before, lab) if first.not_before else None,
        estimated=first.estimated,
    )


def impression_ages(case: Case, lab: Lab, now: datetime) -> tuple[ImpressionAge, ...]:
    """The ages of a case's impressions of known materials, in the order of its items; `now` is local time."""
    _, present = instants(now, lab)
    return tuple(_age(index, material, taken, present) for index, material, taken in _dated_impressions(case, lab))


def describe_pour_by(pour: PourBy, case: Case, lab: Lab) -> str:
    """Until when to pour and why, in a sentence or two; the maker's own figure goes before the lab's table."""
    material = known_material(case.items[pour.item], lab)
    name = material.name if material else "the impression"
    told = f"Pour by {shown_moment(pour.by)} ({name}"
    told += f", {_hours(material.limit_hours)}" if material else ""
    told += f", counted {pour.estimated})" if pour.estimated else ")"
    if pour.usual < pour.by:
        told += f", better by {shown_moment(pour.usual)}"
    if pour.not_before:
        told += f", not before {shown_moment(pour.not_before)}"
    keep = f" {material.keep[:1].upper()}{material.keep[1:].rstrip('.')}." if material and material.keep else ""
    return f"{told}.{keep} Where the maker gives another time for the product, that time counts."


def known_material(item: Item, lab: Lab) -> ImpressionMaterial | None:
    """The impression material of an item, by its id, its name or another word for it; None where there is none."""
    if item.item != "impression" or not item.material:
        return None
    written = item.material.casefold().strip()
    return lab.material_by_id.get(written) or next(
        (m for m in lab.materials if written in (m.name.casefold(), *(word.casefold() for word in m.words))), None
    )


def is_after(moment: datetime | date | None, arrived: datetime | None) -> bool:
    """Whether something is said to have been done after it arrived, which cannot be; of a day its beginning counts."""
    if moment is None or arrived is None:
        return False
    return (moment if isinstance(moment, datetime) else datetime.combine(moment, time.min)) > arrived


def _dated_impressions(case: Case, lab: Lab) -> list[tuple[int, ImpressionMaterial, _Taken]]:
    return [
        (index, material, taken)
        for index, item in enumerate(case.items)
        if (material := known_material(item, lab)) and (taken := _taken(item, case, lab.calendar.zone))
    ]


def _taken(item: Item, case: Case, zone: str) -> _Taken | None:
    """When an impression was taken; of a day its beginning, so that nothing is called fresher than it is.

    What is dated later than it arrived is a slip of the pen: the next best that is known counts.
    """
    if isinstance(item.taken, datetime) and not is_after(item.taken, case.arrived):
        return _Taken(min(_readings(item.taken, zone)), None)
    known: tuple[tuple[date | None, str], ...] = (
        (item.taken, "from the beginning of the day it was taken"),
        (case.posted, "from the day it was posted"),
        (case.arrived, "from the day it arrived"),
    )
    for day, estimated in known:
        if day is not None and not is_after(day, case.arrived):
            return _Taken(min(_readings(datetime(day.year, day.month, day.day), zone)), estimated)
    return None


def _times(index: int, material: ImpressionMaterial, taken: _Taken) -> PourTimes:
    def after(hours: float) -> datetime:
        return taken.at + timedelta(hours=hours)

    return PourTimes(
        item=index,
        material=material,
        by=after(material.limit_hours),
        usual=after(material.usual_hours),
        not_before=after(material.not_before_hours) if material.not_before_hours else None,
        estimated=taken.estimated,
    )


def _age(index: int, material: ImpressionMaterial, taken: _Taken, present: datetime) -> ImpressionAge:
    hours = (present - taken.at) / timedelta(hours=1)
    state: Freshness = "fresh"
    if hours > material.limit_hours:
        state = "past-limit"
    elif hours > material.usual_hours:
        state = "past-usual"
    return ImpressionAge(item=index, material=material.name, hours=hours, state=state, estimated=taken.estimated)


def _hours(number: float) -> str:
    return f"{number:g} hour{'' if number == 1 else 's'}"


def _readings(local: datetime, zone: str) -> tuple[datetime, datetime]:
    """The two instants in UTC that a local time can mean: the same one, but in the hours when the clocks change."""
    sane = min(max(local, _EARLIEST), _LATEST)
    first, second = (sane.replace(tzinfo=_zone(zone), fold=fold).astimezone(UTC) for fold in (0, 1))
    return first, second


@lru_cache(maxsize=8)
def _zone(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise ZoneUnknown(f"There is no time zone “{name}”. Write it as Europe/London or Europe/Dublin.") from None
