from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Case, Item
from intake.domain.lab import CalendarRules, ImpressionMaterial, Lab
from intake.domain.pouring import ZoneUnknown, describe_pour_by, impression_ages, known_material, pour_by

SILICONE = ImpressionMaterial(
    id="addition-silicone", name="Addition silicone", words=("A-silicone",), usual_hours=168, limit_hours=336
)
ALGINATE = ImpressionMaterial(
    id="alginate", name="Alginate", usual_hours=0.5, limit_hours=24, keep="sealed, wrapped in damp tissue"
)
SLOW = ImpressionMaterial(id="slow", name="Slow silicone", usual_hours=168, limit_hours=336, not_before_hours=1)
AT_ONCE = ImpressionMaterial(id="polysulfide", name="Polysulfide", usual_hours=1, limit_hours=1)
TAKEN = datetime(2026, 11, 24, 15, 30)
ARRIVED = datetime(2026, 11, 25, 8, 40)


def a_lab(zone="Europe/London"):
    rules = CalendarRules(zone=zone, country="GB", subdivision="ENG")
    return Lab.model_construct(calendar=rules, materials=(SILICONE, ALGINATE, SLOW, AT_ONCE))


def an_impression(material="addition-silicone", taken=TAKEN):
    return Item(item="impression", arch="upper", material=material, taken=taken)


def a_case(*items, **said):
    return Case(items=items, **({"arrived": ARRIVED} | said))


def test_pour_by_is_counted_from_when_the_impression_was_taken():
    pour = pour_by(a_case(an_impression()), a_lab())
    assert pour.by == datetime(2026, 12, 8, 15, 30)
    assert pour.usual == datetime(2026, 12, 1, 15, 30)
    assert (pour.item, pour.not_before, pour.estimated) == (0, None, None)


def test_the_impression_with_the_earliest_limit_counts():
    bite = Item(item="bite-record", kind="centric", material="alginate")
    case = a_case(bite, an_impression(), an_impression("alginate"), an_impression("slow"))
    assert pour_by(case, a_lab()).item == 2


def test_of_two_equal_impressions_the_first_is_named():
    assert pour_by(a_case(an_impression(), an_impression()), a_lab()).item == 0


@pytest.mark.parametrize(
    ("item", "said", "begins", "estimated"),
    [
        pytest.param(
            an_impression(taken=date(2026, 11, 24)),
            {},
            datetime(2026, 11, 24),
            "from the beginning of the day it was taken",
            id="only the day is known",
        ),
        pytest.param(
            an_impression(taken=None),
            {"posted": date(2026, 11, 23)},
            datetime(2026, 11, 23),
            "from the day it was posted",
            id="only the posting is known",
        ),
        pytest.param(
            an_impression(taken=None),
            {"posted": datetime(2026, 11, 23, 17, 0)},
            datetime(2026, 11, 23),
            "from the day it was posted",
            id="the hour of posting is known: it was taken before that",
        ),
        pytest.param(
            an_impression(taken=None),
            {},
            datetime(2026, 11, 25),
            "from the day it arrived",
            id="only the arrival is known",
        ),
        pytest.param(
            an_impression(taken=datetime(2026, 11, 26, 9, 0)),
            {},
            datetime(2026, 11, 25),
            "from the day it arrived",
            id="it cannot be taken after it arrived",
        ),
        pytest.param(
            an_impression(taken=date(2026, 11, 26)),
            {"posted": date(2026, 11, 24)},
            datetime(2026, 11, 24),
            "from the day it was posted",
            id="nor on a later day: the posting is known",
        ),
        pytest.param(
            an_impression(taken=None),
            {"posted": date(2026, 11, 28)},
            datetime(2026, 11, 25),
            "from the day it arrived",
            id="it cannot be posted after it arrived",
        ),
    ],
)
def test_an_unknown_time_is_estimated_from_the_beginning_of_the_day_and_said_so(item, said, begins, estimated):
    case = a_case(item, **said)
    pour = pour_by(case, a_lab())
    assert (pour.by, pour.estimated) == (begins + timedelta(hours=336), estimated)
    assert impression_ages(case, a_lab(), ARRIVED)[0].estimated == estimated


@pytest.mark.parametrize(
    "case",
    [
        pytest.param(a_case(), id="nothing came"),
        pytest.param(a_case(an_impression(material=None)), id="the material is not said"),
        pytest.param(a_case(an_impression(material="chewing gum")), id="the material is not known"),
        pytest.param(a_case(Item(item="model", material="alginate", taken=TAKEN)), id="a model is no impression"),
        pytest.param(a_case(Item(item="scan", arch="upper", taken=TAKEN)), id="a scan keeps"),
        pytest.param(a_case(an_impression(taken=None), arrived=None), id="no day is known at all"),
    ],
)
def test_where_nothing_is_known_to_pour_no_time_is_given(case):
    assert pour_by(case, a_lab()) is None
    assert impression_ages(case, a_lab(), ARRIVED) == ()


@pytest.mark.parametrize("written", ["addition-silicone", "Addition silicone", " ADDITION SILICONE ", "a-silicone"])
def test_a_material_is_known_by_its_id_its_name_and_its_other_words(written):
    assert known_material(an_impression(written), a_lab()) == SILICONE


@pytest.mark.parametrize(
    ("now", "hours", "state"),
    [
        pytest.param(TAKEN + timedelta(hours=168), 168, "fresh", id="at the usual figure"),
        pytest.param(TAKEN + timedelta(hours=169), 169, "past-usual", id="past it"),
        pytest.param(TAKEN + timedelta(hours=336), 336, "past-usual", id="at the limit"),
        pytest.param(TAKEN + timedelta(hours=336.5), 336.5, "past-limit", id="past it too"),
        pytest.param(TAKEN - timedelta(hours=2), -2, "fresh", id="said to be taken later than now"),
    ],
)
def test_an_impression_is_fresh_past_usual_or_past_its_limit(now, hours, state):
    (age,) = impression_ages(a_case(an_impression()), a_lab(), now)
    assert (age.item, age.material, age.hours, age.state) == (0, "Addition silicone", hours, state)


