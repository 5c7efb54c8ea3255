"""Counting working days, against published rules and worked examples.

Sources: the official bank holidays (see test_bank_holidays.py), the examples computed from them by hand and by two
implementations; the Civil Procedure Rules for England and Wales, rule 2.8; workalendar 17 as a second library.
"""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from workalendar.europe import UnitedKingdom

from intake.domain.calendar import WorkingCalendar

WHERE = {"England": ("GB", "ENG"), "Wales": ("GB", "WLS"), "Scotland": ("GB", "SCT"), "Northern Ireland": ("GB", "NIR")}
WHERE["Ireland"] = ("IE", None)


def office(where):
    return WorkingCalendar(frozenset(range(5)), *WHERE[where])


@pytest.mark.parametrize(
    ("where", "day"),
    [
        ("England", date(2026, 4, 1)),
        ("Wales", date(2026, 4, 1)),
        ("Northern Ireland", date(2026, 4, 1)),
        ("Scotland", date(2026, 4, 2)),
        ("Ireland", date(2026, 4, 2)),
    ],
)
def test_two_working_days_before_the_tuesday_after_easter(where, day):
    assert office(where).back(date(2026, 4, 7), 2) == day


@pytest.mark.parametrize("where", list(WHERE))
def test_two_working_days_before_the_day_after_the_one_off_holiday_in_scotland(where):
    expected = date(2026, 6, 11) if where == "Scotland" else date(2026, 6, 12)
    assert office(where).back(date(2026, 6, 16), 2) == expected


@pytest.mark.parametrize(
    ("where", "day"),
    [
        ("England", date(2025, 3, 14)),
        ("Wales", date(2025, 3, 14)),
        ("Scotland", date(2025, 3, 14)),
        ("Northern Ireland", date(2025, 3, 13)),
        ("Ireland", date(2025, 3, 13)),
    ],
)
def test_three_working_days_back_over_saint_patricks_day(where, day):
    assert office(where).back(date(2025, 3, 19), 3) == day


@pytest.mark.parametrize(
    ("where", "day"),
    [
        ("England", date(2027, 1, 4)),
        ("Wales", date(2027, 1, 4)),
        ("Northern Ireland", date(2027, 1, 4)),
        ("Scotland", date(2027, 1, 5)),
        ("Ireland", date(2026, 12, 31)),
    ],
)
def test_five_working_days_on_from_the_day_before_christmas_eve(where, day):
    assert office(where).forward(date(2026, 12, 23), 5) == day


@pytest.mark.parametrize("where", list(WHERE))
def test_the_working_day_after_the_last_friday_of_november(where):
    # Saint Andrew's Day 2025 is a Sunday: in Scotland the Monday is its substitute.
    expected = date(2025, 12, 2) if where == "Scotland" else date(2025, 12, 1)
    assert office(where).forward(date(2025, 11, 28), 1) == expected


@pytest.mark.parametrize(
    ("event", "served"),
    [
        pytest.param(date(2023, 10, 20), date(2023, 10, 16), id="a hearing on Friday 20 October"),
        pytest.param(date(2025, 10, 20), date(2025, 10, 14), id="a hearing on Monday 20 October"),
    ],
)
def test_three_clear_days_before_an_event_as_the_court_rules_count_them(event, served):
    # Civil Procedure Rules 2.8(2) to (5), their worked examples for a document to be served at least 3 days before a
    # hearing: clear days leave out both the day of service and that of the event, and a period of 5 days or less leaves
    # out weekends and bank holidays. Intake's count leaves out one end only, so clear days are one more of its days.
    # (The rules' other example, 28 calendar days from 1 October, has no counterpart: Intake counts working days.)
    assert office("England").back(event, 3 + 1) == served


@given(st.dates(date(2024, 1, 1), date(2027, 11, 1)), st.integers(1, 25))
def test_a_second_library_counts_the_same_working_days(day, count):
    assert office("England").forward(day, count) == UnitedKingdom().add_working_days(day, count)
    assert office("England").back(day, count) == UnitedKingdom().sub_working_days(day, count)


@given(st.dates(date(2024, 1, 1), date(2027, 6, 1)), st.integers(0, 90))
def test_a_second_library_finds_as_many_working_days_between(day, days):
    later = day + timedelta(days=days)
    theirs = UnitedKingdom().get_working_days_delta(day, later, include_start=False)
    assert office("England").days_between(day, later) == theirs
