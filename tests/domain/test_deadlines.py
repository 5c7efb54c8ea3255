from datetime import date, datetime, time, timedelta
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.domain.bank_holidays import HolidaysUnknown
from intake.domain.bench_room import BenchRoom
from intake.domain.calendar import lab_calendar, practice_calendar
from intake.domain.deadlines import NeverDelivered, count_deadlines, explain_deadlines
from intake.domain.lab import CalendarRules, Closure, DeadlineRules, Lab, Step
from intake.domain.practice import Practice

ROUTE = (Step(bench="Casting"), Step(bench="Splints", days=3), Step(bench="Checking"))
EARLY = datetime(2026, 1, 2, 9, 0)


def a_lab(calendar=None, **deadlines):
    rules = CalendarRules(zone="Europe/London", country="GB", subdivision="ENG", **(calendar or {}))
    return Lab.model_construct(calendar=rules, deadlines=DeadlineRules(**deadlines))


def a_practice(**said):
    return Practice(code="MILL", name="Mill Lane", **said)


def counted(appointment, lab=None, practice=None, route=ROUTE, arrived=EARLY, now=EARLY):
    return count_deadlines(appointment, route, arrived, now, practice, lab or a_lab())


def dates(deadlines):
    return [deadlines.latest_start, *(bench.by for bench in deadlines.route), deadlines.with_practice]


def dec(*days):
    return [date(2026, 12, day) for day in days]


def test_a_route_crosses_christmas_and_new_year():
    # Closed: Fri 25 Dec, Mon 28 Dec (substitute), Fri 1 Jan.
    told = counted(date(2027, 1, 6))
    assert told.with_practice == date(2027, 1, 5)
    assert told.must_leave == date(2027, 1, 4)
    assert [bench.by for bench in told.route] == [date(2026, 12, 24), date(2026, 12, 31), date(2027, 1, 4)]
    assert told.latest_start == date(2026, 12, 24)
    assert told.reply_by == datetime(2026, 12, 23, 12, 0)


def test_the_transit_crosses_christmas():
    told = counted(date(2026, 12, 30), a_lab(transit_days=2))
    assert told.with_practice == date(2026, 12, 29)
    assert told.must_leave == date(2026, 12, 23)


def test_a_closure_of_the_lab_moves_the_benches_and_not_the_carrier():
    shut = Closure(first=date(2026, 12, 7), last=date(2026, 12, 8), name="moving house")
    told = counted(date(2026, 12, 10), a_lab({"closures": (shut,)}))
    assert dates(told) == [date(2026, 11, 30), date(2026, 11, 30), *dec(3, 4, 9)]


def test_a_practice_that_is_shut_on_wednesdays_has_the_work_a_day_earlier():
    told = counted(date(2026, 12, 10), practice=a_practice(open_weekdays=(0, 1, 3, 4)))
    assert (told.with_practice, told.must_leave) == (date(2026, 12, 8), date(2026, 12, 7))


def test_a_carrier_that_delivers_on_saturdays_saves_days_for_a_practice_open_on_saturdays():
    practice = a_practice(open_weekdays=(0, 1, 2, 3, 4, 5))
    monday = date(2026, 12, 14)
    told = counted(monday, a_lab(delivery_weekdays=(0, 1, 2, 3, 4, 5)), practice)
    assert (told.with_practice, told.must_leave) == (date(2026, 12, 12), date(2026, 12, 11))
    told = counted(monday, a_lab(), practice)
    assert (told.with_practice, told.must_leave) == (date(2026, 12, 11), date(2026, 12, 10))


def test_the_work_is_handed_over_on_a_day_when_the_practice_is_open_and_the_carrier_comes():
    told = counted(date(2026, 12, 15), practice=a_practice(open_weekdays=(1, 5)))  # Tuesdays and Saturdays
    assert told.with_practice == date(2026, 12, 8)


