"""When a practice answers the telephone: lunch, closed days, clock changes, other zones.

Bank holidays of England and Wales, Scotland and Ireland: the UK government's published data file and the Irish rule as
in `tests/standards/test_bank_holidays.py`. Clock changes: IANA time zone data (29 March and 25 October 2026).
"""

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.opening_hours import NeverOpen, carried, next_open, open_now
from intake.domain.practice import OpeningHours, Practice, read_span
from intake.resources import demo
from intake.setup.reading import read_setup

LAB = read_setup(demo("lab.toml"))
MARLOW = Practice(
    code="MARLOW1",
    name="Marlowe House",
    hours=(
        OpeningHours(weekdays=(0, 1, 2, 3), open=("08:30-12:30", "13:30-17:30")),
        OpeningHours(weekdays=(4,), open=("08:30-13:00",)),
    ),
)
UNKNOWN = Practice(code="UNKNOWN", name="Hours not known")
ABROAD = Practice(
    code="FAR",
    name="Far away",
    country="US",
    zone="America/New_York",
    hours=(OpeningHours(weekdays=(0, 1, 2, 3, 4), open=("09:00-17:00",)),),
)


@pytest.mark.parametrize(
    ("practice", "now", "why"),
    [
        (MARLOW, datetime(2026, 11, 25, 9, 0), "open until 12:30"),
        (MARLOW, datetime(2026, 11, 25, 12, 45), "at lunch until 13:30"),
        (MARLOW, datetime(2026, 11, 25, 7, 0), "closed, opens 08:30"),
        (MARLOW, datetime(2026, 11, 25, 18, 0), "closed, opens Thu 26 Nov, 08:30"),
        (MARLOW, datetime(2026, 11, 27, 14, 0), "closed, opens Mon 30 Nov, 08:30"),
        (MARLOW, datetime(2026, 12, 25, 10, 0), "closed: Christmas Day, opens Tue 29 Dec, 08:30"),
        (UNKNOWN, datetime(2026, 11, 25, 13, 20), "at lunch until 14:00"),
        (None, datetime(2026, 11, 28, 10, 0), "closed, opens Mon 30 Nov, 09:00"),
    ],
    ids=["open", "lunch", "early", "evening", "friday-afternoon", "bank-holiday", "usual-hours", "not-in-directory"],
)
def test_the_list_says_whether_a_practice_answers_and_until_or_from_when(practice, now, why):
    assert open_now(practice, LAB, now).why == why


def test_a_practice_in_scotland_is_closed_on_its_own_bank_holiday():
    """Mon 30 Nov 2026, St Andrew's Day, is a bank holiday in Scotland only."""
    here = UNKNOWN.model_copy(update={"country": "GB", "subdivision": "SCT"})
    assert not open_now(here, LAB, datetime(2026, 11, 30, 10, 0)).open
    assert open_now(UNKNOWN, LAB, datetime(2026, 11, 30, 10, 0)).open


def test_a_practice_abroad_is_open_by_its_own_clock():
    assert open_now(ABROAD, LAB, datetime(2026, 11, 25, 14, 0)).open  # nine in New York
    assert not open_now(ABROAD, LAB, datetime(2026, 11, 25, 13, 59)).open


def test_in_the_weeks_when_only_one_clock_has_changed_the_hour_is_carried_over_rightly():
    """Clocks go back on 25 Oct 2026 in London and on 1 Nov in New York: four hours apart in the week between."""
    assert open_now(ABROAD, LAB, datetime(2026, 10, 28, 13, 0)).open
    assert not open_now(ABROAD, LAB, datetime(2026, 11, 4, 13, 0)).open
    assert carried(datetime(2026, 3, 27, 9), "Europe/London", "Europe/Berlin") == datetime(2026, 3, 27, 10)


FARTHER = Practice(
    code="FARTHER",
    name="Farther away",
    country="AU",
    zone="Australia/Sydney",
    hours=(OpeningHours(weekdays=(0, 1, 2, 3, 4), open=("09:00-12:00", "13:00-17:00")),),
)
"""Eleven hours ahead of the lab in November: its day is over before the lab's begins."""


@pytest.mark.parametrize(
    ("now", "why"),
    [
        (datetime(2026, 11, 25, 1, 30), "at lunch until 02:00"),
        (datetime(2026, 11, 25, 10, 0), "closed, opens 22:00"),
        (datetime(2026, 11, 25, 23, 0), "open until 01:00"),
    ],
    ids=["its-lunch", "its-evening", "its-next-morning"],
)
def test_lunch_is_a_gap_in_the_practices_own_day_and_not_in_the_labs(now, why):
    assert open_now(FARTHER, LAB, now).why == why


