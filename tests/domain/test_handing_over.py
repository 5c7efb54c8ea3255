"""Whether a box may go to a bench, out of it, or back: every reason that stops one, and what to do instead."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.bench_rules import HandOverRules
from intake.domain.box_moves import Move, Progress, Stop, bench_of, progress
from intake.domain.calendar import WorkingCalendar
from intake.domain.handing_over import BoxToMove, No, TicketMade, Yes, may_come_back, may_go_out, may_hand_over

NOW = datetime(2026, 11, 26, 14, 10)
"""A Thursday."""
ROUTE = (
    Stop("Casting", date(2026, 12, 2)),
    Stop("Splints", date(2026, 12, 7)),
    Stop("Checking", date(2026, 12, 8)),
)
RULES, WEEK = HandOverRules(), WorkingCalendar(frozenset(range(5)), "GB", "ENG")
MADE = TicketMade(1, datetime(2026, 11, 25, 9, 0), "AB")
BOX = BoxToMove("clear", copies=(MADE,), scanned=1, route=ROUTE)


def moved(*steps, at=NOW, box=BOX):
    """The box after moves: `moved("handed-over Casting", "out Casting")`, an hour after one another up to a time."""
    begin = at - timedelta(hours=len(steps) - 1)
    moves = tuple(
        Move(number + 1, *step.split(" ", 1), begin + timedelta(hours=number), "AB")
        for number, step in enumerate(steps)
    )
    away = bool(steps) and not steps[-1].startswith("back")
    return replace(box, moves=moves, state="gone" if away else box.state)


def to(box, bench, at=NOW, rules=RULES, **said):
    return may_hand_over(box, bench, at, rules, WEEK, **said)


def test_a_clear_box_goes_to_the_first_bench_of_its_route():
    assert to(BOX, "Casting") == Yes("handed-over")


def test_a_box_whose_number_was_typed_goes_too():
    assert to(replace(BOX, scanned=None), "Casting") == Yes("handed-over")


def test_a_held_box_stops_and_says_what_is_open():
    held = replace(BOX, state="held", questions=("How thick shall it be?", "Which shade?"))
    no = to(held, "Casting")
    assert no.why == "held"
    assert no.reason == "Held. The practice has to answer: “How thick shall it be?” and “Which shade?”"
    assert "Waiting" in no.way_on
    assert no.key == "go-waiting"


@pytest.mark.parametrize(
    ("box", "way_on"),
    [(BOX, "Look up says why."), (moved("handed-over Casting"), "Bring it back to reception.")],
    ids=["at reception", "at a bench"],
)
def test_of_a_withdrawn_case_nothing_goes_on(box, way_on):
    no = to(replace(box, state="withdrawn"), "Splints" if box.moves else "Casting")
    assert (no.why, no.way_on) == ("withdrawn", way_on)


def test_a_replaced_copy_says_which_one_counts_since_when_and_by_whom():
    second = TicketMade(2, datetime(2026, 11, 26, 11, 5), "CD", "lost in the post room")
    no = to(replace(BOX, copies=(MADE, second)), "Casting")
    assert no.why == "replaced"
    assert no.reason == (
        "This is copy 1; it no longer counts. Copy 2 counts, since Thu 26 Nov 2026, 11:05, by CD: "
        "lost in the post room."
    )
    assert "copy 2" in no.way_on
    assert to(replace(BOX, copies=(MADE, second), scanned=2), "Casting") == Yes("handed-over")


def test_a_copy_that_was_never_made_is_not_trusted():
    no = to(replace(BOX, scanned=7), "Casting")
    assert no.why == "never-made"
    assert no.reason == "This ticket says copy 7, but only one was made."


def test_a_bench_that_is_not_on_the_route_names_the_route_and_the_right_first_bench():
    no = to(BOX, "Wire")
    assert no.why == "wrong-bench"
    assert no.reason == "Wire is not on its route: Casting, Splints and Checking."
    assert no.way_on == "It goes to Casting first: choose Casting, then scan it again."


@pytest.mark.parametrize(
    ("box", "bench", "first"),
    [
        (BOX, "Splints", "Casting"),
        (BOX, "Checking", "Casting"),
        (moved("handed-over Casting"), "Checking", "Splints"),
        (moved("handed-over Casting", "out Casting"), "Checking", "Splints"),
        (moved("handed-over Casting", "in Splints", "back Splints"), "Checking", "Splints"),
    ],
)
def test_a_bench_whose_turn_it_is_not_says_where_the_box_has_to_go_first(box, bench, first):
    no = to(box, bench)
    assert (no.why, no.reason) == ("earlier-first", f"It has to go to {first} first: that is not done.")


def test_a_box_that_is_there_already_says_since_when_and_by_whom():
    no = to(moved("handed-over Casting"), "Casting", NOW + timedelta(hours=3))
    assert no.why == "already"
    assert no.reason == "It is at Casting already, handed over on Thu 26 Nov 2026, 14:10 by AB."


def test_a_box_that_was_handed_over_on_another_day_says_that_day():
    no = to(moved("handed-over Casting"), "Casting", NOW + timedelta(days=4))
    assert "Thu 26 Nov 2026" in no.reason
    assert no.key == "bring-boxes-back"


def test_a_bench_takes_in_what_was_handed_over_to_it_once():
    handed = moved("handed-over Casting")
    assert to(handed, "Casting", taking_in=True) == Yes("in")
    assert to(moved("handed-over Casting", "in Casting"), "Casting", taking_in=True).why == "already"


def test_a_box_goes_on_from_bench_to_bench():
    assert to(moved("handed-over Casting"), "Splints") == Yes("in")
    assert to(moved("handed-over Casting", "out Casting"), "Splints") == Yes("in")


def test_a_bench_that_is_done_gets_a_box_again_only_by_way_of_reception():
    no = to(moved("handed-over Casting", "in Splints"), "Casting")
    assert no.why == "done-already"
    assert "bring it back first" in no.way_on
    assert to(moved("handed-over Casting", "in Splints", "back Splints"), "Casting") == Yes("handed-over")


def test_a_finished_box_goes_nowhere_but_back():
    done = moved("handed-over Casting", "in Splints", "in Checking", "out Checking")
    no = to(done, "Checking")
    assert no.why == "finished"
    assert "Checking was the last" in no.reason
    assert may_come_back(done) == Yes("back")


def test_what_is_not_disinfected_stays_at_reception_where_the_lab_wants_it_so():
    dirty = replace(BOX, to_disinfect="Nothing is said about disinfection.")
    no = to(dirty, "Casting")
    assert (no.why, no.reason, no.key) == ("to-disinfect", "Nothing is said about disinfection.", "go-parcels")
    assert to(dirty, "Casting", rules=HandOverRules(disinfected=False)) == Yes("handed-over")


def test_a_box_of_another_day_says_from_when_on_it_may_go():
    """By hand: Casting on Wed 2 Dec; two working days ahead is Mon 30 Nov. Thursday the 26th is too early."""
    rules = HandOverRules(ahead_days=2)
    no = to(BOX, "Casting", rules=rules)
    assert no.why == "too-early"
    assert no.reason == (
        "It is of another day: Casting does it by Wed 2 Dec 2026, and boxes go there 2 working days ahead."
    )
    assert no.way_on == "Keep it at reception until Mon 30 Nov 2026."
    assert to(BOX, "Casting", datetime(2026, 11, 30, 8, 0), rules) == Yes("handed-over")


def test_with_no_day_ahead_a_box_goes_on_its_very_day():
    rules = HandOverRules(ahead_days=0)
    assert to(BOX, "Casting", datetime(2026, 12, 1, 17, 0), rules).why == "too-early"
    assert to(BOX, "Casting", datetime(2026, 12, 2, 8, 0), rules) == Yes("handed-over")


def test_without_an_appointment_no_day_is_too_early():
    undated = replace(BOX, route=(Stop("Casting"), Stop("Checking")))
    assert to(undated, "Casting", rules=HandOverRules(ahead_days=0)) == Yes("handed-over")


def test_a_late_box_goes_and_says_how_late_it_is():
    """By hand: due Wed 2 Dec, today Mon 7 Dec: Thursday, Friday and Monday."""
    yes = to(BOX, "Casting", datetime(2026, 12, 7, 9, 0))
    assert yes == Yes("handed-over", "Late: Casting had it to do by Wed 2 Dec 2026, 3 working days ago.")


def test_a_bench_sends_on_what_it_has():
    assert may_go_out(moved("handed-over Casting"), "Casting", NOW, WEEK) == Yes("out")


def test_a_bench_that_does_not_scan_in_may_scan_out():
    assert may_go_out(moved("handed-over Casting"), "Splints", NOW, WEEK) == Yes("out")


def test_nothing_goes_out_of_a_bench_where_it_is_not():
    assert may_go_out(BOX, "Casting", NOW, WEEK).why == "at-reception"
    no = may_go_out(moved("handed-over Casting"), "Checking", NOW, WEEK)
    assert (no.why, no.reason) == ("elsewhere", "It is at Casting, not at Checking.")
    again = may_go_out(moved("handed-over Casting", "out Casting"), "Casting", NOW, WEEK)
    assert (again.why, again.reason) == ("already", "Casting is done with it already, since 14:10.")


def test_work_after_a_ticket_that_was_replaced_is_not_sent_on():
    second = TicketMade(2, NOW, "CD", "prescription changed")
    assert may_go_out(replace(moved("handed-over Casting"), copies=(MADE, second)), "Casting", NOW, WEEK).why == (
        "replaced"
    )


def test_what_is_at_reception_does_not_come_back():
    assert may_come_back(BOX).why == "at-reception"
    assert "brought back by AB" in may_come_back(moved("handed-over Casting", "back Casting")).reason


def test_a_box_of_a_withdrawn_case_comes_back():
    assert may_come_back(replace(moved("handed-over Casting"), state="withdrawn")) == Yes("back")


NAMES = st.sampled_from(["Casting", "Splints", "Wire", "Checking"])
ROUTES = st.lists(NAMES, min_size=1, max_size=5).map(lambda names: tuple(Stop(name) for name in names))
WISHES = st.lists(st.tuples(st.sampled_from(["to", "in", "out", "back"]), NAMES), max_size=12)


def try_moves(route, wishes):
    """The box after those of the wishes that were allowed; each answer with where it stood before and after."""
    box, answers = BoxToMove("clear", route=route), []
    for number, (wish, bench) in enumerate(wishes):
        at = NOW + timedelta(minutes=number)
        if wish in ("to", "in"):
            answer = may_hand_over(box, bench, at, RULES, WEEK, taking_in=wish == "in")
        elif wish == "out":
            answer = may_go_out(box, bench, at, WEEK)
        else:
            answer = may_come_back(box)
        before = box.stands
        if isinstance(answer, Yes):
            move = Move(number, answer.kind, bench if wish != "back" else before.last.bench, at, "AB")
            moves = (*box.moves, move)
            state = "gone" if progress(route, moves).away else "clear"
            box = replace(box, moves=moves, state=state)
        answers.append((answer, before, box.stands))
    return box, answers


@given(ROUTES, WISHES)
def test_whatever_is_scanned_no_bench_is_skipped(route, wishes):
    _, answers = try_moves(route, wishes)
    for answer, before, after in answers:
        if isinstance(answer, Yes) and answer.kind != "back":
            reached = after.done if after.at is None else after.at
            assert reached <= before.following + (after.at is None)


@given(ROUTES, WISHES)
def test_whatever_is_scanned_a_box_is_in_one_place(route, wishes):
    """At reception, at a bench of its route, on its way to one, or finished."""
    box, _ = try_moves(route, wishes)
    stands = box.stands
    bench = bench_of(route, stands)
    assert (bench is None) == (not stands.away or stands.finished)
    assert bench is None or bench in [stop.bench for stop in route]


@given(ROUTES, WISHES)
def test_every_no_has_a_reason_and_a_way_on(route, wishes):
    for answer, _, _ in try_moves(route, wishes)[1]:
        if isinstance(answer, No):
            assert answer.reason.endswith(".")
            assert answer.way_on.endswith(".")


@given(ROUTES)
def test_a_box_that_goes_the_whole_route_is_finished(route):
    names = [stop.bench for stop in route]
    if len(set(names)) < len(names):
        return  # a bench that comes twice in a row cannot be told from a second scan
    wishes = [(kind, name) for name in names for kind in ("to", "out")]
    box, answers = try_moves(route, wishes)
    assert [type(answer) for answer, _, _ in answers] == [Yes] * len(answers)
    assert box.stands.finished


def test_a_job_without_a_move_stands_at_the_beginning():
    assert progress(ROUTE, ()) == Progress(0, None, False, 3, None)


def test_a_bench_that_the_route_has_twice_gets_the_box_twice():
    route = (Stop("Acrylic"), Stop("Wire"), Stop("Acrylic"), Stop("Checking"))
    box = replace(BOX, route=route)
    assert to(moved("handed-over Acrylic", "in Wire", box=box), "Acrylic") == Yes("in")
    assert to(moved("handed-over Acrylic", "in Wire", "in Acrylic", box=box), "Checking") == Yes("in")
