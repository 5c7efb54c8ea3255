"""Dates as a British desk types them. Today is Wed 25 Nov 2026 unless a test says otherwise."""

import calendar
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.written_dates import DAYS, MONTHS, DateUnclear, read_moment, short_day, shown_day, shown_moment

TODAY = date(2026, 11, 25)
near_days = st.dates(TODAY - timedelta(days=1500), TODAY + timedelta(days=1500))
minutes = st.times().map(lambda t: t.replace(second=0, microsecond=0))


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("10 dec 9.30", "Thu 10 Dec 2026, 09:30"),
        ("10 dec 9:30", "Thu 10 Dec 2026, 09:30"),
        ("10 dec 0930", "Thu 10 Dec 2026, 09:30"),
        ("10 dec 9.30am", "Thu 10 Dec 2026, 09:30"),
        ("10 dec 2pm", "Thu 10 Dec 2026, 14:00"),
        ("10 dec 2.30 p.m.", "Thu 10 Dec 2026, 14:30"),
        ("10 dec 12am", "Thu 10 Dec 2026, 00:00"),
        ("10 dec 12pm", "Thu 10 Dec 2026, 12:00"),
        ("10 dec at noon", "Thu 10 Dec 2026, 12:00"),
        ("9.30 10/12", "Thu 10 Dec 2026, 09:30"),
        ("10.12 9.30", "Thu 10 Dec 2026, 09:30"),
        ("10/12", "Thu 10 Dec 2026"),
        ("10.12", "Thu 10 Dec 2026"),
        ("10.12.", "Thu 10 Dec 2026"),
        ("10-12-2026", "Thu 10 Dec 2026"),
        ("10 12 2026", "Thu 10 Dec 2026"),
        ("10.12.26 14:00", "Thu 10 Dec 2026, 14:00"),
        ("10/12/26", "Thu 10 Dec 2026"),
        ("10 december 2026", "Thu 10 Dec 2026"),
        ("10 Dec", "Thu 10 Dec 2026"),
        ("10dec26", "Thu 10 Dec 2026"),
        ("dec 10", "Thu 10 Dec 2026"),
        ("dec 10 2026 2.30pm", "Thu 10 Dec 2026, 14:30"),
        ("10th dec", "Thu 10 Dec 2026"),
        ("10th of December, 9 a.m.", "Thu 10 Dec 2026, 09:00"),
        ("sept 3", "Fri 3 Sep 2027"),
        ("2026-12-10", "Thu 10 Dec 2026"),
        ("2026-12-10T09:30", "Thu 10 Dec 2026, 09:30"),
        ("2026-12-10 09:30:00", "Thu 10 Dec 2026, 09:30"),
        ("thu", "Thu 26 Nov 2026"),
        ("thurs 9.30", "Thu 26 Nov 2026, 09:30"),
        ("next thu", "Thu 3 Dec 2026"),
        ("next wed", "Wed 2 Dec 2026"),
        ("last wed", "Wed 18 Nov 2026"),
        ("thu 10 dec", "Thu 10 Dec 2026"),
        ("weds 9/12", "Wed 9 Dec 2026"),
        ("thu 10.12.", "Thu 10 Dec 2026"),
        ("today", "Wed 25 Nov 2026"),
        ("tomorrow 9.10", "Thu 26 Nov 2026, 09:10"),
        ("yesterday", "Tue 24 Nov 2026"),
        ("+2w", "Wed 9 Dec 2026"),
        ("+10d", "Sat 5 Dec 2026"),
        ("-3d", "Sun 22 Nov 2026"),
        ("in 2 weeks", "Wed 9 Dec 2026"),
        ("2 days ago", "Mon 23 Nov 2026"),
        ("+2w 9.30", "Wed 9 Dec 2026, 09:30"),
        ("2pm", "Wed 25 Nov 2026, 14:00"),
        ("9.30", "Wed 25 Nov 2026, 09:30"),
        ("29 feb", "Tue 29 Feb 2028"),
    ],
)
def test_a_date_is_read_as_the_desk_types_it(typed, shown):
    assert shown_moment(read_moment(typed, TODAY)) == shown


@pytest.mark.parametrize(
    ("typed", "shown"),
    [("26 oct", "Mon 26 Oct 2026"), ("25 oct", "Mon 25 Oct 2027"), ("10 nov", "Tue 10 Nov 2026"),
     ("24 nov", "Tue 24 Nov 2026"), ("25 nov", "Wed 25 Nov 2026"), ("1/1", "Fri 1 Jan 2027")],
)  # fmt: skip
def test_a_date_without_a_year_is_the_next_one_but_for_the_thirty_days_just_gone(typed, shown):
    assert shown_moment(read_moment(typed, TODAY)) == shown


