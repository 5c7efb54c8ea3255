import random
from datetime import date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.lab import Box
from intake.domain.priority import explain_urgency, urgency
from intake.domain.verdict import Deadlines, Finding, JobVerdict, PourBy, Verdict

NOW = datetime(2026, 11, 26, 9, 0)
ARRIVED = datetime(2026, 11, 25, 8, 40)
BLUE = Box(colour="Blue", hex="#1f6fb4")


def a_job(latest_start, reply_by=None, state="clear"):
    far = date(2026, 12, 31)
    reply = reply_by or datetime.combine(latest_start, datetime.min.time()) - timedelta(hours=12)
    dates = Deadlines(
        route=(),
        start=NOW.date(),
        latest_start=latest_start,
        must_leave=far,
        with_practice=far,
        appointment=far,
        reply_by=reply,
        outlook="comfortable",
        spare_days=2,
        earliest_appointment=None,
    )
    return JobVerdict(category="splints", appliances=(0,), state=state, box=BLUE, deadlines=dates)


def a_verdict(*starts, pour=None, level=None, reply_by=None):
    findings = (
        (
            Finding(
                requirement="teeth", level=level, appliance=0, question="?", because="!", place="appliances[0].teeth"
            ),
        )
        if level
        else ()
    )
    pouring = PourBy(item=0, by=pour, usual=pour, not_before=None, estimated=None) if pour else None
    state = "held" if level == "stops" else "clear"
    return Verdict(
        state=state, jobs=tuple(a_job(start, reply_by, state) for start in starts), findings=findings, pour_by=pouring
    )


def place(verdict, arrived=ARRIVED, tie="1"):
    return urgency(verdict, arrived, NOW, tie)


SOON, LATER = date(2026, 11, 27), date(2026, 12, 4)
IN_ORDER = [
    pytest.param(a_verdict(LATER, pour=NOW - timedelta(days=2)), id="an impression past its time"),
    pytest.param(a_verdict(LATER, pour=NOW + timedelta(hours=5)), id="an impression for today"),
    pytest.param(a_verdict(pour=NOW + timedelta(days=3)), id="an impression within three days, no appointment"),
    pytest.param(a_verdict(date(2026, 11, 20)), id="a latest start that is past"),
    pytest.param(a_verdict(SOON, level="stops"), id="soon, held"),
    pytest.param(a_verdict(SOON, level="asks"), id="soon, to be asked"),
    pytest.param(a_verdict(SOON, level="warns"), id="soon, clear"),
    pytest.param(a_verdict(date(2026, 11, 30)), id="a little later"),
    pytest.param(a_verdict(LATER, pour=NOW + timedelta(days=4)), id="later, an impression that keeps"),
    pytest.param(a_verdict(level="stops"), id="no appointment"),
]


@pytest.mark.parametrize(
    ("earlier", "later"),
    [pytest.param(*(one.values + other.values), id=f"{one.id} before {other.id}") for one, other in pairwise(IN_ORDER)],
)
def test_what_is_taken_first(earlier, later):
    assert place(earlier, tie="2") < place(later, tie="1")


def test_of_two_jobs_the_one_that_starts_first_decides():
    assert place(a_verdict(LATER, SOON)) < place(a_verdict(date(2026, 11, 30)))


def test_a_held_case_with_time_left_to_ask_waits_in_the_order_of_arrival():
    held, clear = a_verdict(LATER, level="stops"), a_verdict(LATER)
    assert place(clear, ARRIVED) < place(held, ARRIVED + timedelta(minutes=1))
    assert place(held, ARRIVED) < place(clear, ARRIVED + timedelta(minutes=1))


def test_a_reply_that_is_due_in_just_three_days_is_near():
    assert place(a_verdict(LATER, level="stops", reply_by=NOW + timedelta(days=3))).asking == 0
    assert place(a_verdict(LATER, level="stops", reply_by=NOW + timedelta(days=3, minutes=1))).asking == 2


def test_a_held_job_that_waits_does_not_hurry_a_clear_one_beside_it():
    case = Verdict(state="held", jobs=(a_job(SOON), a_job(LATER, state="held")), findings=(), pour_by=None)
    assert place(case).asking == 2


def test_equals_go_by_arrival_and_then_by_number():
    case = a_verdict(SOON)
    assert place(case, ARRIVED, "2") < place(case, ARRIVED + timedelta(minutes=1), "1")
    assert place(case, ARRIVED, "1") < place(case, ARRIVED, "2")


verdicts = st.builds(
    lambda starts, pour, level: a_verdict(*starts, pour=pour, level=level),
    st.lists(st.dates(date(2026, 11, 20), date(2026, 12, 5)), max_size=2),
    st.none() | st.datetimes(NOW - timedelta(days=3), NOW + timedelta(days=6)),
    st.sampled_from([None, "stops", "asks", "warns"]),
)
arrivals = st.datetimes(NOW - timedelta(hours=2), NOW)
places = st.builds(place, verdicts, arrivals, st.sampled_from("abc"))


@given(places, places)
def test_of_two_places_one_is_before_the_other_or_they_are_the_same(one, other):
    assert [one < other, one == other, other < one].count(True) == 1
    assert (one <= other and other <= one) is (one == other)


@given(places, places, places)
def test_what_is_before_the_middle_is_before_the_end(first, middle, last):
    if first <= middle <= last:
        assert first <= last


@given(st.lists(st.tuples(verdicts, arrivals), min_size=1, max_size=12), st.randoms(use_true_random=False))
def test_the_order_does_not_depend_on_how_the_cases_lie(cases, chance):
    line = [place(verdict, arrived, str(number)) for number, (verdict, arrived) in enumerate(cases)]
    shuffled = random.Random(chance.random()).sample(line, len(line))
    assert sorted(shuffled) == sorted(line)
    assert all(one < other for one, other in pairwise(sorted(line)))


@pytest.mark.parametrize(
    ("verdict", "says"),
    [
        pytest.param(
            a_verdict(pour=datetime(2026, 11, 27, 10, 0)),
            "First: the impression has to be poured by Fri 27 Nov 2026, 10:00.",
            id="pour by",
        ),
        pytest.param(
            a_verdict(pour=datetime(2026, 11, 25, 10, 0)),
            "First: the impression should have been poured by Wed 25 Nov 2026, 10:00.",
            id="pour by is past",
        ),
        pytest.param(a_verdict(LATER), "By its latest start, Fri 4 Dec 2026.", id="latest start"),
        pytest.param(
            a_verdict(date(2026, 11, 25)),
            "By its latest start, Wed 25 Nov 2026, which is past.",
            id="latest start is past",
        ),
        pytest.param(
            a_verdict(SOON, level="stops"),
            "By its latest start, Fri 27 Nov 2026; "
            "of that day among the first, for it is held and needs its answer soon.",
            id="held",
        ),
        pytest.param(
            a_verdict(SOON, level="asks"),
            "By its latest start, Fri 27 Nov 2026; "
            "of that day before the clear, for the practice has to be asked soon.",
            id="to be asked",
        ),
        pytest.param(
            a_verdict(),
            "Last: no appointment is known; among such cases by arrival, Wed 25 Nov 2026, 08:40.",
            id="no appointment",
        ),
    ],
)
def test_a_place_in_the_order_is_explained_in_a_sentence(verdict, says):
    assert explain_urgency(place(verdict), NOW) == says
