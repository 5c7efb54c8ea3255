"""What the open jobs ask of the benches, at a desk with the demo's lab."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from intake.desk.book_in import amend, book
from intake.desk.load import jobs_at, late_at, load_of, room_of
from intake.desk.withdraw import withdraw
from intake.domain.lab import LoadRules, Step
from intake.store.move_rows import StandsAt
from tests.desk.desks import NOW, day_case
from tests.desk.labs import lab_with

TODAY = NOW.date()
SOON = date(2026, 12, 8)


def at(desk, capacity=2, promise=False, **changed):
    """The desk of a lab whose benches all finish so many jobs a day."""
    benches = tuple(bench.model_copy(update={"capacity": capacity}) for bench in desk.lab.bench_by_name.values())
    return replace(desk, lab=lab_with(desk.lab, benches=benches, load=LoadRules(promise=promise), **changed))


def splints(desk, count, appointment=datetime(2026, 12, 10, 9, 30), name="01"):
    case = day_case(name).model_copy(update={"appointment": appointment, "arrived": NOW})
    return [book(desk, case.model_copy(update={"notes": f"{n}"}), f"t-{name}-{appointment}-{n}") for n in range(count)]


def line_of(load, bench):
    return next(line for line in load.benches if line.bench == bench)


def cells(load, bench):
    """Asked, overdue and held of each day on which anything is."""
    return {
        cell.day: (len(cell.asked), cell.overdue, len(cell.held))
        for cell in line_of(load, bench).cells
        if cell.asked or cell.held
    }


def move(desk, booked, kind, bench, to):
    job = desk.store.read.job(booked.jobs[0].number)
    with desk.work() as work:
        work.moves.move(job.job_id, job.version, kind, bench, to)
        work.commit()


def route_of(desk, booked):
    return {step.bench: step.by for step in desk.store.read.job(booked.jobs[0].number).deadlines.route}


def test_each_bench_is_asked_on_the_day_that_the_ticket_names(desk):
    desk = at(desk)
    booked = splints(desk, 3)
    by = route_of(desk, booked[0])
    load = load_of(desk, TODAY, 15)
    for bench in ("Casting", "Splints", "Checking"):
        assert cells(load, bench) == {by[bench]: (3, 0, 0)}
    cell = next(cell for cell in line_of(load, "Casting").cells if cell.asked)
    assert (set(cell.asked), cell.capacity, cell.over) == ({b.jobs[0].number for b in booked}, 2, 1)


def test_the_picture_begins_today_and_names_why_other_days_are_closed(desk):
    load = load_of(desk, TODAY - timedelta(days=10), 8)
    assert load.days[0].day == TODAY
    assert len([day for day in load.days if not day.closed]) == 8
    assert {day.day: day.closed for day in load.days if day.closed}[date(2026, 11, 28)] == "Saturday"
    assert all(len(line.cells) == 8 for line in load.benches)


def test_a_picture_that_begins_later_still_counts_from_today(desk):
    desk = at(desk, capacity=1)
    splints(desk, 8)
    assert line_of(load_of(desk, SOON, 2), "Checking").late == line_of(load_of(desk, TODAY, 15), "Checking").late


def test_every_bench_of_the_setup_has_its_line_in_the_setups_order(desk):
    load = load_of(desk, TODAY, 5)
    assert [line.bench for line in load.benches] == list(desk.lab.bench_by_name)


def test_held_jobs_are_apart_and_withdrawn_ones_gone(desk):
    (clear,) = splints(desk, 1)
    (held,) = splints(desk, 1, name="03")
    assert desk.store.read.job(held.jobs[0].number).state == "held"
    counted = load_of(desk, TODAY, 15)
    assert sum(asked for asked, _, _ in cells(counted, "Checking").values()) == 1
    assert sum(held for _, _, held in cells(counted, "Checking").values()) == 1
    withdraw(desk, clear.case_id, clear.version, "not wanted")
    withdraw(desk, held.case_id, held.version, "not wanted")
    assert cells(load_of(desk, TODAY, 15), "Checking") == {}


def test_a_bench_that_a_box_has_passed_is_not_asked_any_more(desk):
    (booked,) = splints(desk, 1)
    move(desk, booked, "handed-over", "Casting", StandsAt("gone", "Casting"))
    assert cells(load_of(desk, TODAY, 15), "Casting") != {}
    move(desk, booked, "out", "Casting", StandsAt("gone", "Splints"))
    assert cells(load_of(desk, TODAY, 15), "Casting") == {}
    assert cells(load_of(desk, TODAY, 15), "Splints") != {}
    move(desk, booked, "back", "Splints", StandsAt("clear", None))
    assert cells(load_of(desk, TODAY, 15), "Casting") == {}
    assert cells(load_of(desk, TODAY, 15), "Splints") != {}
    move(desk, booked, "out", "Checking", StandsAt("gone", None, finished=True))
    assert [cells(load_of(desk, TODAY, 15), bench) for bench in ("Splints", "Checking")] == [{}, {}]


def test_a_route_that_goes_over_a_bench_twice_is_told_apart_by_the_moves(desk):
    route = (Step(bench="Casting"), Step(bench="Checking"), Step(bench="Splints"), Step(bench="Checking"))
    categories = tuple(
        each.model_copy(update={"route": route}) if each.id == "splints" else each for each in desk.lab.categories
    )
    desk = at(desk, categories=categories)
    (booked,) = splints(desk, 1)
    assert len(cells(load_of(desk, TODAY, 15), "Checking")) == 2
    move(desk, booked, "in", "Checking", StandsAt("gone", "Checking"))
    assert len(cells(load_of(desk, TODAY, 15), "Checking")) == 2
    move(desk, booked, "out", "Checking", StandsAt("gone", "Splints"))
    move(desk, booked, "in", "Checking", StandsAt("gone", "Checking"))
    (last,) = cells(load_of(desk, TODAY, 15), "Checking")
    assert last == desk.store.read.job(booked.jobs[0].number).deadlines.route[-1].by
    assert cells(load_of(desk, TODAY, 15), "Splints") == {}


def test_the_jobs_of_a_bench_and_a_day_are_listed_with_those_that_are_late_first(desk):
    desk = at(desk, capacity=1)
    booked = splints(desk, 7)  # Casting by Wed 2 Dec: six days from today, one a day
    line = line_of(load_of(desk, TODAY, 15), "Casting")
    (cell,) = [cell for cell in line.cells if cell.asked]
    assert (line.late_count, line.to_move, cell.over) == (1, 1, 6)
    jobs = jobs_at(desk, line, cell)
    assert {job.number for job in jobs} == {b.jobs[0].number for b in booked}
    assert jobs[0].late == "1 working day late, done on Thu 3 Dec, because the bench is full; give it a later day"
    assert [job.late for job in jobs[1:]] == [""] * 6
    first = jobs[0]
    assert (first.colour, first.where, first.must_leave, first.held) == ("Blue", "reception", "Tue 8 Dec", False)
    assert first.practice == "Fernhallow Dental Care"
    assert late_at(desk, line) == jobs[:1]
    assert len(jobs_at(desk, line, cell, most=3)) == 3


def test_a_job_that_started_too_late_is_late_by_its_own_dates(desk):
    desk = at(desk, capacity=50)
    (booked,) = splints(desk, 1, datetime(2026, 12, 1, 9, 0))
    line = line_of(load_of(desk, TODAY, 15), "Checking")
    assert line.to_move == 1
    (job,) = late_at(desk, line)
    assert (job.number, "by its own dates" in job.late) == (booked.jobs[0].number, True)


def test_the_promise_counts_the_load_only_where_the_setup_says_so(desk):
    idle = at(desk, capacity=1)
    splints(idle, 12)
    late = day_case("01").model_copy(update={"appointment": datetime(2026, 11, 27, 9, 0), "arrived": NOW})
    off, on = (at(desk, capacity=1, promise=promise).judge(late).jobs[0].deadlines for promise in (False, True))
    assert off.crowded == ()
    assert on.earliest_appointment > off.earliest_appointment
    assert on.crowded[0].bench == "Casting"
    assert on.route == off.route


def test_what_is_booked_with_a_promise_that_counts_the_load_keeps_it(desk):
    splints(at(desk, capacity=1), 12)
    desk = at(desk, capacity=1, promise=True)
    (booked,) = splints(desk, 1, datetime(2026, 11, 27, 9, 0))
    stands = desk.store.read.job(booked.jobs[0].number).deadlines
    assert stands.crowded
    assert stands.earliest_appointment == booked.verdict.jobs[0].deadlines.earliest_appointment
    case = desk.store.read.case(booked.case_id)
    moved = case.case.model_copy(update={"appointment": stands.earliest_appointment})
    amended = amend(desk, booked.case_id, case.version, moved)
    assert amended.verdict.jobs[0].deadlines.outlook != "late"


def test_the_room_is_read_now_and_then_and_not_for_each_verdict(desk):
    clock = [NOW]
    desk = replace(at(desk, promise=True), now=lambda: clock[0])
    read = desk.room
    assert desk.room is read
    assert replace(desk, person="CD").room is read
    clock[0] += timedelta(minutes=11)
    assert desk.room is not read
    assert at(desk).room is None


def test_the_days_without_room_follow_the_capacity(desk):
    desk = at(desk, capacity=1)
    splints(desk, 6)
    full = room_of(desk).full
    november, december = (25, 26, 27, 30), (1, 2)
    days = [*(date(2026, 11, day) for day in november), *(date(2026, 12, day) for day in december)]
    assert sorted(full["Casting"]) == days
    assert room_of(at(desk, capacity=2)).full["Casting"] == frozenset()


@pytest.mark.parametrize("capacity", [None, 1])
def test_an_empty_lab_has_nothing_late(desk, capacity):
    load = load_of(at(desk, capacity=capacity), TODAY, 5)
    assert all(not line.late and not any(cell.asked or cell.held for cell in line.cells) for line in load.benches)