def test_work_that_is_done_on_a_day_without_a_carrier_has_to_be_done_by_the_carriers_last_day_before():
    saturdays_too = a_lab({"weekdays": (0, 1, 2, 3, 4, 5)})
    told = counted(date(2026, 12, 15), saturdays_too)
    assert (told.with_practice, told.must_leave) == (date(2026, 12, 14), date(2026, 12, 11))
    # From Mon 7 on, five working days end on Fri 11; from Tue 8 on, on Sat 12, which the carrier takes on Mon 14.
    for now, earliest in ((datetime(2026, 12, 7, 9, 0), 15), (datetime(2026, 12, 8, 9, 0), 16)):
        told = counted(date(2026, 12, 1), saturdays_too, arrived=now, now=now)
        assert told.earliest_appointment == date(2026, 12, earliest)


def test_a_scottish_practice_is_shut_on_saint_andrews_day_and_the_english_lab_works():
    told = counted(date(2026, 12, 1), practice=a_practice(subdivision="SCT"))
    assert (told.with_practice, told.must_leave) == (date(2026, 11, 27), date(2026, 11, 26))
    told = counted(date(2026, 12, 1), practice=a_practice())
    assert (told.with_practice, told.must_leave) == (date(2026, 11, 30), date(2026, 11, 27))


@pytest.mark.parametrize(
    ("appointment", "with_practice"),
    [
        pytest.param(date(2026, 12, 12), date(2026, 12, 11), id="a Saturday"),
        pytest.param(date(2026, 12, 28), date(2026, 12, 24), id="a bank holiday"),
    ],
)
def test_an_appointment_on_a_day_when_the_practice_is_closed_counts_from_its_last_open_day(appointment, with_practice):
    assert counted(appointment).with_practice == with_practice


def test_an_appointment_in_the_past_is_late_and_the_earliest_that_holds_is_to_come():
    now = datetime(2026, 11, 25, 9, 0)
    told = counted(date(2026, 11, 2), arrived=now, now=now)
    assert told.outlook == "late"
    assert told.earliest_appointment == date(2026, 12, 3)


def test_a_practices_own_days_in_transit_go_before_the_labs():
    assert counted(date(2026, 12, 10), practice=a_practice(transit_days=2)).must_leave == date(2026, 12, 7)
    assert counted(date(2026, 12, 10), practice=a_practice(transit_days=0)).must_leave == date(2026, 12, 9)


def test_no_days_before_the_appointment_leaves_the_work_for_the_same_day():
    assert counted(date(2026, 12, 10), a_lab(days_before=0, transit_days=0)).must_leave == date(2026, 12, 10)


def test_a_job_without_benches_starts_on_the_day_it_leaves():
    told = counted(date(2026, 12, 10), route=())
    assert told.latest_start == told.must_leave == date(2026, 12, 8)


def test_the_hour_of_an_appointment_does_not_move_its_day():
    assert (
        counted(datetime(2026, 12, 10, 0, 5)) == counted(datetime(2026, 12, 10, 23, 55)) == counted(date(2026, 12, 10))
    )


def test_the_reply_hour_is_the_labs_own():
    assert counted(date(2026, 12, 10), a_lab(reply_hour=time(16, 30))).reply_by == datetime(2026, 12, 1, 16, 30)


@pytest.mark.parametrize(
    ("arrived", "now", "start"),
    [
        pytest.param(datetime(2026, 11, 25, 8, 40), datetime(2026, 11, 25, 9, 0), date(2026, 11, 25), id="now"),
        pytest.param(
            datetime(2026, 11, 25, 8, 40), datetime(2026, 11, 25, 14, 0), date(2026, 11, 26), id="now, after cut-off"
        ),
        pytest.param(
            datetime(2026, 11, 24, 8, 40), datetime(2026, 11, 25, 9, 0), date(2026, 11, 25), id="arrived before today"
        ),
        pytest.param(
            datetime(2026, 11, 30, 8, 40), datetime(2026, 11, 25, 9, 0), date(2026, 11, 30), id="still to arrive"
        ),
    ],
)
def test_work_starts_from_the_later_of_the_arrival_and_the_present(arrived, now, start):
    assert counted(date(2026, 12, 10), arrived=arrived, now=now).start == start


