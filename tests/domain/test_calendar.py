from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.bank_holidays import HolidaysUnknown
from intake.domain.calendar import (
    NoOpenDay,
    WorkingCalendar,
    counts_from,
    delivery_calendar,
    lab_calendar,
    practice_calendar,
)
from intake.domain.lab import CalendarRules, Closure, DeadlineRules, Lab
from intake.domain.practice import Practice

MONDAY_TO_FRIDAY = frozenset(range(5))
ENGLAND = WorkingCalendar(MONDAY_TO_FRIDAY, "GB", "ENG")
SUMMER = Closure(first=date(2026, 8, 3), last=date(2026, 8, 14), name="summer fortnight")
RULES = CalendarRules(zone="Europe/London", country="GB", subdivision="ENG", closures=(SUMMER,))
LAB = Lab.model_construct(calendar=RULES, deadlines=DeadlineRules())

days = st.dates(date(2024, 1, 1), date(2029, 12, 31))
calendars = st.builds(
    WorkingCalendar,
    st.frozensets(st.integers(0, 6), min_size=1),
    st.just("GB"),
    st.sampled_from(["ENG", "WLS", "SCT", "NIR", None]),
    st.sampled_from([(), (SUMMER,)]),
    st.frozensets(days, max_size=3),
)


@pytest.mark.parametrize(
    ("day", "reason"),
    [
        pytest.param(date(2026, 12, 10), None, id="a plain Thursday"),
        pytest.param(date(2026, 12, 12), "Saturday", id="Saturday"),
        pytest.param(date(2026, 12, 25), "Christmas Day", id="a bank holiday"),
        pytest.param(date(2026, 8, 3), "Closed: summer fortnight", id="the first day of a closure"),
        pytest.param(date(2026, 8, 14), "Closed: summer fortnight", id="the last day of a closure"),
        pytest.param(date(2026, 8, 17), None, id="the day after a closure"),
    ],
)
def test_a_closed_day_says_why(day, reason):
    assert lab_calendar(RULES).why_closed(day) == reason
    assert lab_calendar(RULES).is_open(day) is (reason is None)


@pytest.mark.parametrize(
    "day",
    [
        pytest.param(date(2026, 12, 19), id="a Saturday before Christmas"),
        pytest.param(date(2026, 5, 4), id="a bank holiday"),
        pytest.param(date(2026, 8, 5), id="a day of a closure"),
    ],
)
def test_a_day_that_is_worked_nevertheless_is_open(day):
    assert lab_calendar(RULES.model_copy(update={"worked": (day,)})).is_open(day)


def test_days_are_counted_without_the_day_itself():
    friday = date(2026, 12, 4)
    assert ENGLAND.forward(friday, 1) == date(2026, 12, 7)
    assert ENGLAND.back(date(2026, 12, 7), 1) == friday
    assert ENGLAND.forward(friday, 0) == friday


def test_the_next_open_day_can_be_the_day_itself():
    assert ENGLAND.next_open(date(2026, 12, 4)) == date(2026, 12, 4)
    assert ENGLAND.next_open(date(2026, 12, 5)) == date(2026, 12, 7)
    assert ENGLAND.previous_open(date(2026, 12, 5)) == date(2026, 12, 4)


def test_christmas_is_crossed():
    assert ENGLAND.forward(date(2026, 12, 24), 1) == date(2026, 12, 29)
    assert ENGLAND.days_between(date(2026, 12, 24), date(2027, 1, 4)) == 4


def test_counting_a_negative_number_of_days_is_a_mistake_of_the_program():
    with pytest.raises(ValueError, match="from 0"):
        ENGLAND.forward(date(2026, 12, 4), -1)


@given(calendars, days, st.integers(0, 30))
def test_as_many_days_lie_between_as_were_counted_forward(calendar, day, count):
    assert calendar.days_between(day, calendar.forward(day, count)) == count


@given(calendars, days, st.integers(1, 30))
def test_counting_back_and_forward_again_ends_on_the_same_open_day(calendar, day, count):
    open_day = calendar.next_open(day)
    assert calendar.forward(calendar.back(open_day, count), count) == open_day


@given(calendars, days, days)
def test_days_between_change_their_sign_with_the_order(calendar, one, other):
    assert calendar.days_between(one, other) == -calendar.days_between(other, one)


@given(calendars, days)
def test_no_open_day_is_passed_over(calendar, day):
    found = calendar.forward(day, 1)
    assert calendar.is_open(found)
    between = (day + timedelta(days=n) for n in range(1, (found - day).days))
    assert not any(calendar.is_open(passed) for passed in between)


def test_a_calendar_that_is_never_open_is_refused_and_does_not_search_for_ever():
    with pytest.raises(NoOpenDay, match=r"No open day within 400 days of Thu 10 Dec 2026\. Check the open weekdays"):
        WorkingCalendar(frozenset(), "GB", "ENG").next_open(date(2026, 12, 10))


