from datetime import date, datetime
from functools import cache

import pytest

from intake.domain.case import Case
from intake.domain.judging import concerns, holds, judge, split_into_jobs
from intake.domain.practice import Practice
from intake.domain.reading import read_case
from intake.resources import resource
from intake.setup.reading import read_setup

ARRIVED = datetime(2026, 11, 25, 8, 40)
MARLOW = Practice(code="MARLOW1", name="Marlowe House Dental Practice")
EXAMPLE = """
{"format": "intake-case/1",
 "practice": "MARLOW1",
 "prescriber": "Dr R. Ashdown",
 "patient": {"label": "J.T.", "reference": "20418", "under_18": false},
 "appliances": [
   {"type": "occlusal-splint-hard", "arch": "upper", "teeth": ["16", "UR5"],
    "options": {"thickness_mm": 3.0, "shade": null, "material": null, "colour": null}}],
 "items": [
   {"item": "impression", "arch": "upper", "material": "addition-silicone", "taken": "2026-11-24T15:30"},
   {"item": "bite-record", "kind": "centric"}],
 "hygiene": "disinfected",
 "appointment": "2026-12-10T09:30",
 "arrived": "2026-11-25T08:40",
 "notes": ""}
"""


@cache
def the_lab():
    return read_setup(resource("setup", "default.toml"))


def a_case(*appliances, **changes):
    values = {
        "practice": "MARLOW1",
        "prescriber": "Dr R. Ashdown",
        "patient": {"label": "J.T."},
        "appliances": appliances,
        "items": [{"item": "scan", "arch": "upper"}, {"item": "scan", "arch": "lower"}],
        "appointment": "2026-12-21T09:30",
        "arrived": ARRIVED,
    }
    return Case.model_validate(values | changes)


SPLINT = {"type": "occlusal-splint-hard", "arch": "upper", "options": {"thickness_mm": 2, "bite_opening_mm": 2}}
RETAINER = {"type": "vacuum-formed-retainer", "arch": "lower", "options": {"thickness_mm": 1}}
TRAY = {"type": "whitening-tray", "arch": "upper"}


def verdict(case, practice=MARLOW, now=ARRIVED, directory=True):
    return judge(case, the_lab(), practice, now, directory)


def test_the_example_of_the_prescription_file_gets_the_dates_of_its_verdict():
    judged = verdict(read_case(EXAMPLE, the_lab(), (MARLOW,)))
    (job,) = judged.jobs
    assert (job.category, job.appliances, job.state) == ("splints", (0,), "held")
    assert (job.box.colour, job.box.hex) == ("Blue", "#1f6fb4")
    dates = job.deadlines
    assert dates.latest_start == date(2026, 12, 2)
    assert dates.must_leave == date(2026, 12, 8)
    assert dates.with_practice == date(2026, 12, 9)
    assert dates.reply_by == datetime(2026, 12, 1, 12, 0)
    assert [(step.bench, step.by) for step in dates.route] == [
        ("Casting", date(2026, 12, 2)),
        ("Splints", date(2026, 12, 7)),
        ("Checking", date(2026, 12, 8)),
    ]
    assert (dates.outlook, dates.earliest_appointment) == ("comfortable", None)
    assert judged.pour_by.by == datetime(2026, 12, 8, 15, 30)


def test_the_example_is_held_for_its_opposing_arch():
    judged = verdict(read_case(EXAMPLE, the_lab(), (MARLOW,)))
    assert judged.state == "held"
    assert [(f.level, f.requirement, f.appliance) for f in judged.findings] == [
        ("stops", "opposing-arch", 0),
        ("asks", "bite-opening", 0),
    ]


def test_a_case_in_two_categories_becomes_two_jobs_and_each_has_its_own_state():
    judged = verdict(a_case(SPLINT, RETAINER))
    assert [(job.category, job.appliances, job.state) for job in judged.jobs] == [
        ("splints", (0,), "held"),
        ("retainers", (1,), "clear"),
    ]
    assert judged.state == "held"


def test_appliances_of_one_category_lie_in_one_box():
    parts = split_into_jobs(a_case(TRAY, RETAINER, TRAY | {"arch": "lower"}), the_lab())
    assert [(category.id, places) for category, places in parts] == [("whitening", (0, 2)), ("retainers", (1,))]