def test_ages_are_given_for_each_impression_of_a_known_material():
    case = a_case(an_impression("chewing gum"), an_impression("alginate"), an_impression())
    assert [(age.item, age.state) for age in impression_ages(case, a_lab(), ARRIVED)] == [
        (1, "past-usual"),
        (2, "fresh"),
    ]


def test_the_hour_that_comes_twice_is_read_as_the_first_so_that_nothing_is_poured_late():
    # 25 Oct 2026, 01:30 in London is 00:30 or 01:30 UTC.
    taken = datetime(2026, 10, 25, 1, 30)
    assert pour_by(a_case(an_impression("alginate", taken)), a_lab()).by == datetime(2026, 10, 26, 0, 30)


def test_the_hour_that_never_was_is_read_as_the_earlier_of_its_two_meanings():
    # 29 Mar 2026, 01:30 in London: 01:30 GMT or, by a clock put forward too soon, 00:30 GMT.
    taken = datetime(2026, 3, 29, 1, 30)
    assert pour_by(a_case(an_impression("alginate", taken)), a_lab()).by == datetime(2026, 3, 30, 1, 30)


def test_the_age_in_the_hour_that_comes_twice_is_the_older_one():
    (age,) = impression_ages(
        a_case(an_impression(taken=datetime(2026, 10, 25, 0, 30))), a_lab(), datetime(2026, 10, 25, 1, 30)
    )
    assert age.hours == 2


def test_a_day_whose_midnight_comes_twice_begins_at_the_first():
    # In Havana the clocks went back from 01:00 to 00:00 on 3 Nov 2024: 24 hours from the first midnight end at 23:00.
    # A year that is past: later rules differ between releases of the time zone data base (IANA tzdata).
    case = a_case(an_impression("alginate", date(2024, 11, 3)))
    assert pour_by(case, a_lab("America/Havana")).by == datetime(2024, 11, 3, 23, 0)


def test_a_pour_by_in_the_hour_that_comes_twice_shows_that_hour():
    taken = datetime(2026, 10, 24, 1, 30)
    assert pour_by(a_case(an_impression("alginate", taken)), a_lab()).by == datetime(2026, 10, 25, 1, 30)


@given(
    st.datetimes(datetime(2024, 1, 1), datetime(2028, 1, 1)),
    st.sampled_from(["Europe/London", "America/New_York", "UTC"]),
)
def test_an_impression_is_past_its_limit_a_minute_after_its_pour_by_and_not_an_hour_before(taken, zone):
    case, lab = a_case(an_impression("alginate", taken)), a_lab(zone)
    by = pour_by(case, lab).by
    (after,) = impression_ages(case, lab, by + timedelta(minutes=61))  # an hour of grace where the clocks change
    (before,) = impression_ages(case, lab, by - timedelta(minutes=61))
    assert after.state == "past-limit"
    assert before.state == "past-usual"


def test_a_time_before_which_not_to_pour_is_given():
    pour = pour_by(a_case(an_impression("slow")), a_lab())
    assert pour.not_before == datetime(2026, 11, 24, 16, 30)


@pytest.mark.parametrize("taken", [datetime(1, 1, 1), date(1, 1, 1), datetime(9999, 12, 31, 23, 59)])
def test_a_mistyped_year_is_counted_with_all_the_same(taken):
    lab = a_lab("Europe/Berlin")
    case = a_case(an_impression(taken=taken))
    assert pour_by(case, lab) is not None
    assert impression_ages(case, lab, ARRIVED)[0].state == ("past-limit" if taken.year == 1 else "fresh")


@pytest.mark.parametrize("zone", ["Europe/Atlantis", "", "../London"])
def test_a_time_zone_that_does_not_exist_is_refused_in_words(zone):
    with pytest.raises(ZoneUnknown, match=r"There is no time zone .* Europe/London"):
        pour_by(a_case(an_impression()), a_lab(zone))


@pytest.mark.parametrize(
    ("item", "says"),
    [
        pytest.param(
            an_impression(),
            "Pour by Tue 8 Dec 2026, 15:30 (Addition silicone, 336 hours), better by Tue 1 Dec 2026, 15:30. "
            "Where the maker gives another time for the product, that time counts.",
            id="a known time",
        ),
        pytest.param(
            an_impression("alginate", None),
            "Pour by Thu 26 Nov 2026, 00:00 (Alginate, 24 hours, counted from the day it arrived), "
            "better by Wed 25 Nov 2026, 00:30. Sealed, wrapped in damp tissue. "
            "Where the maker gives another time for the product, that time counts.",
            id="an estimated time, and how to keep it",
        ),
        pytest.param(
            an_impression("slow"),
            "Pour by Tue 8 Dec 2026, 15:30 (Slow silicone, 336 hours), better by Tue 1 Dec 2026, 15:30, "
            "not before Tue 24 Nov 2026, 16:30. Where the maker gives another time for the product, that time counts.",
            id="a time to wait",
        ),
        pytest.param(
            an_impression("polysulfide"),
            "Pour by Tue 24 Nov 2026, 16:30 (Polysulfide, 1 hour). "
            "Where the maker gives another time for the product, that time counts.",
            id="one figure alone",
        ),
    ],
)
def test_pour_by_is_said_in_a_sentence_that_defers_to_the_maker(item, says):
    case = a_case(item)
    assert describe_pour_by(pour_by(case, a_lab()), case, a_lab()) == says