@pytest.mark.parametrize(
    ("typed", "shown"),
    [("24/11 15.30", "Tue 24 Nov 2026, 15:30"), ("26/11", "Wed 26 Nov 2025"), ("25/11", "Wed 25 Nov 2026"),
     ("10 dec", "Wed 10 Dec 2025"), ("thu", "Thu 19 Nov 2026"), ("last thu", "Thu 19 Nov 2026"),
     ("29 feb", "Thu 29 Feb 2024"), ("yesterday 16:00", "Tue 24 Nov 2026, 16:00")],
)  # fmt: skip
def test_a_date_of_what_has_happened_is_the_latest_one_up_to_today(typed, shown):
    assert shown_moment(read_moment(typed, TODAY, past=True)) == shown


@pytest.mark.parametrize("typed", ["tomorrow", "+2w", "10 dec 2026", "next thu"])
def test_what_has_happened_cannot_lie_after_today(typed):
    with pytest.raises(DateUnclear, match="is after today, Wed 25 Nov"):
        read_moment(typed, TODAY, past=True)


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("", "There is no date here"),
        ("soon", "“soon” is no date"),
        ("the 10th", "is no date"),
        ("10", "“10” is no date"),
        ("10 12", "is no date"),
        ("wed 10 dec", "10 December 2026 is a Thursday, not a Wednesday"),
        ("+2w thu", "9 December 2026 is a Wednesday, not a Thursday"),
        ("thu 10.12", "could be 10 December or Thursday at 10:12"),
        ("thu 9.10", "could be 9 October or Thursday at 9:10"),
        ("wed", "Today is a Wednesday: write “today”, or “next wed”"),
        ("12/25", "a month 25.*the day stands first: 25/12"),
        ("10/13/2026", "a month 13"),
        ("2026-13-41", "a month 13"),
        ("31/11", "November 2026 has 30 days"),
        ("29/2/27", "February 2027 has 28 days"),
        ("0/12", "no day 0"),
        ("10 dec 14", "year 2014; check the year, and write a time as 9.30 or 14:00"),
        ("10 dec 2062", "year 2062"),
        ("10 dec 2.30", "2.30pm.*14:30"),
        ("10 dec 25:00", "“25:00”.*is no time of day"),
        ("10 dec 13pm", "“13pm”.*is no time of day"),
        ("10 dec 0am", "is no time of day"),
        ("10 dec 9.75", "is no time of day"),
        ("3 dec 4 dec", "“4 dec” in “3 dec 4 dec” is no part of a date"),
        ("2026-12-10T09:30Z", "“z”"),
        ("10 dec or 11", "is no part of a date"),
    ],
)
def test_what_is_unclear_gets_a_sentence_that_says_what_would_be_right(typed, reason):
    with pytest.raises(DateUnclear, match=reason):
        read_moment(typed, TODAY)


def test_the_weekday_of_today_could_be_a_week_ago_as_well():
    with pytest.raises(DateUnclear, match="or “last wed”"):
        read_moment("wed", TODAY, past=True)


@given(st.dates(date(1900, 1, 1), date(2100, 12, 31)))
def test_a_day_is_written_with_its_english_weekday(day):
    weekday, number, month, year = shown_day(day).split()
    assert (int(number), int(year)) == (day.day, day.year)
    assert DAYS[calendar.weekday(day.year, day.month, day.day)].startswith(weekday)
    assert MONTHS[day.month - 1].startswith(month)
    assert shown_day(day) == f"{short_day(day)} {year}"


@given(near_days)
def test_a_written_day_reads_back(day):
    assert read_moment(shown_day(day), TODAY) == day
    assert read_moment(day.isoformat(), TODAY) == day
    assert read_moment(f"{day:%d/%m/%Y}", TODAY) == day


@given(near_days, minutes)
def test_a_written_moment_reads_back_in_either_form(day, clock):
    moment = datetime.combine(day, clock)
    assert read_moment(shown_moment(moment), TODAY) == moment
    assert read_moment(moment.isoformat(timespec="minutes"), TODAY) == moment


@given(near_days, near_days)
def test_without_a_year_an_appointment_lies_in_the_year_ahead_and_a_record_in_the_year_behind(day, today):
    typed = f"{day.day} {MONTHS[day.month - 1]}"
    leap = (day.month, day.day) == (2, 29)
    ahead, behind = read_moment(typed, today), read_moment(typed, today, past=True)
    assert timedelta(-30) <= ahead - today <= timedelta(366 * (8 if leap else 1))
    assert timedelta(0) <= today - behind <= timedelta(366 * (8 if leap else 1))


@given(st.text(st.sampled_from("0123456789 ./-:decthunaprmov+"), max_size=16), st.booleans())
def test_any_text_gives_a_date_or_a_sentence(typed, past):
    try:
        outcome: object = read_moment(typed, TODAY, past=past)
    except DateUnclear as unclear:
        outcome = str(unclear)
    assert isinstance(outcome, date) or str(outcome).endswith((".", "?"))
