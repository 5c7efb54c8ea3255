"""The history of days that were closed and impressions that were poured in sentences."""

from collections.abc import Callable
from datetime import date

from intake.domain.wording import counted
from intake.domain.written_dates import shown_day
from intake.store.rows import EventRow


def _closed(event: EventRow) -> str:
    """A day that was closed, in its numbers."""
    details = event.details
    left = counted(details["left"], "thing") if details["left"] else "nothing"
    booked, handed_over = (details["counts"]["whole"][name] for name in ("booked", "handed_over"))
    again = " again" if details["again"] else ""
    return (
        f"{shown_day(date.fromisoformat(details['day']))} was closed{again}: {counted(booked, 'case')} booked, "
        f"{counted(handed_over, 'job')} handed over, {left} left over with a reason."
    )


SENTENCES: dict[str, Callable[[EventRow], str]] = {
    "day-closed": _closed,
    "impressions-poured": lambda event: "Its impressions were poured.",
    "pouring-taken-back": lambda event: "Noted as poured by mistake: its impressions are still to be poured.",
}
"""The sentence of each kind of event."""
