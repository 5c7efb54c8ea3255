"""Where a job is, in one sentence that can be read aloud."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.box_moves import Move, Stop
from intake.domain.calendar import WorkingCalendar
from intake.domain.trace import Left, Traced, in_words, long_day, trace
from intake.domain.verdict import BenchDate, Deadlines

WEEK = WorkingCalendar(frozenset(range(5)), "GB", "ENG")
DATES = Deadlines(
    route=(
        BenchDate(bench="Casting", by=date(2026, 12, 2)),
        BenchDate(bench="Splints", by=date(2026, 12, 7)),
        BenchDate(bench="Checking", by=date(2026, 12, 8)),
    ),
    start=date(2026, 11, 25),
    latest_start=date(2026, 12, 2),
    must_leave=date(2026, 12, 8),
    with_practice=date(2026, 12, 9),
    appointment=date(2026, 12, 10),
    reply_by=datetime(2026, 12, 1, 12),
    outlook="comfortable",
    spare_days=5,
    earliest_appointment=None,
)
"""The dates of the design's own example."""
ROUTE = tuple(Stop(dated.bench, dated.by) for dated in DATES.route)
ARRIVED = datetime(2026, 11, 25, 8, 40)
THURSDAY = datetime(2026, 11, 26, 14, 10)


def move(kind, bench, at=THURSDAY, reason=""):
    return Move(1, kind, bench, at, "AB", reason=reason)


def traced(*moves, state="gone", now=THURSDAY, dates=DATES, questions=0, box=None):
    route = ROUTE if dates else tuple(Stop(stop.bench) for stop in ROUTE)
    return trace(Traced(state, ARRIVED, route, moves, questions, dates), now, WEEK, box)


def test_a_job_at_a_bench_in_one_sentence():
    """By hand: on Thu 3 Dec Splints needs that day and Checking Fri 4 Dec; to Tue 8 Dec there are two more."""
    at_splints = move("handed-over", "Splints")
    found = traced(move("handed-over", "Casting", THURSDAY - timedelta(hours=5)), at_splints, now=datetime(2026, 12, 3))
    assert found.line == (
        "At Splints since Thursday 26 November, 14:10, handed over by AB; Checking by Tuesday 8 December is left; "
        "it must leave on Tuesday 8 December, two working days to spare."
    )
    assert (found.standing, found.place, found.last) == ("at-bench", "Splints", at_splints)
    assert found.left == (Left("Splints", date(2026, 12, 7)), Left("Checking", date(2026, 12, 8)))


def test_a_job_that_waits_at_reception_has_what_its_deadlines_have_to_spare():
    """The design's example: latest start Wed 2 Dec; from Wed 25 Nov that are five working days."""
    found = traced(state="clear", now=datetime(2026, 11, 25, 10, 0))
    assert found.line == (
        "At reception since Wednesday 25 November, 08:40, clear to be made; Casting by Wednesday 2 December, Splints "
        "by Monday 7 December and Checking by Tuesday 8 December are left; it must leave on Tuesday 8 December, "
        "five working days to spare."
    )
    assert found.spare_days == DATES.spare_days


def test_a_held_job_says_for_how_many_questions_it_waits():
    line = traced(state="held", questions=2, now=ARRIVED).line
    assert line.startswith(
        "At reception since Wednesday 25 November, 08:40, held until the practice answers two questions; Casting by"
    )


def test_a_job_that_was_brought_back_says_from_where_and_by_whom():
    moves = move("handed-over", "Casting", ARRIVED), move("back", "Casting", reason="damaged")
    assert traced(*moves, state="clear").line.startswith(
        "At reception since Thursday 26 November, 14:10, brought back from Casting by AB, clear to be made; Casting by"
    )
    held = traced(*moves, state="held", questions=1)
    assert "brought back from Casting by AB, held until the practice answers one question; " in held.line


def test_a_job_between_two_benches():
    found = traced(move("handed-over", "Casting", ARRIVED), move("out", "Casting"))
    assert found.line.startswith(
        "Out of Casting since Thursday 26 November, 14:10, sent on by AB; Splints by Monday 7 December and Checking by"
    )
    assert found.standing == "on-the-way"


def test_a_job_at_the_last_bench_has_nothing_left_after_that():
    found = traced(*(move("in", stop.bench) for stop in ROUTE))
    assert "; nothing is left after that; it must leave on" in found.line


