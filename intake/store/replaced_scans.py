"""Scans of tickets that no longer count, as the history has them: once a copy and day."""

from datetime import date, datetime, time, timedelta

from sqlalchemy import select

from intake.store.columns import canonical
from intake.store.selects import AnySelect
from intake.store.tables import EventTable

KIND = "ticket-replaced-scanned"


def told_of(copy: int) -> dict[str, int]:
    """What the event says of a scanned copy."""
    return {"copy": copy}


def scans_noted(case_id: int, number: str, copy: int, day: date) -> AnySelect:
    """The events that say that a copy of a job's ticket was scanned on a day."""
    begin = datetime.combine(day, time())
    of_day = EventTable.at >= begin, EventTable.at < begin + timedelta(days=1)
    of_ticket = EventTable.case_id == case_id, EventTable.kind == KIND, EventTable.job == number
    return select(EventTable.seq).where(*of_ticket, *of_day, EventTable.details == canonical(told_of(copy))).limit(1)
