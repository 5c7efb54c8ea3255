"""Work that a carrier's service takes to a practice: its days count, and one that is not there is said."""

from datetime import date, datetime

import pytest

from intake.domain.carrying import carriage_to
from intake.domain.deadlines import count_deadlines, explain_deadlines
from intake.domain.delivery_services import Service
from intake.domain.lab import CalendarRules, DeadlineRules, Lab, Step
from intake.domain.practice import Practice
from intake.setup.reading import contradictions
from tests.desk.desks import demo_lab

ROUTE = (Step(bench="Casting"), Step(bench="Splints", days=3), Step(bench="Checking"))
SERVICES = (
    Service(name="Island post", transit_days=2, weekdays=(1, 3)),
    Service(name="Courier", transit_days=0, weekdays=(0, 1, 2, 3, 4, 5)),
)
LAB = Lab.model_construct(
    calendar=CalendarRules(zone="Europe/London", country="GB", subdivision="ENG"),
    deadlines=DeadlineRules(services=SERVICES),
)
THURSDAY = date(2026, 12, 10)


def counted(**said):
    practice = Practice(code="MILL", name="Mill Lane", **said)
    now = datetime(2026, 11, 2, 9, 0)
    told = count_deadlines(THURSDAY, ROUTE, now, now, practice, LAB)
    return told, " ".join(explain_deadlines(told, ROUTE, practice, LAB))


def test_a_service_delivers_on_its_own_days_only_and_the_dates_say_by_which_it_goes():
    # Wanted by Wed 9, delivered Tue 8; two delivery days before, Thu 3 and Tue 1, it has to be on its way.
    told, why = counted(service="Island post")
    assert (told.with_practice, told.must_leave) == (date(2026, 12, 8), date(2026, 12, 1))
    assert told.latest_start == date(2026, 11, 25)
    assert "Must leave on Tue 1 Dec 2026: 2 delivery days on the way by Island post, not counting" in why


def test_the_practices_own_days_on_the_way_go_before_those_of_its_service():
    told, why = counted(service="island POST ", transit_days=1)
    assert (told.with_practice, told.must_leave) == (date(2026, 12, 8), date(2026, 12, 3))
    assert "1 delivery day on the way by Island post, not counting" in why


def test_a_service_without_days_on_the_way_is_there_the_same_day():
    told, why = counted(service="Courier")
    assert (told.with_practice, told.must_leave) == (date(2026, 12, 9), date(2026, 12, 9))
    assert "it is there the same day by Courier." in why


def test_a_service_that_the_setup_does_not_have_is_said_and_the_usual_way_counted():
    told, why = counted(service="Pony express")
    usual, why_usual = counted()
    assert told == usual
    assert "The practice's service “Pony express” is not in the lab setup, so the usual way is counted." in why
    assert "Pony" not in why_usual
    assert carriage_to(None, LAB.deadlines).service == ""


@pytest.mark.parametrize(
    ("services", "says"),
    [
        pytest.param((SERVICES[0], Service(name="ISLAND post")), "“island post” stands twice", id="twice"),
        pytest.param((Service(name="Never", weekdays=()),), "service “Never”: at least one weekday", id="never"),
    ],
)
def test_services_that_cannot_be_are_refused_with_the_reason(services, says):
    lab = demo_lab().model_copy(update={"deadlines": DeadlineRules(services=services)})
    assert any(says in problem for problem in contradictions(lab))
