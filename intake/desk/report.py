"""A verdict as lines of text, the way a technician would say it."""

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import datetime

from intake.desk.check import Checked
from intake.domain.case import Case
from intake.domain.judging import concerns
from intake.domain.lab import Lab
from intake.domain.verdict import Deadlines, Finding, JobVerdict, PourBy, Verdict
from intake.domain.wording import OUTLOOK_WORDS, appliance_name, item_words
from intake.domain.written_dates import short_day, shown_day, shown_moment

WIDTH = 110
"""Columns at most that a line of a report takes on a screen."""
_INDENT = 9
"""Where the words of a finding begin, behind its level; and where every line goes on that is too long."""


def report_lines(checked: Checked, lab: Lab) -> Iterator[str]:
    """The lines to print for one checked file."""
    if checked.unreadable is not None:
        yield f"{checked.file}: not a prescription"
        for error in checked.unreadable.errors:
            yield f"  {error.where + ': ' if error.where else ''}{error.what}"
        return
    assert checked.verdict is not None
    assert checked.case is not None
    yield f"{checked.file}: {checked.verdict.state}"
    yield from verdict_lines(checked.case, checked.verdict, lab, checked.at)


def verdict_lines(case: Case, verdict: Verdict, lab: Lab, now: datetime) -> Iterator[str]:
    """The jobs with their dates, then what to ask; dates that are past by `now` are said to be."""
    for job in verdict.jobs:
        yield from _job_lines(job, case, verdict, lab, now)
    if verdict.pour_by:
        yield _pour_line(verdict.pour_by, case, now)
    for finding in verdict.findings:
        yield from _finding_lines(finding, case, lab)


def wrapped(lines: Iterable[str], width: int = WIDTH) -> Iterator[str]:
    """Lines of a report, none longer than so many columns; words and codes are never broken."""
    for line in lines:
        yield from textwrap.wrap(
            line, width, subsequent_indent=" " * _INDENT, break_long_words=False, break_on_hyphens=False
        ) or [line]


def _job_lines(job: JobVerdict, case: Case, verdict: Verdict, lab: Lab, now: datetime) -> Iterator[str]:
    category, box = lab.category_by_id[job.category], job.box
    yield f"  {category.name}, {box.colour} box, {job.state}: {_appliances(job, case, lab)}"
    if job.deadlines is None:
        yield f"    No dates: {verdict.undated or 'no appointment is given.'}"
        return
    asked = any(f.level != "warns" and concerns(f, job.appliances) for f in verdict.findings)
    yield from (f"    {line}" for line in _date_lines(job.deadlines, asked, now))


def _date_lines(dates: Deadlines, asked: bool, now: datetime) -> Iterator[str]:
    leave, start = shown_day(dates.must_leave), short_day(dates.latest_start)
    yield f"Must leave {leave}, latest start {start}: {OUTLOOK_WORDS[dates.outlook]}."
    yield ", ".join(f"{step.bench} by {short_day(step.by)}" for step in dates.route) + "."
    if dates.earliest_appointment:
        yield f"The earliest appointment that would hold is {shown_day(dates.earliest_appointment)}."
    elif asked:
        past = ", which is past: telephone" if dates.reply_by < now else ""
        yield f"Reply by {shown_moment(dates.reply_by)}{past}."


def _appliances(job: JobVerdict, case: Case, lab: Lab) -> str:
    counted = Counter(appliance_name(case.appliances[index], lab) for index in job.appliances)
    return ", ".join(name + _TIMES.get(times, f" ({times} times)") for name, times in counted.items())


_TIMES = {1: "", 2: " (twice)"}


def _pour_line(pour: PourBy, case: Case, now: datetime) -> str:
    what, by = item_words(case.items[pour.item]), shown_moment(pour.by)
    counted = f" (counted {pour.estimated})" if pour.estimated else ""
    if pour.by < now:
        return f"  Pour by is past: the {what} should have been poured by {by}{counted}."
    return f"  Pour by {by}{counted}: the {what}."


def _finding_lines(finding: Finding, case: Case, lab: Lab) -> Iterator[str]:
    name = appliance_name(case.appliances[finding.appliance], lab) if finding.appliance is not None else ""
    about = f" [{name}]" if len(case.appliances) > 1 and name not in finding.question else ""
    yield f"  {finding.level:<{_INDENT - 2}}{finding.requirement}{about}: {finding.question}"
    yield f"{'':{_INDENT}}{finding.because}"
