"""Dates that were counted anew, in words: what they are now, and what they were."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from intake.desk.recounting import Recount, Recounted
from intake.domain.verdict import Deadlines
from intake.domain.wording import counted, listed
from intake.domain.written_dates import shown_day, shown_moment

DATES = {
    "must_leave": "must leave",
    "latest_start": "latest start",
    "with_practice": "with the practice by",
    "reply_by": "reply by",
    "outlook": "",
}
"""The dates that are told of, in this order, and what stands before each."""


def change_words(changes: Mapping[str, Any]) -> str:
    """What changed: `must leave Mon 7 Dec 2026 instead of Tue 8 Dec 2026; late instead of tight`.

    Args:
        changes: By the names of `DATES`, what it was and what it is, as dates or as an event keeps them.
    """
    told = [_changed(words, *changes[name]) for name, words in DATES.items() if name in changes]
    return "; ".join(told)


def changes_of(each: Recount) -> str:
    """What changed of a job's dates. Where only a bench has another day, that is said."""
    before, after = each.job.deadlines, each.dates
    changes = {
        name: (getattr(before, name, None), getattr(after, name))
        for name in DATES
        if getattr(before, name, None) != getattr(after, name)
    }
    return change_words(changes) or f"other days at the benches: {_benches(after, before)}"


def recounted_words(recounted: Recounted) -> str:
    """What became of the open jobs, or would become of them, in a few sentences."""
    jobs = counted(recounted.of, "open job")
    if not recounted.of:
        return "There is no open job with an appointment."
    kept, stopped = recounted.kept, recounted.stopped
    told = [f"Stopped when {recounted.looked_at} of {jobs} were looked at."] if stopped else []
    if recounted.changed:
        told.append(_told(len(recounted.changed), ("has", "have") if kept else ("would get",), "other dates."))
    else:
        among = "of them" if stopped else f"of {jobs}"
        told.append(f"No date {among} {'has changed' if kept else 'would change'}.")
    if recounted.late:
        told.append(_told(len(recounted.late), ("has become", "have become") if kept else ("would become",), "late."))
    if holding := sum(each.holds_again for each in recounted.changed):
        told.append(_told(holding, ("is", "are") if kept else ("would be",), "in time again."))
    if recounted.not_counted:
        told.append(_told(len(recounted.not_counted), ("keeps", "keep"), "the old dates: new ones cannot be counted."))
    return " ".join(told)


def _told(count: int, verb: tuple[str, ...], what: str) -> str:
    return f"{counted(count, 'job')} {verb[0] if count == 1 else verb[-1]} {what}"


def _changed(words: str, before: Any, after: Any) -> str:
    instead = f" instead of {_shown(before)}" if before is not None else ""
    return f"{words} {_shown(after)}{instead}".strip()


def _shown(value: date | datetime | str) -> str:
    """A day, a moment or an outlook."""
    if isinstance(value, str) and value[:1].isdecimal():
        value = datetime.fromisoformat(value) if "T" in value else date.fromisoformat(value)
    if isinstance(value, str):
        return value
    return shown_moment(value) if isinstance(value, datetime) else shown_day(value)


def _benches(after: Deadlines, before: Deadlines | None) -> str:
    old = before.route if before is not None else ()
    return listed([f"{dated.bench} by {shown_day(dated.by)}" for dated in after.route if dated not in old])
