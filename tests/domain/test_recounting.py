"""The dates of an open job counted anew: only what was changed moves a date, never that time goes by."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.deadlines import count_deadlines
from intake.domain.lab import CalendarRules, Category, Closure, DeadlineRules, Lab, Step
from intake.domain.practice import Practice
from intake.domain.recounting import NoWayToCount, OpenJob, new_dates
from intake.errors import IntakeError

ROUTE = (Step(bench="Casting"), Step(bench="Splints", days=3), Step(bench="Checking"))
MILL = Practice(code="MILL", name="Mill Lane")
BOOKED = datetime(2026, 11, 25, 9, 0)
THURSDAY = date(2026, 12, 10)


def a_lab(route=ROUTE, calendar=None, **deadlines):
    usual = {"zone": "Europe/London", "country": "GB", "subdivision": "ENG"}
    rules = CalendarRules(**(usual | (calendar or {})))
    kind = Category.model_construct(id="splints", name="Splints", route=route)
    return Lab.model_construct(calendar=rules, deadlines=DeadlineRules(**deadlines), categories=(kind,))


def a_job(lab=None, appointment=THURSDAY, begun=False, **said):
    dates = count_deadlines(appointment, ROUTE, BOOKED, BOOKED, MILL, lab or a_lab())
    told = {"category": "splints", "category_name": "Splints", "appointment": appointment, "arrived": BOOKED}
    return OpenJob(**(told | {"dates": dates, "begun": begun} | said))


def shut(first, last=None):
    return {"closures": (Closure(first=first, last=last or first, name="moving house"),)}


@given(st.integers(0, 400), st.booleans(), st.integers(0, 60))
def test_that_time_goes_by_changes_no_date(days, begun, ahead):
    job = a_job(appointment=THURSDAY + timedelta(days=ahead), begun=begun)
    assert new_dates(job, MILL, a_lab(), BOOKED + timedelta(days=days)) is None


def test_a_closure_within_the_route_moves_the_benches_before_it():
    new = new_dates(a_job(), MILL, a_lab(calendar=shut(date(2026, 12, 7), date(2026, 12, 8))), BOOKED)
    assert (new.dates.must_leave, new.dates.latest_start) == (date(2026, 12, 8) - timedelta(days=4), date(2026, 11, 30))
    assert not new.became_late


def test_a_job_at_reception_becomes_late_by_the_day_that_it_is():
    closed = a_lab(calendar=shut(date(2026, 12, 7), date(2026, 12, 8)))
    tuesday = datetime(2026, 12, 1, 9, 0)
    new = new_dates(a_job(), MILL, closed, tuesday)
    assert (new.became_late, new.dates.outlook, new.dates.start) == (True, "late", date(2026, 12, 1))
    late_anyway = new_dates(a_job(), MILL, closed, datetime(2026, 12, 4, 9, 0))
    assert (late_anyway.became_late, late_anyway.dates.outlook) == (False, "late")


def test_a_job_that_has_begun_is_counted_from_when_it_could_begin_and_keeps_its_benches():
    other = (Step(bench="Printing"), Step(bench="Splints", days=2), Step(bench="Checking"))
    new = new_dates(a_job(begun=True), MILL, a_lab(other), datetime(2026, 12, 4, 9, 0))
    assert [dated.bench for dated in new.dates.route] == ["Casting", "Splints", "Checking"]
    assert (new.dates.latest_start, new.dates.outlook) == (date(2026, 12, 3), "comfortable")
    assert new.dates.start == date(2026, 11, 25)
    waiting = new_dates(a_job(), MILL, a_lab(other), BOOKED)
    assert [dated.bench for dated in waiting.dates.route] == ["Printing", "Splints", "Checking"]


def test_a_job_that_was_late_holds_again_where_the_lab_works_a_saturday():
    job = a_job(appointment=date(2026, 12, 2))  # a day too late
    assert job.dates.outlook == "late"
    worked = {"worked": (date(2026, 11, 28), date(2026, 11, 29))}
    new = new_dates(job, MILL, a_lab(calendar=worked), BOOKED)
    assert (new.holds_again, new.became_late) == (True, False)


def test_a_job_whose_year_was_not_known_gets_its_dates_once_it_is():
    new = new_dates(a_job(dates=None), MILL, a_lab(), BOOKED)
    assert new.dates == a_job().dates


@pytest.mark.parametrize(
    ("job", "lab", "problem", "says"),
    [
        pytest.param(a_job(category="crowns", category_name="Crowns"), a_lab(), NoWayToCount, "“Crowns”", id="kind"),
        pytest.param(
            a_job(appointment=date(2027, 1, 20)),
            a_lab(calendar={"country": "LK", "subdivision": None}),
            IntakeError,
            "not for 2027",
            id="year",
        ),
    ],
)
def test_what_cannot_be_counted_is_refused_with_the_reason(job, lab, problem, says):
    with pytest.raises(problem, match=says):
        new_dates(job, MILL, lab, BOOKED)
