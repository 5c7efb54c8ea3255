"""The verdict on a case: its jobs and boxes, its dates and what is missing."""

from datetime import datetime

from intake.domain.bench_room import BenchRoom
from intake.domain.case import Case
from intake.domain.circumstances import repeated
from intake.domain.deadlines import count_deadlines
from intake.domain.facts import Facts
from intake.domain.findings import find
from intake.domain.lab import Category, Lab
from intake.domain.pouring import impression_ages, pour_by
from intake.domain.practice import Practice
from intake.domain.verdict import Deadlines, Finding, JobVerdict, Outlook, State, Verdict
from intake.domain.wording import counted
from intake.domain.written_dates import YEARS_AWAY, shown_day
from intake.errors import IntakeError

_GRAVITY: dict[Outlook, int] = {"comfortable": 0, "tight": 1, "late": 2}


def judge(
    case: Case,
    lab: Lab,
    practice: Practice | None,
    now: datetime,
    directory: bool = True,
    room: BenchRoom | None = None,
) -> Verdict:
    """Everything the lab says of a case.

    `practice` is the case's entry in the directory, if it has one; `directory` tells whether there is a directory
    at all. `now` and every time of the case are local times of the lab. `room` is given where the earliest appointment
    is to count the load of the benches.
    """
    parts = split_into_jobs(case, lab)
    deadlines: dict[str, Deadlines] = {}
    undated = None
    if case.appointment is not None:
        try:
            for category, _ in parts:
                deadlines[category.id] = count_deadlines(
                    case.appointment, category.route, case.arrived or now, now, practice, lab, room
                )
        except IntakeError as problem:  # an appointment beyond the years whose holidays are known, half typed perhaps
            deadlines, undated = {}, str(problem)
    findings = find(case, facts_of(case, lab, practice, now, directory, parts, deadlines), lab)
    jobs = tuple(
        JobVerdict(
            category=category.id,
            appliances=appliances,
            state=_state(findings, appliances),
            box=category.box,
            deadlines=deadlines.get(category.id),
        )
        for category, appliances in parts
    )
    state: State = "held" if any(finding.level == "stops" for finding in findings) else "clear"
    return Verdict(state=state, jobs=jobs, findings=findings, pour_by=pour_by(case, lab), undated=undated)


def split_into_jobs(case: Case, lab: Lab) -> list[tuple[Category, tuple[int, ...]]]:
    """The categories a case falls in, in the order of its appliances, each with the places of its appliances."""
    parts: dict[str, list[int]] = {}
    for index, appliance in enumerate(case.appliances):
        kind = lab.type_by_id.get(appliance.type)
        if kind is not None:
            parts.setdefault(kind.category, []).append(index)
    return [(lab.category_by_id[category], tuple(indices)) for category, indices in parts.items()]


def holds(finding: Finding, appliances: tuple[int, ...]) -> bool:
    """Whether a finding keeps the job with these appliances from the bench."""
    return finding.level == "stops" and concerns(finding, appliances)


def concerns(finding: Finding, appliances: tuple[int, ...]) -> bool:
    """Whether a finding speaks of the job with these appliances, or of the case as a whole."""
    return finding.appliance is None or finding.appliance in appliances


def _state(findings: tuple[Finding, ...], appliances: tuple[int, ...]) -> State:
    return "held" if any(holds(finding, appliances) for finding in findings) else "clear"


def facts_of(
    case: Case,
    lab: Lab,
    practice: Practice | None,
    now: datetime,
    directory: bool,
    parts: list[tuple[Category, tuple[int, ...]]],
    deadlines: dict[str, Deadlines],
) -> Facts:
    """What is known of a case beside the prescription, for the rules to look at.

    `parts` are its jobs as `split_into_jobs` gives them, `deadlines` their dates by category; both may be left empty
    where no rule looks at dates. The rest is as in `judge`.
    """
    worst = max((d.outlook for d in deadlines.values()), key=_GRAVITY.__getitem__, default=None)
    told = [
        f"{category.name} would have had to start by {shown_day(dates.latest_start)}, and the earliest start is "
        f"{shown_day(dates.start)}"
        if dates.outlook == "late"
        else f"{category.name} has {counted(dates.spare_days, 'working day')} to spare"
        for category, _ in parts
        if (dates := deadlines.get(category.id)) and dates.outlook == worst
    ]
    earliest = max((d.earliest_appointment for d in deadlines.values() if d.earliest_appointment), default=None)
    return Facts(
        practice=practice,
        directory=directory,
        day=(case.arrived or now).date(),
        outlook=worst,
        outlook_evidence="; ".join(told),
        earliest=earliest,
        repeated=repeated(case, lab),
        far_appointment=case.appointment is not None and abs(case.appointment.year - now.year) > YEARS_AWAY,
        ages=impression_ages(case, lab, now),
    )
