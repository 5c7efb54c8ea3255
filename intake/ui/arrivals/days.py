"""The dates of a verdict as the strip of days shows them."""

from datetime import date, datetime, timedelta

from intake.domain.calendar import WorkingCalendar, lab_calendar, practice_calendar
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.verdict import Deadlines, JobVerdict, Verdict
from intake.domain.written_dates import shown_day
from intake.errors import IntakeError
from intake.ui.strip_view import StripView

UNKNOWN_YEAR = "bank holidays of {year} are not known"


def most_pressing(verdict: Verdict) -> JobVerdict | None:
    """The job that has the least time, of those with dates."""
    dated = [job for job in verdict.jobs if job.deadlines is not None]
    return min(dated, key=lambda job: job.deadlines.spare_days if job.deadlines else 0, default=None)


def days_of(verdict: Verdict, lab: Lab, practice: Practice | None, now: datetime) -> StripView | None:
    """The strip of the job that has the least time; None where no dates are known."""
    job = most_pressing(verdict)
    if job is None or job.deadlines is None:
        return None
    dates = job.deadlines
    name = lab.category_by_id[job.category].name if len(verdict.jobs) > 1 else ""
    last = max(dates.appointment, dates.earliest_appointment or dates.appointment)
    days = _days(min(now.date(), dates.latest_start, dates.reply_by.date()), last)
    asked = any(finding.level != "warns" for finding in verdict.findings)
    return StripView(
        today=now.date(),
        appointment=dates.appointment,
        outlook=dates.outlook,
        slack=slack_words(dates, name),
        latest_start=dates.latest_start,
        must_leave=dates.must_leave,
        reply_by=dates.reply_by if asked else None,
        pour_by=verdict.pour_by.by if verdict.pour_by else None,
        would_hold=dates.earliest_appointment,
        closed=_closed(days, lab),
        practice_open=_practice_open(days, lab, practice),
    )


def slack_words(dates: Deadlines, job: str = "") -> str:
    """The outlook in a sentence; with the job's name where a case has several."""
    days = "1 working day" if abs(dates.spare_days) == 1 else f"{abs(dates.spare_days)} working days"
    begins = f"{job}: {dates.outlook}" if job else dates.outlook.capitalize()
    if dates.earliest_appointment is not None:
        return f"{begins} by {days}; {shown_day(dates.earliest_appointment)} would hold"
    return f"{begins}, {days} to spare" if dates.spare_days else f"{begins}, nothing to spare"


def _days(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def _closed(days: list[date], lab: Lab) -> dict[date, str]:
    calendar = lab_calendar(lab.calendar)
    reasons = {day: _why_closed(calendar, day) for day in days}
    return {day: reason.removeprefix("Closed: ") for day, reason in reasons.items() if reason is not None}


def _practice_open(days: list[date], lab: Lab, practice: Practice | None) -> frozenset[date]:
    calendar = practice_calendar(practice, lab)
    return frozenset(day for day in days if _why_closed(calendar, day) is None)


def _why_closed(calendar: WorkingCalendar, day: date) -> str | None:
    """Why a day is not worked; a day of a year whose holidays are not known is shown as closed, and why."""
    try:
        return calendar.why_closed(day)
    except IntakeError:
        return UNKNOWN_YEAR.format(year=day.year)