def test_a_finished_job():
    done = (*(move("in", stop.bench) for stop in ROUTE), move("out", "Checking", datetime(2026, 12, 7, 15, 0)))
    assert traced(*done, now=datetime(2026, 12, 7, 16, 0)).line == (
        "Finished since Monday 7 December, 15:00, done at Checking by AB; it must leave on Tuesday 8 December, "
        "one working day to spare."
    )
    later = traced(*done, now=datetime(2026, 12, 14, 9, 0))
    assert later.line.endswith("it had to leave on Tuesday 8 December, and was done in time.")


def test_a_job_that_was_finished_too_late_stays_late():
    done = (*(move("in", stop.bench) for stop in ROUTE), move("out", "Checking", datetime(2026, 12, 10, 15, 0)))
    assert traced(*done, now=datetime(2026, 12, 14)).line.endswith(
        "it had to leave on Tuesday 8 December, and is two working days late."
    )


def test_a_withdrawn_job_and_one_whose_box_is_still_away():
    assert traced(state="withdrawn").line == "Withdrawn, and nothing is being made of it."
    assert traced(move("handed-over", "Casting"), state="withdrawn").line == (
        "Withdrawn, and nothing is being made of it; its box was last at Casting, since Thursday 26 November, 14:10, "
        "handed over by AB."
    )


def test_a_late_bench_is_named_with_its_working_days():
    """By hand: Casting was due on Wed 2 Dec; on Mon 7 Dec that is three working days ago. Casting Mon, Splints Tue to
    Thu, Checking Fri 11 Dec: three working days after Tue 8 Dec."""
    found = traced(move("handed-over", "Casting", datetime(2026, 12, 1, 9, 0)), now=datetime(2026, 12, 7, 9, 0))
    assert "; Casting is three working days late, Splints by Monday 7 December" in found.line
    assert found.line.endswith("it must leave on Tuesday 8 December, and is three working days late.")
    assert found.left[0] == Left("Casting", date(2026, 12, 2), late_days=3)


def test_with_no_day_to_spare():
    """By hand: latest start, at reception."""
    assert traced(state="clear", now=datetime(2026, 12, 2, 9, 0)).line.endswith("with no day to spare.")


def test_without_an_appointment_no_day_is_promised():
    line = traced(move("handed-over", "Casting"), dates=None).line
    assert line.endswith("; Splints and Checking are left; no appointment is given, so no day is promised.")


def test_the_box_number_is_said_last():
    assert traced(move("handed-over", "Casting"), box=12).line.endswith(" It is in box 12.")


def test_a_bench_that_takes_in_later_has_had_the_job_since_it_was_handed_over():
    """By hand: handed over to Splints on Wed 2 Dec, taken in on Fri 4: of its three days one is left on Fri 4."""
    wednesday, friday = datetime(2026, 12, 2, 9, 0), datetime(2026, 12, 4, 9, 0)
    moves = move("in", "Casting", ARRIVED), move("handed-over", "Splints", wednesday), move("in", "Splints", friday)
    assert traced(*moves, now=friday).spare_days == 1


@pytest.mark.parametrize(
    ("number", "words"), [(0, "no working days"), (1, "one working day"), (12, "twelve working days"), (13, "13 ")]
)
def test_small_numbers_are_read_as_words(number, words):
    assert in_words(number, "working day").startswith(words)


def test_a_day_of_another_year_has_its_year():
    assert long_day(date(2027, 1, 5), date(2026, 12, 1)) == "Tuesday 5 January 2027"


STEPS = st.lists(st.sampled_from([stop.bench for stop in ROUTE]), max_size=4)


@given(
    STEPS,
    st.sampled_from(["held", "clear", "gone", "withdrawn"]),
    st.sampled_from(["handed-over", "in", "out", "back"]),
    st.integers(0, 60),
    st.booleans(),
)
def test_every_job_has_one_line_that_ends_and_names_no_nothing(benches, state, last, days, dated):
    moves = tuple(move("in", bench) for bench in benches)
    moves += (move(last, benches[-1]),) if benches else ()
    found = traced(*moves, state=state, now=THURSDAY + timedelta(days=days), dates=DATES if dated else None, box=3)
    assert found.line.endswith(".")
    assert "None" not in found.line
    assert "  " not in found.line
    assert ";;" not in found.line
    assert found.line[0].isupper()
