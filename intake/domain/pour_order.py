"""What to pour first: cases by the hour until which their impressions keep, with what has to wait and what is past it.

The order is that of instants, not of the clock on the wall, so that it holds over changes of the clocks; times are
shown on the lab's clock. Of a material that nobody said nothing is known: it may be one that keeps least, so it stands
where it would if its time were up when it arrived. The hours are the lab's table; the maker's figure for the product
goes before them (ISO 21563 has the maker state it), and what is past its limit is poured by nobody's list.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from intake.domain.case import Arch, Case, Item
from intake.domain.lab import Lab
from intake.domain.pouring import PourTimes, instants, lab_time, pour_times
from intake.domain.written_dates import short_day

Standing = Literal["past-limit", "unknown", "past-usual", "wait", "fresh"]
MARKS: dict[Standing, str] = {
    "past-limit": "Past its limit",
    "unknown": "Material not known",
    "past-usual": "At once",
    "wait": "Not yet",
    "fresh": "",
}
"""The word that stands out, by how the first impression of a case stands."""


@dataclass(frozen=True)
class Impression:
    """One impression that is to be poured; its times are the lab's local time."""

    arch: Arch | None
    material: str
    """Its name in the setup; of one that is not known, what was written of it."""
    standing: Standing
    by: datetime | None
    """None where its material is not known."""
    usual: datetime | None
    not_before: datetime | None
    estimated: str | None
    """From what its time was taken when the prescription does not say it."""
    minutes_left: int | None
    """Elapsed minutes until `by`; negative when that is past."""
    rank: datetime
    """The instant in UTC by which it is put in order."""


@dataclass(frozen=True)
class PourWork:
    """The impressions of one case, the first to be poured first."""

    impressions: tuple[Impression, ...]

    @property
    def first(self) -> Impression:
        """The one that decides where the case stands."""
        return self.impressions[0]


def is_to_pour(item: Item) -> bool:
    """Whether an item is an impression that lies in the bag."""
    return item.item == "impression" and item.source != "scan"


def pour_work(case: Case, lab: Lab, now: datetime) -> PourWork | None:
    """What of a case is to be poured; None where nothing is.

    Args:
        case: The case; where it does not say when it arrived, an unknown material is taken to be due now.
        lab: The lab setup.
        now: The lab's wall clock.

    Raises:
        ZoneUnknown: the lab's time zone is not known.
    """
    times = {dated.item: dated for dated in pour_times(case, lab)}
    arrived, _ = instants(case.arrived or now, lab)
    present = instants(now, lab)
    found = [
        _known(item, times[at], present, lab) if at in times else _unknown(item, arrived)
        for at, item in enumerate(case.items)
        if is_to_pour(item)
    ]
    return PourWork(tuple(sorted(found, key=lambda each: each.rank))) if found else None


def order(works: Iterable[PourWork]) -> tuple[PourWork, ...]:
    """Cases in the order in which to pour them; equal ones as they came."""
    return tuple(sorted(works, key=lambda work: work.first.rank))


def what_words(impressions: Sequence[Impression]) -> str:
    """What impressions of one material are: `upper and lower, Addition silicone`."""
    arches = [each.arch for each in impressions]
    named = [arch for arch in ("upper", "lower") if arch in arches or "both" in arches]
    return ", ".join(filter(None, (" and ".join(named), impressions[0].material)))


def when_words(impression: Impression, now: datetime) -> str:
    """When to pour, in a few words: `by Thu 26 Nov, 15:30, estimated`, `not before 15:30`."""
    if impression.by is None:
        return "not known: ask, or pour at once"
    told = f"by {_shown(impression.by, now)}"
    if impression.standing == "past-limit":
        told = f"was to be poured by {_shown(impression.by, now)}"
    elif impression.standing == "past-usual" and impression.usual is not None:
        told += f", past its usual time since {_shown(impression.usual, now)}"
    elif impression.standing == "wait" and impression.not_before is not None:
        told = f"not before {_shown(impression.not_before, now)}, {told}"
    return f"{told}, estimated" if impression.estimated else told


def _shown(moment: datetime, now: datetime) -> str:
    return f"{moment:%H:%M}" if moment.date() == now.date() else f"{short_day(moment.date())}, {moment:%H:%M}"


def _known(item: Item, times: PourTimes, present: tuple[datetime, datetime], lab: Lab) -> Impression:
    earliest, latest = present
    return Impression(
        arch=item.arch,
        material=times.material.name,
        standing=_standing(times, earliest, latest),
        by=lab_time(times.by, lab),
        usual=lab_time(times.usual, lab),
        not_before=lab_time(times.not_before, lab) if times.not_before else None,
        estimated=times.estimated,
        minutes_left=int((times.by - latest).total_seconds() // 60),
        rank=times.by,
    )


def _unknown(item: Item, arrived: datetime) -> Impression:
    written = item.material.strip() if item.material else ""
    material = f"“{written}”, which the setup does not know" if written else "material not said"
    return Impression(item.arch, material, "unknown", None, None, None, None, None, arrived)


def _standing(times: PourTimes, earliest: datetime, latest: datetime) -> Standing:
    """In the hour that comes twice nothing is called fresher, nor allowed sooner, than it may be."""
    if latest > times.by:
        return "past-limit"
    if times.not_before is not None and earliest < times.not_before:
        return "wait"
    return "past-usual" if latest > times.usual else "fresh"
