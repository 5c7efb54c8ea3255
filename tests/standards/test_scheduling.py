"""Due dates on one machine, against worked examples of handbooks.

The examples, each from memory (the text could not be read here), so that each is checked by trying all orders or all
subsets too, which needs none:

  pinedo      Pinedo, Scheduling: Theory, Algorithms, and Systems, the example for 1 || sum of U: two jobs are late.
  french      The example of eight jobs for Moore's algorithm in French, Sequencing and Scheduling, 1982: two are late.
  kleinberg   Kleinberg and Tardos, Algorithm Design, 4.2, as its lectures show it: by due date no job is later than 1.

And one whose figures were read, without a result, in a collection of exercises on Moore and Hodgson's algorithm:

  exercise    Ten jobs.
"""

from itertools import chain, combinations, permutations

import pytest
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from intake.domain.scheduling import Task, by_due_date, fewest_late, greatest_lateness

PINEDO = (7, 9), (8, 17), (4, 18), (6, 19), (6, 21)
FRENCH = (10, 35), (6, 20), (3, 11), (1, 8), (4, 6), (8, 25), (7, 28), (6, 9)
KLEINBERG = (3, 6), (2, 8), (1, 9), (4, 9), (3, 14), (2, 15)
EXERCISE = (
    *((19, 48), (23, 75), (5, 170), (31, 215), (17, 205)),
    *((8, 240), (32, 85), (41, 67), (26, 100), (18, 95)),
)


def tasks(pairs):
    return tuple(Task(number, time, due) for number, (time, due) in enumerate(pairs, start=1))


def names(found):
    return [task.name for task in found]


def keeps_its_dates(some):
    """Whether some order of them has none late: then the one by due date has (Jackson)."""
    return not some or greatest_lateness(by_due_date(some)) <= 0


def least_late_by_trying(all_tasks):
    subsets = chain.from_iterable(combinations(all_tasks, size) for size in range(len(all_tasks), -1, -1))
    return len(all_tasks) - len(next(some for some in subsets if keeps_its_dates(some)))


def least_late_by_every_order(all_tasks):
    """Without any rule at all: how many are late in the best of all orders."""

    def late(order):
        done, count = 0, 0
        for task in order:
            done += task.time
            count += done > task.due
        return count

    return min(late(order) for order in permutations(all_tasks))


def test_the_handbooks_five_jobs_leave_the_first_two_late():
    split = fewest_late(tasks(PINEDO))
    assert (names(split.on_time), sorted(names(split.late))) == ([3, 4, 5], [1, 2])


def test_the_handbooks_eight_jobs_leave_two_late():
    split = fewest_late(tasks(FRENCH))
    assert (names(split.on_time), names(split.late)) == ([5, 4, 3, 2, 7, 1], [8, 6])


def test_the_handbooks_six_jobs_are_at_most_one_late_by_due_date():
    assert names(by_due_date(tasks(KLEINBERG))) == [1, 2, 3, 4, 5, 6]
    assert greatest_lateness(by_due_date(tasks(KLEINBERG))) == 1


@pytest.mark.parametrize(
    "pairs", [PINEDO, FRENCH, KLEINBERG, EXERCISE], ids=["pinedo", "french", "kleinberg", "exercise"]
)
def test_no_subset_of_the_examples_jobs_keeps_more_dates(pairs):
    split = fewest_late(tasks(pairs))
    assert keeps_its_dates(split.on_time)
    assert len(split.late) == least_late_by_trying(tasks(pairs))
    assert sorted(names(split.on_time + split.late)) == sorted(names(tasks(pairs)))


@pytest.mark.parametrize("pairs", [PINEDO, KLEINBERG], ids=["pinedo", "kleinberg"])
def test_no_order_of_the_examples_jobs_is_better(pairs):
    assert len(fewest_late(tasks(pairs)).late) == least_late_by_every_order(tasks(pairs))
    least = min(greatest_lateness(order) for order in permutations(tasks(pairs)))
    assert greatest_lateness(by_due_date(tasks(pairs))) == least


some_tasks = st.lists(st.tuples(st.integers(1, 9), st.integers(0, 30)), max_size=8).map(tasks)


@given(some_tasks)
def test_the_fewest_are_late_among_all_subsets(made):
    split = fewest_late(made)
    assert keeps_its_dates(split.on_time)
    assert len(split.late) == least_late_by_trying(made)


@examples(max_examples=25)
@given(some_tasks.filter(lambda made: 0 < len(made) < 7))
def test_the_fewest_are_late_and_the_greatest_lateness_is_least_among_all_orders(made):
    assert len(fewest_late(made).late) == least_late_by_every_order(made)
    assert greatest_lateness(by_due_date(made)) == min(greatest_lateness(order) for order in permutations(made))


def test_without_jobs_there_is_nothing_late_and_no_lateness():
    assert fewest_late(()) == fewest_late([])
    assert fewest_late(()).late == ()
    with pytest.raises(ValueError, match="no jobs"):
        greatest_lateness(())
