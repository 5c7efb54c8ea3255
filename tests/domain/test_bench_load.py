"""The load of the benches, by a small lab that works Monday to Friday in November 2026."""

from collections import Counter
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.bench_load import Asking, LabDays, bench_loads, bench_room
from intake.domain.bench_rules import Bench
from intake.domain.calendar import lab_calendar
from intake.domain.lab import CalendarRules, Closure
from tests.domain.test_scheduling import most_on_time

CALENDAR = lab_calendar(CalendarRules(zone="Europe/London", country="GB", subdivision="ENG"))
TODAY = date(2026, 11, 25)
"""A Wednesday."""
BENCHES = {
    "Casting": Bench(name="Casting", capacity=2),
    "Splints": Bench(name="Splints"),
    "Checking": Bench(name="Checking", capacity=1),
}


def day(number):
    """A day by its number of working days from today."""
    return CALENDAR.forward(TODAY, number) if number >= 0 else CALENDAR.back(TODAY, -number)


def asking(*jobs, last=6, start=0, held=False, behind=0, here=False):
    """Jobs of the route Casting 1, Splints 3, Checking 1, the last bench of which has to be done on a day."""
    route = (("Casting", day(last - 4)), ("Splints", day(last - 1)), ("Checking", day(last)))
    return Asking(route, day(start), day(last - 4), jobs, held, behind, here)


def loads(*askings, benches=BENCHES, calendar=CALENDAR, today=TODAY):
    return {load.bench: load for load in bench_loads(askings, benches, calendar, today)}


def test_a_job_is_asked_of_each_bench_on_the_day_by_which_that_bench_has_to_be_done():
    found = loads(asking("1", "2"))
    assert {name: list(load.days) for name, load in found.items()} == {
        "Casting": [day(2)],
        "Splints": [day(5)],
        "Checking": [day(6)],
    }
    assert found["Casting"].days[day(2)].asked == ("1", "2")


def test_the_benches_stand_as_the_setup_has_them_and_one_that_only_a_job_names_comes_last():
    other = Asking((("Milling", day(3)),), day(0), day(3), ("9",))
    assert list(loads(other)) == ["Casting", "Splints", "Checking", "Milling"]
    assert loads(other)["Milling"].capacity is None


@pytest.mark.parametrize(
    ("behind", "here", "left"),
    [
        pytest.param(0, False, ["Casting", "Splints", "Checking"], id="at reception"),
        pytest.param(0, True, ["Casting", "Splints", "Checking"], id="on the first bench"),
        pytest.param(1, False, ["Splints", "Checking"], id="between two benches"),
        pytest.param(1, True, ["Splints", "Checking"], id="on the second"),
        pytest.param(3, False, [], id="done with all"),
    ],
)
def test_a_bench_that_a_job_has_behind_it_is_not_asked_any_more(behind, here, left):
    assert [name for name, load in loads(asking("1", behind=behind, here=here)).items() if load.days] == left


def test_what_should_have_been_done_before_today_is_asked_today():
    found = loads(asking("1", last=2), asking("2", last=4))
    cell = found["Casting"].days[TODAY]
    assert (cell.asked, cell.overdue) == (("1", "2"), ("1",))


def test_held_jobs_are_counted_apart_and_none_of_them_is_called_late():
    found = loads(asking("1", "2", "3", held=True), asking("4"))
    assert found["Casting"].days[day(2)].held == ("1", "2", "3")
    assert found["Casting"].days[day(2)].asked == ("4",)
    assert found["Casting"].late == ()


def test_a_bench_whose_capacity_is_not_counted_has_nobody_late():
    assert loads(asking(*"123456789"))["Splints"].late == ()


def test_work_that_is_ready_earlier_is_worked_earlier_so_that_the_day_holds():
    # Four on one day at a bench that does two a day, ready two days before: nobody is late.
    assert loads(asking(*"1234"))["Casting"].late == ()


def test_more_than_a_bench_can_do_until_their_day_makes_the_last_ones_late():
    late = loads(asking(*"1234567"))["Casting"].late
    assert [(part.jobs, part.by, part.done, part.days) for part in late] == [(("7",), day(2), day(3), 1)]
    assert [(job.in_itself, job.to_move) for job in late] == [(False, True)]


def test_one_job_that_is_moved_can_save_several():
    # One too many on the first day, then a full week: by due date every day's job is a day late; one moved saves all.
    benches = {"Checking": Bench(name="Checking", capacity=1)}
    rows = [
        Asking((("Checking", day(number)),), TODAY, day(number), (str(at),))
        for at, number in enumerate((0, 0, 1, 2, 3, 4))
    ]
    load = loads(*rows, benches=benches)["Checking"]
    assert [part.jobs for part in load.late] == [("1",), ("2",), ("3",), ("4",), ("5",)]
    assert [part.jobs for part in load.late if part.to_move] == [("1",)]
    assert load.to_move == 1


def test_a_job_that_starts_too_late_is_late_on_an_idle_bench_too():
    (late,) = loads(asking("1", last=4, start=2))["Checking"].late
    assert (late.by, late.done, late.days, late.in_itself) == (day(4), day(6), 2, True)