def test_what_the_case_lacks_as_a_whole_holds_every_job():
    judged = verdict(a_case(TRAY, RETAINER, prescriber=None))
    assert [job.state for job in judged.jobs] == ["held", "held"]


def test_what_is_only_asked_or_warned_of_holds_nothing():
    judged = verdict(a_case({"type": "sports-mouthguard"}, notes="allergic to latex"))
    assert {f.level for f in judged.findings} == {"asks", "warns"}
    assert [job.state for job in judged.jobs] == ["clear"]
    assert judged.state == "clear"


def test_a_finding_concerns_its_own_job_only():
    (finding,) = verdict(a_case(SPLINT, RETAINER)).findings
    assert holds(finding, (0,))
    assert not holds(finding, (1,))
    assert concerns(finding, (0, 1))


def test_without_an_appointment_there_are_no_dates_and_it_is_asked_for():
    judged = verdict(a_case(TRAY, appointment=None))
    assert judged.jobs[0].deadlines is None
    assert [(f.level, f.requirement) for f in judged.findings] == [("asks", "appointment-date")]
    assert judged.state == "clear"


def test_a_late_case_is_asked_about_with_the_day_that_would_hold():
    judged = verdict(a_case(TRAY, appointment="2026-11-27T10:00"))
    (finding,) = judged.findings
    assert finding.requirement == "appointment-feasible"
    assert finding.question == "Can the appointment be moved to Tue 1 Dec 2026 or later?"
    assert finding.because == (
        "Whitening would have had to start by Mon 23 Nov 2026, and the earliest start is Wed 25 Nov 2026. "
        "The work cannot be there in time."
    )
    assert judged.jobs[0].deadlines.earliest_appointment == date(2026, 12, 1)


def test_the_appointment_has_to_hold_for_all_jobs():
    """The retainer alone would be done in time: the splint of the same case is not, and the later day counts."""
    judged = verdict(a_case(SPLINT, RETAINER, appointment="2026-12-01T10:00"))
    assert [job.deadlines.outlook for job in judged.jobs] == ["late", "tight"]
    late = next(f for f in judged.findings if f.requirement == "appointment-feasible")
    assert late.question == "Can the appointment be moved to Thu 3 Dec 2026 or later?"
    assert late.because.startswith("Splints would have had to start by Mon 23 Nov 2026")


def test_what_arrives_after_the_cut_off_counts_from_the_next_working_day():
    afternoon = datetime(2026, 11, 25, 14, 50)
    case = a_case(TRAY, appointment="2026-12-01T10:00")
    assert verdict(case).jobs[0].deadlines.outlook == "tight"
    late = verdict(case.model_copy(update={"arrived": afternoon}), now=afternoon)
    assert late.jobs[0].deadlines.outlook == "late"


def test_a_case_without_a_time_of_arrival_is_judged_from_now():
    assert verdict(a_case(TRAY, arrived=None)).jobs[0].deadlines.start == date(2026, 11, 25)


def test_without_a_directory_a_code_is_taken_at_its_word():
    assert verdict(a_case(TRAY), practice=None, directory=False).findings == ()
    (finding,) = verdict(a_case(TRAY), practice=None).findings
    assert finding.because.startswith("“MARLOW1” is not in the directory and came without a name and address.")


@pytest.mark.parametrize("kind", sorted(t.id for t in the_lab().types))
def test_every_type_falls_in_the_category_of_the_table(kind):
    """The lab's table of types and categories; common practice, no source."""
    category = {
        "occlusal-splint-hard": "splints",
        "occlusal-splint-dual": "splints",
        "occlusal-splint-soft": "splints",
        "anterior-splint": "splints",
        "vacuum-formed-retainer": "retainers",
        "wire-retainer": "retainers",
        "bonded-retainer": "retainers",
        "whitening-tray": "whitening",
        "sports-mouthguard": "mouthguards",
        "advancement-appliance": "sleep",
        "functional-appliance": "orthodontic",
        "expansion-appliance": "orthodontic",
        "removable-spring-appliance": "orthodontic",
        "space-maintainer": "orthodontic",
        "aligner-set": "aligners",
        "partial-plate-with-tooth": "plates",
        "study-model": "models",
        "repair": "repairs",
    }[kind]
    (job,) = verdict(a_case({"type": kind})).jobs
    assert job.category == category
