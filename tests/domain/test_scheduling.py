"""A bench that finishes so many jobs a day, against every way in which they could be put on days."""

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from intake.domain.scheduling import Task, days_with_room, fewest_late, fewest_late_a_day, worked_off

DAYS = 6


def windows():
    window = st.tuples(st.integers(0, DAYS - 1), st.integers(-2, DAYS - 1))
    return st.lists(window, max_size=9)


a_day = st.integers(1, 3)


def most_on_time(jobs, per_day):
    """How many jobs can keep their day at the most: a matching of jobs and places, by augmenting paths."""
    places = [(day, place) for day in range(DAYS + 10) for place in range(per_day)]
    held = {}

    def put(job, tried):
        ready, due = jobs[job]
        for place in places:
            if not ready <= place[0] <= due or place in tried:
                continue
            tried.add(place)
            if place not in held or put(held[place], tried):
                held[place] = job
                return True
        return False

    return sum(put(job, set()) for job in range(len(jobs)))


def least_lateness(jobs, per_day):
    """The least number of days by which the latest has to be late: the first for which all can be placed."""
    late = -20
    while most_on_time([(ready, due + late) for ready, due in jobs], per_day) < len(jobs):
        late += 1
    return late


@given(windows(), a_day)
def test_every_job_is_worked_once_none_before_it_is_ready_and_no_more_than_the_bench_can_do(jobs, per_day):
    worked = worked_off(Counter(jobs), per_day)
    assert Counter(dict.fromkeys(jobs, 0)) + Counter(jobs) == _windows(worked)
    assert all(done.day >= done.ready for done in worked)
    taken = Counter()
    for done in worked:
        taken[done.day] += done.count
    assert max(taken.values(), default=0) <= per_day


def _windows(worked):
    found = Counter()
    for done in worked:
        found[done.ready, done.due] += done.count
    return found


@given(windows().filter(bool), a_day)
def test_by_due_date_the_latest_job_is_as_little_late_as_it_can_be(jobs, per_day):
    worked = worked_off(Counter(jobs), per_day)
    assert max(done.day - done.due for done in worked) == least_lateness(jobs, per_day)


@given(windows(), a_day)
def test_as_many_as_can_be_keep_their_day(jobs, per_day):
    late = sum(fewest_late_a_day(Counter(jobs), per_day).values())
    assert late == len(jobs) - most_on_time(jobs, per_day)


@given(windows(), a_day)
def test_what_is_left_out_is_late_by_due_date_too(jobs, per_day):
    late = Counter()
    for done in worked_off(Counter(jobs), per_day):
        late[done.ready, done.due] += done.count if done.day > done.due else 0
    for window, count in fewest_late_a_day(Counter(jobs), per_day).items():
        assert late[window] >= count


@given(windows(), a_day)
def test_where_all_are_ready_at_once_it_is_moore_and_hodgsons_rule(jobs, per_day):
    at_once = Counter((0, due) for _, due in jobs)
    tasks = [Task(number, 1, (due + 1) * per_day) for number, (_, due) in enumerate(jobs)]
    assert sum(fewest_late_a_day(at_once, per_day).values()) == len(fewest_late(tasks).late)


@given(windows(), a_day)
def test_a_day_has_room_exactly_where_one_more_job_makes_no_other_later(jobs, per_day):
    worked = worked_off(Counter(jobs), per_day)
    room = days_with_room(worked, per_day, DAYS)
    promised = [(done.ready, max(done.due, done.day)) for done in worked for _ in range(done.count)]
    for day in range(DAYS):
        fits = most_on_time([*promised, (day, day)], per_day) == len(promised) + 1
        assert fits is (day in room)
        assert fits is (day in days_with_room(worked, per_day, day + 1))


def test_an_idle_bench_has_room_on_every_day():
    assert days_with_room((), 1, 3) == {0, 1, 2}
    assert worked_off({}, 2) == ()
    assert fewest_late_a_day({(0, 3): 2}, 1) == {}