@pytest.mark.parametrize("monday", [date(2026, 3, 30), date(2026, 10, 26)], ids=["clocks-forward", "clocks-back"])
def test_the_morning_after_a_clock_change_begins_at_the_hour_on_the_wall(monday):
    friday_evening = datetime.combine(monday - timedelta(days=3), time(17, 30))
    assert next_open(UNKNOWN, LAB, friday_evening) == datetime.combine(monday, time(9, 0))
    assert open_now(UNKNOWN, LAB, datetime.combine(monday, time(8, 59))).opens == datetime.combine(monday, time(9, 0))


def test_a_practice_whose_bank_holidays_are_not_known_is_rung_on_its_weekdays():
    nowhere = UNKNOWN.model_copy(update={"country": "XX"})
    assert open_now(nowhere, LAB, datetime(2026, 11, 25, 10)).open
    assert (
        open_now(nowhere, LAB, datetime(2026, 11, 28, 10)).why
        == "closed, opens Mon 30 Nov, 09:00; bank holidays of 2026 not known"
    )


def test_nobody_rings_outside_the_labs_own_hours_though_the_practice_is_open():
    late = MARLOW.model_copy(update={"hours": (OpeningHours(weekdays=(0, 1, 2, 3, 4), open=("07:00-20:00",)),)})
    assert next_open(late, LAB, datetime(2026, 11, 25, 7, 15)) == datetime(2026, 11, 25, 8, 30)
    assert next_open(late, LAB, datetime(2026, 11, 25, 18, 0)) == datetime(2026, 11, 26, 8, 30)


def test_nobody_rings_while_the_lab_is_closed_though_the_practice_is_open():
    """The demo's lab is closed from 24 December to 3 January."""
    assert open_now(MARLOW, LAB, datetime(2026, 12, 30, 10, 0)).open
    assert next_open(MARLOW, LAB, datetime(2026, 12, 30, 10, 0)) == datetime(2027, 1, 4, 8, 30)


def test_a_practice_that_never_answers_while_the_lab_rings_is_said():
    at_night = MARLOW.model_copy(update={"hours": (OpeningHours(weekdays=(0,), open=("20:00-22:00",)),)})
    with pytest.raises(NeverOpen, match="Check its hours"):
        next_open(at_night, LAB, datetime(2026, 11, 25, 10))


@pytest.mark.parametrize("text", ["9-13", "13:00-09:00", "09:00", "25:00-26:00", "09:00-09:00"])
def test_a_stretch_of_the_day_that_cannot_be_one_is_refused(text):
    with pytest.raises(ValueError, match=r".+"):
        read_span(text)


ROUND_THE_CLOCK = FARTHER.model_copy(
    update={"hours": (OpeningHours(weekdays=tuple(range(7)), open=("00:00-11:10", "11:10-23:59")),)}
)
ROUND_THE_CLOCK = ROUND_THE_CLOCK.model_copy(update={"open_weekdays": tuple(range(7))})
nights_of_clock_changes = st.sampled_from([datetime(2026, 3, 28, 12), datetime(2026, 10, 24, 12)]).flatmap(
    lambda noon: st.integers(0, 24 * 60).map(lambda minutes: noon + timedelta(minutes=minutes))
)


@given(nights_of_clock_changes)
def test_in_the_night_of_a_clock_change_an_opening_still_ends_after_it_begins(moment):
    now = open_now(ROUND_THE_CLOCK, LAB, moment)
    assert (now.until or now.opens) > moment


moments = st.datetimes(datetime(2026, 1, 1), datetime(2026, 12, 20)).map(lambda m: m.replace(second=0, microsecond=0))


@given(moments, st.sampled_from([MARLOW, UNKNOWN, ABROAD, None]))
def test_whenever_it_is_the_next_moment_to_ring_is_one_at_which_both_are_there(moment, practice):
    rings = next_open(practice, LAB, moment)
    assert rings >= moment
    assert open_now(practice, LAB, rings).open
    assert time(8, 30) <= rings.time() < time(17, 30)
    assert rings.date() not in {date(2026, 12, 25)}
    assert next_open(practice, LAB, rings) == rings


@given(moments, st.sampled_from([MARLOW, UNKNOWN]))
def test_a_practice_that_is_open_stays_so_until_the_time_that_is_said(moment, practice):
    now = open_now(practice, LAB, moment)
    if now.open:
        assert open_now(practice, LAB, now.until - timedelta(minutes=1)).open
        assert not open_now(practice, LAB, now.until).open
    else:
        assert open_now(practice, LAB, now.opens).open
