"""The bank holidays that Intake counts with, against the official lists.

Sources: for the United Kingdom the government's own published data file, as read in August 2026. For Ireland the days
of the Organisation of Working Time Act 1997, Schedule 2, and the February day of the 2022 regulations (as reported);
their dates computed. A second library, workalendar 17, where it covers the days.
"""

import warnings
from datetime import date, timedelta

import pytest
from workalendar.europe import Ireland, UnitedKingdom, UnitedKingdomNorthernIreland

from intake.domain.bank_holidays import bank_holidays
from intake.domain.calendar import WorkingCalendar

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
EVERY_DAY = frozenset(range(7))

# Substitute days are where the official data file has them: 28 Dec 2026 for Sat 26 Dec, 27 and 28 Dec 2027, and so on.
ENGLAND_AND_WALES = {
    2025: "1 Jan, 18 Apr, 21 Apr, 5 May, 26 May, 25 Aug, 25 Dec, 26 Dec",
    2026: "1 Jan, 3 Apr, 6 Apr, 4 May, 25 May, 31 Aug, 25 Dec, 28 Dec",
    2027: "1 Jan, 26 Mar, 29 Mar, 3 May, 31 May, 30 Aug, 27 Dec, 28 Dec",
}
SCOTLAND = {
    2025: "1 Jan, 2 Jan, 18 Apr, 5 May, 26 May, 4 Aug, 1 Dec, 25 Dec, 26 Dec",
    # 15 Jun 2026, a one-off, came into the official file on 25 Feb 2026; the pinned holidays 0.109 has it.
    2026: "1 Jan, 2 Jan, 3 Apr, 4 May, 25 May, 15 Jun, 3 Aug, 30 Nov, 25 Dec, 28 Dec",
    2027: "1 Jan, 4 Jan, 26 Mar, 3 May, 31 May, 2 Aug, 30 Nov, 27 Dec, 28 Dec",
}
NORTHERN_IRELAND = {
    2025: "1 Jan, 17 Mar, 18 Apr, 21 Apr, 5 May, 26 May, 14 Jul, 25 Aug, 25 Dec, 26 Dec",
    2026: "1 Jan, 17 Mar, 3 Apr, 6 Apr, 4 May, 25 May, 13 Jul, 31 Aug, 25 Dec, 28 Dec",
    2027: "1 Jan, 17 Mar, 26 Mar, 29 Mar, 3 May, 31 May, 12 Jul, 30 Aug, 27 Dec, 28 Dec",
}
# In Ireland no law moves a holiday that falls on a weekend.
IRELAND = {
    2025: "1 Jan, 3 Feb, 17 Mar, 21 Apr, 5 May, 2 Jun, 4 Aug, 27 Oct, 25 Dec, 26 Dec",
    2026: "1 Jan, 2 Feb, 17 Mar, 6 Apr, 4 May, 1 Jun, 3 Aug, 26 Oct, 25 Dec, 26 Dec",
    2027: "1 Jan, 1 Feb, 17 Mar, 29 Mar, 3 May, 7 Jun, 2 Aug, 25 Oct, 25 Dec, 26 Dec",
}
OFFICIAL = {
    ("GB", "ENG"): ENGLAND_AND_WALES,
    ("GB", "WLS"): ENGLAND_AND_WALES,
    ("GB", "SCT"): SCOTLAND,
    ("GB", "NIR"): NORTHERN_IRELAND,
    ("IE", None): IRELAND,
}


def listed(year, text):
    return {
        date(year, MONTHS.index(month) + 1, int(day)) for day, month in (entry.split() for entry in text.split(", "))
    }


@pytest.mark.parametrize(
    ("where", "year"),
    [pytest.param(where, year, id=f"{where} {year}") for where in OFFICIAL for year in OFFICIAL[where]],
)
def test_the_bank_holidays_are_the_official_ones_and_only_weekend_days_stand_beside_their_substitutes(where, year):
    counted = set(bank_holidays(*where, year))
    official = listed(year, OFFICIAL[where][year])
    assert official <= counted
    assert all(day.weekday() >= 5 for day in counted - official)


