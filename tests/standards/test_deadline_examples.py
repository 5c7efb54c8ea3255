"""The dates of a job against worked examples, counted by hand on the official calendar of bank holidays.

How a lab counts back from an appointment is common practice, no source; the bank holidays within the examples are those
of the UK government's published data file (see test_bank_holidays.py).
"""

from datetime import date, datetime

import pytest

from intake.domain.deadlines import count_deadlines
from intake.domain.lab import CalendarRules, DeadlineRules, Lab, Step
from intake.domain.practice import Practice
from intake.domain.verdict import BenchDate

ROUTE = (Step(bench="Casting", days=1), Step(bench="Splints", days=3), Step(bench="Checking", days=1))
ENGLISH_LAB = Lab.model_construct(
    calendar=CalendarRules(zone="Europe/London", country="GB", subdivision="ENG"), deadlines=DeadlineRules()
)


def counted(appointment, arrived, practice=None):
    return count_deadlines(appointment, ROUTE, arrived, arrived, practice, ENGLISH_LAB)


def test_the_worked_example_of_an_appointment_on_thursday_10_december_2026():
    told = counted(datetime(2026, 12, 10, 9, 30), datetime(2026, 11, 25, 8, 40))
    assert told.with_practice == date(2026, 12, 9)
    assert told.must_leave == date(2026, 12, 8)
    assert told.route == (
        BenchDate(bench="Casting", by=date(2026, 12, 2)),
        BenchDate(bench="Splints", by=date(2026, 12, 7)),
        BenchDate(bench="Checking", by=date(2026, 12, 8)),
    )
    assert told.latest_start == date(2026, 12, 2)
    assert told.reply_by == datetime(2026, 12, 1, 12, 0)
    assert (told.start, told.spare_days) == (date(2026, 11, 25), 5)
    assert (told.outlook, told.earliest_appointment) == ("comfortable", None)


def test_the_same_case_arriving_on_the_latest_start_after_cut_off_is_late():
    # Starts Thu 3; leaves five working days on, Wed 9; there Thu 10; an open day later, Fri 11.
    told = counted(datetime(2026, 12, 10, 9, 30), datetime(2026, 12, 2, 12, 30))
    assert (told.outlook, told.spare_days, told.earliest_appointment) == ("late", -1, date(2026, 12, 11))


def test_an_appointment_just_after_the_christmas_of_2026():
    # Closed: Fri 25 and Mon 28 December, Fri 1 January.
    told = counted(date(2027, 1, 4), datetime(2026, 12, 16, 9, 0))
    assert told.with_practice == date(2026, 12, 31)
    assert told.must_leave == date(2026, 12, 30)
    assert [bench.by for bench in told.route] == [date(2026, 12, 22), date(2026, 12, 29), date(2026, 12, 30)]
    assert told.reply_by == datetime(2026, 12, 21, 12, 0)


@pytest.mark.parametrize(
    ("part", "with_practice", "must_leave"),
    [
        pytest.param("SCT", date(2026, 6, 12), date(2026, 6, 11), id="in Scotland, shut on Mon 15 June 2026"),
        pytest.param("ENG", date(2026, 6, 15), date(2026, 6, 12), id="in England, open that day"),
    ],
)
def test_an_english_lab_and_a_practice_elsewhere_keep_their_own_bank_holidays(part, with_practice, must_leave):
    practice = Practice(code="GLEN", name="Glen Road", subdivision=part)
    told = counted(date(2026, 6, 16), datetime(2026, 6, 1, 9, 0), practice)
    assert (told.with_practice, told.must_leave) == (with_practice, must_leave)


def test_the_english_lab_works_on_the_scottish_one_off_holiday():
    told = counted(
        date(2026, 6, 18), datetime(2026, 6, 1, 9, 0), Practice(code="GLEN", name="Glen Road", subdivision="SCT")
    )
    assert [bench.by for bench in told.route] == [date(2026, 6, 10), date(2026, 6, 15), date(2026, 6, 16)]
