"""Closes the day: nothing is open without a reason, and it is kept who closed it, in which numbers and when."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from intake.desk.desk import Desk
from intake.desk.evening import LeftOver, Settled, evening
from intake.desk.evening import left_over as left_over
from intake.domain.wording import counted, listed
from intake.domain.written_dates import shown_day, shown_moment
from intake.errors import IntakeError
from intake.store.closing_rows import ClosingRow, NewClosing

LONGEST = 200
"""Letters of a reason."""
FEW = 3


class NotClosed(IntakeError):
    """Something is open without a reason, or the day has not come."""


@dataclass(frozen=True)
class Closed:
    """A day that was closed."""

    closing: ClosingRow
    settled: tuple[Settled, ...]
    says: str
    """Who closed it, when, and with how much left over."""


def close_day(desk: Desk, reasons: Mapping[str, str], day: date | None = None) -> Closed:
    """Closes a day: today, or one before it. What was closed before is closed anew; the history keeps both.

    Args:
        desk: The desk; who is at it closes the day.
        reasons: Why what is left over is left, by its key. What is no longer left over is passed over.
        day: The day.

    Raises:
        NotClosed: something is left over without a reason, or the day has not come.
    """
    today = desk.now().date()
    day = day or today
    if day > today:
        raise NotClosed(f"{shown_day(day)} has not come yet, so it cannot be closed.")
    with desk.work() as work:  # no other desk writes now: what is counted is what is closed
        found = evening(desk)
        said = {key: reason.strip()[:LONGEST] for key, reason in reasons.items() if reason.strip()}
        if silent := [each for each in found.left if each.key not in said]:
            raise NotClosed(_still_to_say(silent))
        left = tuple({"what": each.kind, "about": each.about, "reason": said[each.key]} for each in found.left)
        counts = desk.store.read.day_counts(day)
        work.closings.add(NewClosing(day, counts, left, sum(each.count for each in found.settled)))
        work.drafts.clear(_draft(desk))
        work.commit()
    closing = desk.store.read.closing_of(day)
    assert closing is not None
    return Closed(closing, found.settled, closed_words(closing, today))


def closed_words(closing: ClosingRow, today: date) -> str:
    """Who closed a day and when: `Wed 25 Nov 2026 was closed by AB at 17:40, with 2 things left over.`."""
    left = f", with {counted(len(closing.left), 'thing')} left over" if closing.left else ", with nothing left over"
    when = f"at {closing.at:%H:%M}" if closing.at.date() == closing.day else f"on {shown_moment(closing.at)}"
    return f"{shown_day(closing.day)} was closed by {closing.who} {when}{left}."


def keep_reasons(desk: Desk, day: date, reasons: Mapping[str, str]) -> None:
    """Keeps the reasons that were given so far, so that leaving, a crash or the night loses none."""
    with desk.work() as work:
        work.drafts.keep(_draft(desk), {"day": day.isoformat(), "reasons": dict(reasons)})
        work.commit()


def kept_reasons(desk: Desk, day: date) -> dict[str, str]:
    """The reasons that were given for a day before it was left unclosed."""
    draft = desk.store.read.draft(_draft(desk))
    if draft is None or draft.content.get("day") != day.isoformat():
        return {}
    return {str(key): str(reason) for key, reason in draft.content.get("reasons", {}).items()}


def _draft(desk: Desk) -> str:
    return f"{desk.name} closing"


def _still_to_say(silent: list[LeftOver]) -> str:
    named = [each.about for each in silent[:FEW]]
    more = [f"{len(silent) - FEW} more"] if len(silent) > FEW else []
    what = "1 thing still needs" if len(silent) == 1 else f"{len(silent)} things still need"
    return f"The day is not closed: {what} a reason: {listed([*named, *more])}."