def test_a_job_on_the_bench_can_be_done_there_today():
    assert loads(asking("1", last=0, behind=2, here=True))["Checking"].late == ()
    assert loads(asking("1", last=0, behind=2))["Checking"].late == ()


def test_the_next_bench_begins_when_the_one_before_can_be_done():
    assert loads(asking("1", last=1, behind=1, here=True))["Checking"].late == ()
    (late,) = loads(asking("1", last=0, behind=1, here=True))["Checking"].late
    assert (late.done, late.days) == (day(1), 1)
    (late,) = loads(asking("1", last=2, behind=1))["Checking"].late
    assert (late.done, late.days) == (day(3), 1)


def test_closed_days_are_no_days_of_a_bench():
    calendar = lab_calendar(
        CalendarRules(
            zone="Europe/London", country="GB", closures=(Closure(first=TODAY, last=day(1), name="stocktaking"),)
        )
    )
    found = loads(asking("1", last=4), calendar=calendar)
    assert list(found["Casting"].days) == [day(2)]


def test_a_full_day_has_no_room_and_the_next_one_has():
    room = bench_room([asking(*"123456")], BENCHES, CALENDAR, TODAY)
    assert [room.next_free("Casting", day(at), CALENDAR) for at in range(4)] == [day(3)] * 4


def test_a_day_has_room_while_its_work_can_be_done_earlier():
    room = bench_room([asking(*"1234")], BENCHES, CALENDAR, TODAY)
    assert room.next_free("Casting", day(2), CALENDAR) == day(2)


def test_held_jobs_keep_their_places_for_the_promise():
    room = bench_room([asking(*"123456", held=True)], BENCHES, CALENDAR, TODAY)
    assert room.next_free("Casting", day(2), CALENDAR) == day(3)


def test_a_bench_without_a_capacity_always_has_room():
    room = bench_room([asking(*"123456789")], BENCHES, CALENDAR, TODAY)
    assert room.next_free("Splints", day(5), CALENDAR) == day(5)
    assert room.next_free("Cellar", date(2026, 11, 28), CALENDAR) == date(2026, 11, 30)


@st.composite
def some_askings(draw):
    made = []
    for at in range(draw(st.integers(0, 6))):
        made.append(
            asking(
                str(at),
                last=draw(st.integers(-1, 6)),
                start=draw(st.integers(-2, 3)),
                held=draw(st.booleans()),
                behind=draw(st.integers(0, 3)),
                here=draw(st.booleans()),
            )
        )
    return made


@given(some_askings(), st.integers(1, 2))
def test_the_fewest_are_moved_and_what_is_left_keeps_its_day(made, capacity):
    benches = {name: Bench(name=name, capacity=capacity) for name in BENCHES}
    for name, load in loads(*made, benches=benches).items():
        windows = _windows_of(made, name)
        assert load.to_move == len(windows) - most_on_time(list(windows.values()), capacity)
        moved = {number for part in load.late if part.to_move for number in part.jobs}
        kept = [window for number, window in windows.items() if number not in moved]
        assert most_on_time(kept, capacity) == len(kept)


def _windows_of(made, bench):
    """By hand, for a job of one day at Casting, three at Splints and one at Checking."""
    ends = {"Casting": 0, "Splints": 3, "Checking": 4}
    names, windows, days = list(ends), {}, LabDays(CALENDAR, TODAY)
    for each in made:
        if each.held or names.index(bench) < each.behind:
            continue
        begins = max(days.number(each.start), 0)
        if each.here:
            begins = -ends[names[each.behind]]
        elif each.behind:
            begins = -ends[names[each.behind - 1]] - 1
        windows[each.jobs[0]] = (max(begins + ends[bench], 0), days.number(each.route[-1][1]) - 4 + ends[bench])
    return windows


@given(some_askings())
def test_every_open_job_is_asked_of_each_bench_that_is_left_exactly_once(made):
    for name, load in loads(*made).items():
        asked = Counter(number for cell in load.days.values() for number in (*cell.asked, *cell.held))
        left = [each.jobs[0] for each in made if name in [bench for bench, _ in each.route[each.behind :]]]
        assert asked == Counter(left)


@given(some_askings(), st.integers(1, 2))
def test_one_more_job_on_a_day_with_room_makes_no_other_late(made, capacity):
    benches = {"Checking": Bench(name="Checking", capacity=capacity)}
    before = loads(*made, benches=benches)["Checking"]
    room = bench_room(made, benches, CALENDAR, TODAY)
    for at in range(8):
        if day(at) in room.full.get("Checking", ()):
            continue
        more = Asking((("Checking", day(at)),), day(at), day(at), ("more",))
        assert loads(*made, more, benches=benches)["Checking"].to_move <= before.to_move


def test_what_is_due_beyond_the_horizon_is_not_counted_yet():
    far = TODAY + timedelta(days=600)
    assert loads(Asking((("Casting", far),), TODAY, far, ("1",)))["Casting"].days == {}
    long_ago = TODAY - timedelta(days=900)
    found = loads(Asking((("Casting", long_ago),), long_ago, long_ago, ("1",)))["Casting"]
    assert found.days[TODAY].overdue == ("1",)