@pytest.mark.parametrize(
    ("where", "year"),
    [pytest.param(where, year, id=f"{where} {year}") for where in OFFICIAL for year in OFFICIAL[where]],
)
def test_from_monday_to_friday_the_calendar_is_closed_on_the_official_days_alone(where, year):
    calendar = WorkingCalendar(frozenset(range(5)), *where)
    weekdays = (date(year, 1, 1) + timedelta(days=n) for n in range(365))
    closed = {day for day in weekdays if day.weekday() < 5 and not calendar.is_open(day)}
    assert closed == {day for day in listed(year, OFFICIAL[where][year]) if day.weekday() < 5}


def test_a_lab_that_works_saturdays_is_closed_on_boxing_day_and_on_its_substitute_unless_it_says_otherwise():
    # The official list of 2026 has Mon 28 Dec alone; the libraries list Sat 26 Dec as well.
    saturday, substitute = date(2026, 12, 26), date(2026, 12, 28)
    calendar = WorkingCalendar(EVERY_DAY, "GB", "ENG")
    assert calendar.why_closed(saturday) == "Boxing Day"
    assert calendar.why_closed(substitute) == "Boxing Day (substitute day)"
    by_the_official_list = WorkingCalendar(EVERY_DAY, "GB", "ENG", worked=frozenset({saturday}))
    assert by_the_official_list.is_open(saturday)
    assert not by_the_official_list.is_open(substitute)


@pytest.mark.parametrize("year", [2025, 2026, 2027])
def test_easter_monday_is_a_bank_holiday_except_in_scotland_and_good_friday_except_in_ireland(year):
    easter_monday = {2025: date(2025, 4, 21), 2026: date(2026, 4, 6), 2027: date(2027, 3, 29)}[year]
    good_friday = easter_monday - timedelta(days=3)
    lists = {part or country: bank_holidays(country, part, year) for country, part in OFFICIAL}
    assert {where for where, days in lists.items() if easter_monday not in days} == {"SCT"}
    assert {where for where, days in lists.items() if good_friday not in days} == {"IE"}


@pytest.mark.parametrize("year", [2030, 2036, 2041])
def test_the_irish_february_day_is_the_first_of_the_month_when_that_is_a_friday(year):
    days = bank_holidays("IE", None, year)
    assert date(year, 2, 1) in days
    assert date(year, 2, 4) not in days


def _second_library(calendar, year):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return {day for day, _ in calendar().holidays(year)}


@pytest.mark.parametrize("year", range(2018, 2028))
@pytest.mark.parametrize(
    ("part", "second"), [("ENG", UnitedKingdom), ("WLS", UnitedKingdom), ("NIR", UnitedKingdomNorthernIreland)]
)
def test_a_second_library_closes_the_same_weekdays_in_the_united_kingdom(part, second, year):
    # Not Scotland: workalendar 17 calls its own Scottish calendar experimental and lacks Good Friday in it.
    theirs = {day for day in _second_library(second, year) if day.weekday() < 5}
    ours = {day for day in bank_holidays("GB", part, year) if day.weekday() < 5}
    # workalendar 17 (January 2023) does not know the coronation day, proclaimed later.
    assert ours - {date(2023, 5, 8)} == theirs - {date(2023, 5, 8)}


@pytest.mark.parametrize("year", range(2018, 2028))
def test_a_second_library_closes_the_same_weekdays_in_ireland(year):
    theirs = {day for day in _second_library(Ireland, year) if day.weekday() < 5}
    ours = {day for day in bank_holidays("IE", None, year) if day.weekday() < 5}
    # workalendar 17 lacks the February day and the one-off of 18 Mar 2022 (from memory), and gives substitutes for
    # holidays at the weekend that the Act does not give.
    assert all(day.month == 2 or day == date(2022, 3, 18) for day in ours - theirs)
    assert all((day.month, day.day) in {(12, 27), (12, 28), (3, 18), (3, 19), (1, 2), (1, 3)} for day in theirs - ours)
