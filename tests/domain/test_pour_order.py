"""What to pour first, and what is said of it."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Case, Item
from intake.domain.lab import CalendarRules, ImpressionMaterial, Lab
from intake.domain.pour_order import is_to_pour, order, pour_work, what_words, when_words
from tests.domain.complete_cases import the_lab

SILICONE = ImpressionMaterial(
    id="addition-silicone", name="Addition silicone", usual_hours=168, limit_hours=336, not_before_hours=1
)
ALGINATE = ImpressionMaterial(id="alginate", name="Alginate", usual_hours=0.5, limit_hours=24)
LAB = Lab.model_construct(
    calendar=CalendarRules(zone="Europe/London", country="GB", subdivision="ENG"), materials=(SILICONE, ALGINATE)
)
NOW = datetime(2026, 11, 25, 10, 30)
LONDON = ZoneInfo("Europe/London")


def an_impression(material="alginate", taken=datetime(2026, 11, 25, 8, 0), arch="upper", **said):
    return Item(item="impression", arch=arch, material=material, taken=taken, **said)


def a_case(*items, arrived=datetime(2026, 11, 25, 8, 40), **said):
    return Case(items=items, arrived=arrived, **said)


def the_first(*items, now=NOW, **said):
    return pour_work(a_case(*items, **said), LAB, now).first


def test_only_impressions_that_lie_in_the_bag_are_poured():
    case = a_case(
        Item(item="model", arch="upper"),
        Item(item="scan", arch="upper"),
        an_impression(source="scan"),
        Item(item="bite-record", material="alginate"),
    )
    assert pour_work(case, LAB, NOW) is None
    assert is_to_pour(an_impression(source="physical"))


def test_what_keeps_least_is_poured_first():
    silicone = pour_work(a_case(an_impression("addition-silicone")), LAB, NOW)
    alginate = pour_work(a_case(an_impression()), LAB, NOW)
    assert order([silicone, alginate]) == (alginate, silicone)


def test_the_impressions_of_a_case_stand_in_the_order_to_pour_them():
    work = pour_work(a_case(an_impression("addition-silicone", arch="lower"), an_impression()), LAB, NOW)
    assert [what_words([each]) for each in work.impressions] == ["upper, Alginate", "lower, Addition silicone"]


@pytest.mark.parametrize(
    ("item", "now", "standing", "says"),
    [
        pytest.param(
            an_impression(),
            datetime(2026, 11, 25, 8, 20),
            "fresh",
            "by Thu 26 Nov, 08:00",
            id="fresh",
        ),
        pytest.param(
            an_impression(), NOW, "past-usual", "by Thu 26 Nov, 08:00, past its usual time since 08:30", id="past usual"
        ),
        pytest.param(
            an_impression(taken=datetime(2026, 11, 24, 8, 0)),
            NOW,
            "past-limit",
            "was to be poured by 08:00",
            id="past the limit",
        ),
        pytest.param(
            an_impression("addition-silicone"),
            datetime(2026, 11, 25, 8, 30),
            "wait",
            "not before 09:00, by Wed 9 Dec, 08:00",
            id="not allowed yet",
        ),
        pytest.param(
            an_impression("addition-silicone"), NOW, "fresh", "by Wed 9 Dec, 08:00", id="allowed since an hour and more"
        ),
        pytest.param(
            an_impression(taken=date(2026, 11, 25)),
            NOW,
            "past-usual",
            "by Thu 26 Nov, 00:00, past its usual time since 00:30, estimated",
            id="only its day is known",
        ),
        pytest.param(an_impression("blue putty"), NOW, "unknown", "not known: ask, or pour at once", id="unknown"),
    ],
)
def test_an_impression_says_how_it_stands_and_when_to_pour_it(item, now, standing, says):
    first = the_first(item, now=now)
    assert (first.standing, when_words(first, now)) == (standing, says)


@pytest.mark.parametrize(
    ("material", "words"),
    [(None, "upper, material not said"), ("blue putty", "upper, “blue putty”, which the setup does not know")],
)
def test_a_material_that_nobody_knows_is_said_and_never_called_in_time(material, words):
    first = the_first(an_impression(material))
    assert (what_words([first]), first.by, first.minutes_left) == (words, None, None)


def test_an_unknown_material_is_poured_before_what_keeps_and_after_what_is_past():
    unknown = pour_work(a_case(an_impression(None)), LAB, NOW)
    known = pour_work(a_case(an_impression()), LAB, NOW)
    past = pour_work(a_case(an_impression(taken=datetime(2026, 11, 23, 8, 0))), LAB, NOW)
    assert order([known, unknown, past]) == (past, unknown, known)


def test_without_a_time_the_estimate_is_the_beginning_of_the_day_it_was_posted_or_arrived():
    first = the_first(an_impression(taken=None), posted=date(2026, 11, 24))
    assert (first.by, first.estimated) == (datetime(2026, 11, 25), "from the day it was posted")
    assert the_first(an_impression(taken=None)).estimated == "from the day it arrived"


def test_the_caution_defers_to_the_maker_and_to_who_answers_for_it():
    caution = the_lab().cautions.pouring
    assert "Where the maker gives another time for the product, that time counts." in caution
    assert "asking who answers" in caution


def test_over_the_clocks_going_back_the_order_is_that_of_the_hours_that_passed():
    # 25 Oct 2026, London: 01:30 comes twice. Taken at 01:30 on the 24th (BST) and at 01:15 on the 24th: 24 hours later
    # is 01:30 BST and 01:15 BST; taken at 02:30 BST, 24 hours later is 01:30 GMT, an hour after the other 01:30.
    taken = [datetime(2026, 10, 24, 2, 30), datetime(2026, 10, 24, 1, 30), datetime(2026, 10, 24, 1, 15)]
    now = datetime(2026, 10, 24, 10, 0)
    works = [pour_work(a_case(an_impression(taken=at), arrived=now), LAB, now) for at in taken]
    assert order(works) == tuple(reversed(works))
    assert [work.first.by for work in works] == [
        datetime(2026, 10, 25, 1, 30),
        datetime(2026, 10, 25, 1, 30),
        datetime(2026, 10, 25, 1, 15),
    ]
    assert [work.first.minutes_left for work in works] == [16 * 60 + 30, 15 * 60 + 30, 15 * 60 + 15]


def test_in_the_hour_that_comes_twice_nothing_is_allowed_sooner_than_it_may_be():
    # Taken at 00:50 BST; not before 01:50 BST. At a clock that shows 01:55 it may be 01:55 BST, or GMT: both are later.
    # At 01:45 it may be 01:45 BST, five minutes too soon.
    item = an_impression("addition-silicone", taken=datetime(2026, 10, 25, 0, 50))
    arrived = datetime(2026, 10, 25, 0, 55)
    assert the_first(item, now=datetime(2026, 10, 25, 1, 55), arrived=arrived).standing == "fresh"
    assert the_first(item, now=datetime(2026, 10, 25, 1, 45), arrived=arrived).standing == "wait"


moments = st.datetimes(datetime(2026, 10, 24), datetime(2026, 10, 26))


@given(st.lists(moments, min_size=2, max_size=6), st.sampled_from(["alginate", "addition-silicone"]))
def test_what_was_taken_first_of_a_material_is_poured_first(taken, material):
    now = datetime(2026, 10, 26, 12, 0)
    works = [pour_work(a_case(an_impression(material, at), arrived=now), LAB, now) for at in taken]
    placed = [work.first.rank for work in order(works)]
    absolute = [at.replace(tzinfo=LONDON).timestamp() for at in taken]
    hours = timedelta(hours=24 if material == "alginate" else 336)
    assert [(rank - hours).timestamp() for rank in placed] == pytest.approx(sorted(absolute), abs=3600)
    assert placed == sorted(placed)


@given(moments, moments)
def test_the_minutes_left_are_elapsed_ones(taken, now):
    first = the_first(an_impression(taken=taken), now=now, arrived=datetime(2026, 10, 26, 12, 0))
    elapsed = now.replace(tzinfo=LONDON).timestamp() - taken.replace(tzinfo=LONDON).timestamp()
    assert first.minutes_left == pytest.approx((24 * 3600 - elapsed) / 60, abs=61)


def test_impressions_of_both_arches_are_named_together():
    work = pour_work(a_case(an_impression(arch="lower"), an_impression(arch="upper")), LAB, NOW)
    assert what_words(work.impressions) == "upper and lower, Alginate"
    assert what_words([the_first(an_impression(arch="both"))]) == "upper and lower, Alginate"
    assert what_words([the_first(an_impression(arch=None))]) == "Alginate"
