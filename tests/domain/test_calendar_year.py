"""A year of the lab's calendar, day by day, and what entering days of it changes."""

from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain import calendar_entry
from intake.domain.calendar import lab_calendar
from intake.domain.calendar_year import CLOSURES, WORKED, entered, next_closed, year_of
from intake.domain.form_fields import FormWrong
from intake.domain.lab import CalendarRules, Closure

TODAY = date(2026, 11, 25)
DAYS = st.dates(date(2026, 1, 1), date(2026, 12, 31))


def rules(**said):
    return CalendarRules(**({"zone": "Europe/London", "country": "GB", "subdivision": "ENG"} | said))


def after(before, edits):
    """The rules once the edits are made, one after the other."""
    lists = {CLOSURES: list(before.closures), WORKED: list(before.worked)}
    for edit in edits:
        if edit.value is None:
            del lists[edit.place[:-1]][edit.place[-1]]
        else:
            lists[edit.place].append(Closure(**edit.value) if edit.place == CLOSURES else edit.value)
    return before.model_copy(update={"closures": tuple(lists[CLOSURES]), "worked": tuple(lists[WORKED])})


@st.composite
def some_rules(draw):
    closures = [
        Closure(first=first, last=first + timedelta(days=draw(st.integers(0, 9))), name="shut")
        for first in draw(st.lists(DAYS, max_size=3))
    ]
    weekdays = tuple(sorted(draw(st.sets(st.integers(0, 6), min_size=1))))
    worked = tuple(draw(st.lists(DAYS, max_size=4, unique=True)))
    return rules(weekdays=weekdays, closures=tuple(closures), worked=worked)


@given(some_rules())
def test_the_year_and_the_calendar_say_the_same_of_every_day(given_rules):
    calendar = lab_calendar(given_rules)
    for day, what in year_of(given_rules, 2026).days.items():
        assert (what.kind in ("open", "worked")) == calendar.is_open(day), day


@given(some_rules(), DAYS, st.integers(0, 5))
def test_entering_days_closes_them_all_or_works_them_all(before, first, more):
    last = first + timedelta(days=more)
    if last.year != first.year:
        return
    days = [first + timedelta(days=n) for n in range(more + 1)]
    was_open = [lab_calendar(before).is_open(day) for day in days]
    made = after(before, entered(before, first, last))
    is_open = [lab_calendar(made).is_open(day) for day in days]
    if any(was_open):
        assert not any(is_open)
    elif not any((each.first, each.last) == (first, last) for each in before.closures):
        assert all(is_open)
    outside = [day for day in year_of(before, 2026).days if day not in days]
    assert [lab_calendar(made).is_open(day) for day in outside] == [
        lab_calendar(before).is_open(day) for day in outside
    ]


@given(DAYS)
def test_entering_a_day_twice_takes_it_back(day):
    once = after(rules(), entered(rules(), day, day))
    assert after(once, entered(once, day, day)) == rules()
    assert lab_calendar(once).is_open(day) != lab_calendar(rules()).is_open(day)


def test_a_year_that_is_not_known_has_no_open_day_and_can_still_be_closed():
    island = rules(country="LK", subdivision=None, worked=(date(2027, 1, 2),))
    year = year_of(island, 2027)
    assert "not for 2027" in year.unknown
    assert {day.kind for day in year.days.values()} == {"unknown", "weekday", "worked"}
    monday = date(2027, 1, 4)
    assert entered(island, monday, monday)[0].place == CLOSURES
    assert next_closed(rules(), TODAY) == date(2026, 11, 28)


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (calendar_entry.clock, "9", time(9)),
        (calendar_entry.clock, "12:30:00", time(12, 30)),
        (calendar_entry.weekdays, "mon - wed, sat", [0, 1, 2, 5]),
        (calendar_entry.count, " 0 ", 0),
        (calendar_entry.day, "24 dec", date(2026, 12, 24)),
        (calendar_entry.words, "  Winter   closure ", "Winter closure"),
    ],
)
def test_the_fields_of_the_calendar_are_read_as_people_write_them(read, text, value):
    assert read(text, TODAY) == value


@pytest.mark.parametrize(
    ("read", "text", "says"),
    [
        (calendar_entry.clock, "24:00", "“24:00” is no time of day"),
        (calendar_entry.clock, "", "Write it as 12:00"),
        (calendar_entry.weekdays, "", "at least one day"),
        (calendar_entry.weekdays, "Fri-Mon", "the week is written from Monday on"),
        (calendar_entry.weekdays, "T", "“T” is no weekday"),
        (calendar_entry.count, "366", "from 0 to 365"),
        (calendar_entry.count, "-1", "from 0 to 365"),
        (calendar_entry.day, "24 dec 9.30", "without a time"),
        (calendar_entry.day, "31 nov", "November"),
        (calendar_entry.words, " ", "Write a name"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_would_be_right(read, text, says):
    with pytest.raises(FormWrong, match=says.replace("(", r"\(")):
        read(text, TODAY)