def test_a_calendar_that_is_shut_for_good_is_refused():
    shut = Closure(first=date(2026, 1, 1), last=date(2099, 12, 31), name="gone fishing")
    with pytest.raises(NoOpenDay):
        WorkingCalendar(MONDAY_TO_FRIDAY, "GB", "ENG", (shut,)).back(date(2099, 6, 1), 3)


def test_worked_days_alone_make_a_calendar():
    only = WorkingCalendar(frozenset(), "GB", "ENG", worked=frozenset({date(2026, 12, 12)}))
    assert only.next_open(date(2026, 12, 1)) == date(2026, 12, 12)


@pytest.mark.parametrize("day", [date.min, date(2206, 12, 10), date.max])
def test_a_mistyped_year_is_refused_in_words(day):
    with pytest.raises(HolidaysUnknown, match="Check the year"):
        ENGLAND.is_open(day)


@pytest.mark.parametrize("day", [date.min, date.max], ids=["the first of all", "the last of all"])
def test_the_ends_of_the_calendar_are_refused_in_words(day):
    walk = ENGLAND.back if day == date.min else ENGLAND.forward
    with pytest.raises(NoOpenDay, match="calendar ends"):
        walk(day, 1)


def a_practice(**said):
    return Practice(code="MILL", name="Mill Lane", **said)


@pytest.mark.parametrize(
    ("practice", "calendar"),
    [
        pytest.param(None, ENGLAND, id="no entry: where the lab is, Monday to Friday"),
        pytest.param(a_practice(), ENGLAND, id="where the lab is, unless it says otherwise"),
        pytest.param(
            a_practice(subdivision="SCT"),
            WorkingCalendar(MONDAY_TO_FRIDAY, "GB", "SCT"),
            id="another part of the country",
        ),
        pytest.param(a_practice(country="GB"), ENGLAND, id="the lab's country named, no part"),
        pytest.param(a_practice(country="IE"), WorkingCalendar(MONDAY_TO_FRIDAY, "IE"), id="another country"),
        pytest.param(
            a_practice(country="DE", subdivision="BY"),
            WorkingCalendar(MONDAY_TO_FRIDAY, "DE", "BY"),
            id="another country's part",
        ),
        pytest.param(
            a_practice(open_weekdays=(0, 1, 3, 4)),
            WorkingCalendar(frozenset({0, 1, 3, 4}), "GB", "ENG"),
            id="shut on Wednesdays",
        ),
    ],
)
def test_a_practice_is_open_on_its_own_days_where_it_is(practice, calendar):
    assert practice_calendar(practice, LAB) == calendar


def test_the_lab_being_closed_does_not_close_the_practice():
    assert practice_calendar(a_practice(), LAB).is_open(SUMMER.first)


def test_work_is_carried_on_the_carriers_weekdays_and_not_on_the_labs_bank_holidays():
    saturdays_too = delivery_calendar(DeadlineRules(delivery_weekdays=(0, 1, 2, 3, 4, 5)), RULES)
    assert saturdays_too.is_open(date(2026, 12, 12))
    assert saturdays_too.is_open(SUMMER.first)
    assert saturdays_too.why_closed(date(2026, 12, 25)) == "Christmas Day"
    assert saturdays_too.why_closed(date(2026, 12, 26)) == "Boxing Day"


@pytest.mark.parametrize(
    ("arrived", "counts"),
    [
        pytest.param(datetime(2026, 11, 25, 8, 40), date(2026, 11, 25), id="in the morning"),
        pytest.param(datetime(2026, 11, 25, 12, 0), date(2026, 11, 25), id="at the cut-off"),
        pytest.param(datetime(2026, 11, 25, 12, 0, 59), date(2026, 11, 25), id="in the minute of the cut-off"),
        pytest.param(datetime(2026, 11, 25, 12, 1), date(2026, 11, 26), id="a minute after the cut-off"),
        pytest.param(datetime(2026, 11, 27, 16, 0), date(2026, 11, 30), id="on Friday afternoon"),
        pytest.param(datetime(2026, 11, 28, 9, 0), date(2026, 11, 30), id="on Saturday morning"),
        pytest.param(datetime(2026, 11, 28, 18, 0), date(2026, 11, 30), id="on Saturday evening"),
        pytest.param(datetime(2026, 12, 24, 13, 0), date(2026, 12, 29), id="on Christmas Eve after the cut-off"),
        pytest.param(datetime(2026, 8, 5, 9, 0), date(2026, 8, 17), id="while the lab is closed"),
    ],
)
def test_an_arrival_after_cut_off_or_on_a_closed_day_counts_from_the_next_working_day(arrived, counts):
    assert counts_from(arrived, RULES) == counts


def test_the_cut_off_is_the_labs_own():
    assert counts_from(datetime(2026, 11, 25, 15, 0), RULES.model_copy(update={"cut_off": time(16, 0)})) == date(
        2026, 11, 25
    )