@pytest.mark.parametrize(
    ("now", "outlook", "spare"),
    [
        pytest.param(datetime(2026, 11, 27, 9, 0), "comfortable", 3, id="three working days"),
        pytest.param(datetime(2026, 11, 30, 9, 0), "comfortable", 2, id="as many as the lab wants"),
        pytest.param(datetime(2026, 12, 1, 9, 0), "tight", 1, id="one"),
        pytest.param(datetime(2026, 12, 2, 9, 0), "tight", 0, id="the latest start itself"),
        pytest.param(datetime(2026, 12, 2, 12, 1), "late", -1, id="the latest start after cut-off"),
        pytest.param(datetime(2026, 12, 7, 9, 0), "late", -3, id="three past"),
    ],
)
def test_the_outlook_follows_from_the_working_days_that_are_left(now, outlook, spare):
    told = counted(date(2026, 12, 10), arrived=now, now=now)
    assert (told.outlook, told.spare_days) == (outlook, spare)
    assert (told.earliest_appointment is None) is (outlook != "late")


def test_a_lab_without_slack_calls_the_latest_start_comfortable():
    now = datetime(2026, 12, 2, 9, 0)
    assert counted(date(2026, 12, 10), a_lab(slack_days=0), arrived=now, now=now).outlook == "comfortable"


weekdays = st.frozensets(st.integers(0, 4), min_size=1).map(sorted).map(tuple)
labs = st.builds(
    lambda lab_days, carrier_days, before, transit, shut: a_lab(
        {"weekdays": lab_days, "closures": (Closure(first=shut, last=shut + timedelta(days=9), name="closed"),)},
        delivery_weekdays=carrier_days,
        days_before=before,
        transit_days=transit,
    ),
    st.one_of(weekdays, st.just((0, 1, 2, 3, 4, 5))),
    st.sampled_from([(0, 1, 2, 3, 4), (0, 1, 2, 3, 4, 5), (0, 1, 2, 3, 4, 5, 6), (0, 2, 4, 5)]),
    st.integers(0, 4),
    st.integers(0, 4),
    st.dates(date(2026, 11, 1), date(2027, 2, 1)),
)
practices = st.one_of(
    st.none(),
    st.builds(
        lambda days, part, transit: a_practice(open_weekdays=days, subdivision=part, transit_days=transit),
        st.sampled_from([(0, 1, 2, 3, 4), (0, 1, 2, 3, 4, 5), (0, 1, 3, 4), (2,), (0, 5)]),
        st.sampled_from([None, "SCT", "NIR"]),
        st.sampled_from([None, 0, 1, 3]),
    ),
)
routes = st.lists(st.builds(Step, bench=st.just("Bench"), days=st.integers(1, 4)), max_size=4).map(tuple)
moments = st.datetimes(datetime(2026, 11, 1), datetime(2027, 2, 1))


@given(st.dates(date(2026, 11, 1), date(2027, 3, 1)), labs, practices, routes, moments)
def test_dates_stand_in_the_order_of_the_work_and_on_days_that_are_worked(appointment, lab, practice, route, now):
    told = counted(appointment, lab, practice, route, now, now)
    line = dates(told)
    assert line == sorted(line)
    assert told.with_practice <= appointment
    assert told.reply_by.date() < told.latest_start
    calendar = lab_calendar(lab.calendar)
    at_the_lab = [told.start, told.latest_start, told.must_leave, told.reply_by.date(), *(b.by for b in told.route)]
    assert all(calendar.is_open(day) for day in at_the_lab)
    assert practice_calendar(practice, lab).is_open(told.with_practice)
    if route:
        assert told.route[-1].by == told.must_leave
        benches = sum(step.days for step in route)
        assert calendar.days_between(told.latest_start, told.must_leave) == benches - 1
    assert (told.outlook == "late") is (told.start > told.latest_start) is (told.earliest_appointment is not None)


@settings(max_examples=60)
@given(labs, practices, routes, moments)
def test_the_earliest_appointment_holds_and_no_earlier_one_of_the_practices_days_does(lab, practice, route, now):
    told = counted(date(2026, 10, 1), lab, practice, route, now, now)
    earliest = told.earliest_appointment
    assert counted(earliest, lab, practice, route, now, now).outlook != "late"
    calendar = practice_calendar(practice, lab)
    assert calendar.is_open(earliest)
    day = now.date()
    while day < earliest:
        assert not calendar.is_open(day) or counted(day, lab, practice, route, now, now).outlook == "late"
        day += timedelta(days=1)


