"""Opening hours abroad against the published rules of clock changes, as the IANA time zone data have them.

Sources: the Summer Time Order 2002 (UK; as Directive 2000/84/EC in the EU): from the last Sunday of March to the last
Sunday of October, both at 01:00 UTC; the Energy Policy Act of 2005, section 110 (US): from the second Sunday of March
to the first Sunday of November, both at 02:00 local time. The Sundays are counted here from the calendar alone. A later
law may change either, so only years close by are looked at.
"""

from calendar import SUNDAY, monthcalendar
from datetime import date, datetime, time, timedelta

import pytest

from intake.domain.opening_hours import carried, open_now
from intake.domain.practice import OpeningHours, Practice
from intake.resources import demo
from intake.setup.reading import read_setup

LAB = read_setup(demo("lab.toml"))
YEARS = range(2024, 2028)


def sunday(year, month, which):
    """The first, second … Sunday of a month, or with -1 the last."""
    days = [week[SUNDAY] for week in monthcalendar(year, month) if week[SUNDAY]]
    return date(year, month, days[which])


def summer_in_britain(day):
    return sunday(day.year, 3, -1) <= day < sunday(day.year, 10, -1)


def summer_in_new_york(day):
    return sunday(day.year, 3, 1) <= day < sunday(day.year, 11, 0)


def days(year):
    return [date(year, 1, 1) + timedelta(days=n) for n in range(365)]


@pytest.mark.parametrize("year", YEARS)
def test_noon_in_new_york_is_at_five_in_london_and_at_four_in_the_weeks_between_the_changes(year):
    for day in days(year):
        hours = 5 + summer_in_britain(day) - summer_in_new_york(day)
        noon = datetime.combine(day, time(12))
        assert carried(noon, "America/New_York", "Europe/London") == noon + timedelta(hours=hours)
        assert carried(noon + timedelta(hours=hours), "Europe/London", "America/New_York") == noon


@pytest.mark.parametrize("year", YEARS)
def test_a_practice_in_new_york_opens_at_nine_by_its_own_clock_on_every_day_of_the_year(year):
    hours = (OpeningHours(weekdays=tuple(range(7)), open=("09:00-17:00",)),)
    everyday = tuple(range(7))
    abroad = Practice(
        code="FAR", name="Far", country="US", zone="America/New_York", hours=hours, open_weekdays=everyday
    )
    opens = [
        datetime.combine(day, time(9)) + timedelta(hours=5 + summer_in_britain(day) - summer_in_new_york(day))
        for day in days(year)
        if day.weekday() in (1, 2)  # most bank holidays there are Mondays; the rest are told by name
    ]
    told = [open_now(abroad, LAB, moment) for moment in opens]
    closed = [now.why for now in told if not now.open]
    assert all(why.startswith("closed: ") for why in closed)
    assert len(closed) < 6
    assert not any(open_now(abroad, LAB, moment - timedelta(minutes=1)).open for moment in opens)
