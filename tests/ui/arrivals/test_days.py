"""The strip of days of a verdict."""

from datetime import date, datetime

import pytest

from intake.domain.case import Appliance, Case, Item
from intake.domain.judging import judge
from intake.ui.arrivals.days import days_of, most_pressing, slack_words

NOW = datetime(2026, 11, 25, 9, 0)


def verdict_on(lab, *kinds, appointment=date(2026, 12, 10)):
    appliances = tuple(Appliance(type=kind, arch="upper") for kind in kinds)
    case = Case(appliances=appliances, items=(Item(item="scan", arch="upper"),), appointment=appointment, arrived=NOW)
    return judge(case, lab, None, NOW)


def test_the_worked_example_of_a_splint(lab):
    # The dates of the worked example in the project's own design: appointment Thu 10 Dec 2026, one delivery day,
    # Casting 1, Splints 3 and Checking 1 working days.
    view = days_of(verdict_on(lab, "occlusal-splint-hard"), lab, None, NOW)
    assert (view.latest_start, view.must_leave) == (date(2026, 12, 2), date(2026, 12, 8))
    assert view.reply_by == datetime(2026, 12, 1, 12, 0)
    assert view.slack == "Comfortable, 5 working days to spare"
    assert date(2026, 11, 28) in view.closed
    assert date(2026, 12, 9) in view.practice_open


def test_of_two_jobs_the_one_with_less_time_is_shown_and_named(lab):
    verdict = verdict_on(lab, "vacuum-formed-retainer", "occlusal-splint-hard")
    assert most_pressing(verdict).category == "splints"
    assert days_of(verdict, lab, None, NOW).slack.startswith("Splints: ")


def test_without_an_appointment_there_is_no_strip(lab):
    assert days_of(verdict_on(lab, "repair", appointment=None), lab, None, NOW) is None


def test_late_is_said_with_the_day_that_would_hold(lab):
    # Five working days from Wed 25 to Tue 1, with the practice on Wed 2, one of its open days before the appointment.
    dates = verdict_on(lab, "occlusal-splint-hard", appointment=date(2026, 11, 30)).jobs[0].deadlines
    assert slack_words(dates) == "Late by 3 working days; Thu 3 Dec 2026 would hold"


@pytest.mark.parametrize(
    ("appointment", "words"),
    [
        (date(2026, 12, 3), "Tight, nothing to spare"),
        (date(2026, 12, 4), "Tight, 1 working day to spare"),
    ],
)
def test_little_time_is_said_in_days(lab, appointment, words):
    assert slack_words(verdict_on(lab, "occlusal-splint-hard", appointment=appointment).jobs[0].deadlines) == words


def test_a_closure_of_the_lab_is_named_in_the_strip(lab):
    view = days_of(verdict_on(lab, "occlusal-splint-hard", appointment=date(2027, 1, 20)), lab, None, NOW)
    assert view.closed[date(2026, 12, 28)] == "Winter closure"