@given(st.dates(date(2026, 11, 1), date(2027, 3, 1)), labs, practices, routes, moments)
def test_every_date_is_explained_with_its_day(appointment, lab, practice, route, now):
    told = counted(appointment, lab, practice, route, now, now)
    sentences = explain_deadlines(told, route, practice, lab)
    assert len(sentences) == 4 + len(route)
    assert all(sentence.endswith(".") for sentence in sentences)
    assert sentences[-1].startswith(told.outlook.capitalize())


def test_the_explanation_reads_from_the_appointment_backward():
    told = counted(date(2026, 12, 10), arrived=datetime(2026, 11, 25, 8, 40), now=datetime(2026, 11, 25, 9, 0))
    assert explain_deadlines(told, ROUTE, None, a_lab()) == (
        "With the practice by Wed 9 Dec 2026: 1 open day before the appointment on Thu 10 Dec 2026.",
        "Must leave on Tue 8 Dec 2026: 1 delivery day on the way.",
        "Checking by Tue 8 Dec 2026: 1 working day.",
        "Splints by Mon 7 Dec 2026: 3 working days, from Thu 3 Dec 2026.",
        "Casting by Wed 2 Dec 2026: 1 working day.",
        "Reply by Tue 1 Dec 2026, 12:00: the working day before the latest start, Wed 2 Dec 2026.",
        "Comfortable: work can start on Wed 25 Nov 2026, 5 working days before the latest start, Wed 2 Dec 2026.",
    )


@pytest.mark.parametrize(
    ("appointment", "lab", "practice", "says"),
    [
        pytest.param(
            date(2026, 12, 30),
            a_lab(),
            None,
            "not counting Christmas Day on Fri 25 Dec 2026, Boxing Day (substitute day) on Mon 28 Dec 2026.",
            id="the transit over Christmas",
        ),
        pytest.param(
            date(2026, 12, 12),
            a_lab(),
            None,
            "The practice is closed on the day of the appointment (Saturday).",
            id="an appointment on a closed day",
        ),
        pytest.param(
            date(2026, 12, 10),
            a_lab(),
            a_practice(open_weekdays=(0, 1, 3, 4)),
            "not counting Wednesdays.",
            id="a practice shut on Wednesdays",
        ),
        pytest.param(
            date(2026, 12, 15),
            a_lab(),
            a_practice(open_weekdays=(1, 5)),
            "Nothing can be handed over there after that and until Sat 12 Dec 2026.",
            id="a practice open when nobody delivers",
        ),
        pytest.param(
            date(2026, 12, 10),
            a_lab({"closures": (Closure(first=date(2026, 12, 3), last=date(2026, 12, 4), name="stocktaking"),)}),
            None,
            "not counting stocktaking from Thu 3 Dec 2026 to Fri 4 Dec 2026.",
            id="a closure within a bench's days",
        ),
        pytest.param(
            date(2026, 12, 10), a_lab(transit_days=0), None, "there the same day", id="carried on the same day"
        ),
        pytest.param(
            date(2026, 12, 10), a_lab(days_before=0), None, "in time for the appointment", id="for the day itself"
        ),
    ],
)
def test_an_explanation_names_what_was_not_counted(appointment, lab, practice, says):
    told = counted(appointment, lab, practice)
    assert says in " ".join(explain_deadlines(told, ROUTE, practice, lab))


@pytest.mark.parametrize(
    ("now", "says"),
    [
        pytest.param(
            datetime(2026, 12, 1, 9, 0),
            "Tight: work can start on Tue 1 Dec 2026, 1 working day before the latest start, Wed 2 Dec 2026; "
            "the lab wants 2 to spare.",
            id="tight",
        ),
        pytest.param(
            datetime(2026, 12, 3, 9, 0),
            "Late: work can start on Thu 3 Dec 2026, 1 working day after the latest start, Wed 2 Dec 2026. "
            "The earliest appointment that would hold is Fri 11 Dec 2026.",
            id="late",
        ),
    ],
)
def test_the_outlook_is_explained(now, says):
    told = counted(date(2026, 12, 10), arrived=now, now=now)
    assert explain_deadlines(told, ROUTE, None, a_lab())[-1] == says


