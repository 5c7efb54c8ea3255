"""The parcels of what waits to be booked in: which each came in, and its place there."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from intake.desk.desk import Desk

_END = 6
"""So many signs of a label tell the parcels of a day apart."""


@dataclass(frozen=True, order=True)
class InParcel:
    """The parcel that something waits of, and its place in it; the oldest parcel first."""

    at: datetime
    parcel_id: int
    position: int
    label: str = ""
    """Its label; empty where it has none."""
    stopped: bool = False
    """Whether nobody reaches in: nothing of it is booked until it goes on."""

    @property
    def shown(self) -> str:
        """What it is called where there is little room: the end of its label, or its number here."""
        return f"…{self.label[-_END:]}" if self.label else f"no. {self.parcel_id}"


def parcels_of_waiting(desk: Desk, arrival_ids: Sequence[int]) -> dict[int, InParcel]:
    """The parcel of each arrival that came in one."""
    contents = desk.store.read.contents_of_arrivals(arrival_ids) if arrival_ids else ()
    parcels = desk.store.read.parcels({each.parcel_id for each in contents}) if contents else {}
    return {
        each.arrival_id: InParcel(
            parcel.at, parcel.parcel_id, each.position, parcel.facts.label, parcel.state == "stopped"
        )
        for each in contents
        if each.arrival_id is not None and (parcel := parcels.get(each.parcel_id)) is not None
    }