def test_a_practice_that_is_open_only_when_nobody_delivers_is_refused_in_words():
    with pytest.raises(NeverDelivered, match="Check the practice's open weekdays and the delivery weekdays"):
        counted(date(2026, 12, 10), practice=a_practice(open_weekdays=(6,)))


def test_an_appointment_in_a_mistyped_year_is_refused_in_words():
    with pytest.raises(HolidaysUnknown, match="not for 2206"):
        counted(date(2206, 12, 10))


def test_the_dates_of_a_job_are_counted_within_a_millisecond():
    lab, practice = a_lab(), a_practice(subdivision="SCT")
    now = datetime(2026, 11, 25, 9, 0)
    counted(date(2026, 12, 10), lab, practice, arrived=now, now=now)  # the holidays of the year are read once
    rounds = 200
    fastest = float("inf")
    for _ in range(5):
        began = perf_counter()
        for _ in range(rounds):
            counted(date(2026, 12, 10), lab, practice, arrived=now, now=now)
        fastest = min(fastest, (perf_counter() - began) / rounds)
    assert fastest < 0.001


FULL = BenchRoom({"Casting": frozenset(dec(3, 4)), "Checking": frozenset(dec(10))})


def test_the_earliest_appointment_waits_for_a_bench_that_has_room():
    # Thu 3 Dec: Casting waits for Mon 7, Splints 8 to 10, Checking for Fri 11; the practice has it on Mon 14.
    now = datetime(2026, 12, 3, 9, 0)
    told = count_deadlines(date(2026, 12, 10), ROUTE, now, now, None, a_lab(), FULL)
    assert told.earliest_appointment == date(2026, 12, 15)
    assert [(c.bench, c.wanted, c.free) for c in told.crowded] == [("Casting", *dec(3, 7))]
    assert explain_deadlines(told, ROUTE, None, a_lab())[-1] == (
        "Late: work can start on Thu 3 Dec 2026, 1 working day after the latest start, Wed 2 Dec 2026. The earliest "
        "appointment that would hold is Tue 15 Dec 2026, as Casting has no room from Thu 3 Dec 2026 until Mon 7 Dec "
        "2026."
    )


def test_every_bench_that_has_no_room_is_named():
    full = BenchRoom({"Casting": frozenset(dec(3)), "Checking": frozenset(dec(10))})
    now = datetime(2026, 12, 3, 9, 0)
    told = count_deadlines(date(2026, 12, 10), ROUTE, now, now, None, a_lab(), full)
    assert (
        "as Casting has no room from Thu 3 Dec 2026 until Fri 4 Dec 2026 and Checking has no room from"
        in (explain_deadlines(told, ROUTE, None, a_lab())[-1])
    )


def test_a_full_bench_changes_nothing_of_a_job_that_is_in_time():
    dates = date(2026, 12, 18), ROUTE, EARLY, EARLY, None, a_lab()
    assert count_deadlines(*dates, FULL) == count_deadlines(*dates)


full_days = st.dictionaries(
    st.sampled_from(["Bench", "Other"]), st.frozensets(st.dates(date(2026, 11, 1), date(2027, 2, 20))), max_size=2
)


@given(labs, practices, routes, moments, full_days)
def test_counting_the_load_never_makes_the_promise_sooner_and_no_load_leaves_it(lab, practice, route, now, full):
    late = date(2026, 10, 1), route, now, now, practice, lab
    idle, loaded = count_deadlines(*late), count_deadlines(*late, BenchRoom(full))
    assert loaded.earliest_appointment >= idle.earliest_appointment
    assert count_deadlines(*late, BenchRoom()) == idle
    assert all(c.free > c.wanted and c.free not in full[c.bench] for c in loaded.crowded)
    assert loaded.model_copy(update={"earliest_appointment": None, "crowded": ()}) == idle.model_copy(
        update={"earliest_appointment": None}
    )
