"""What a caller says is taken as it comes: states, days, what is made, where it is, and names."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.look_up_words import SMALL, LookUpWords
from intake.domain.wanted import At, Came, Late, Leaves, Made, Sent, Standing, is_late
from tests.desk.desks import demo_lab

TODAY = date(2026, 11, 25)
"""A Wednesday."""
WORDS = LookUpWords(demo_lab(), TODAY, TODAY)
_SAID = """
held clear gone late open finished withdrawn today monday november may post scan whitening splint casting leaves
tomorrow last week handed over at reception 12 nov
"""
LAB_WORDS = _SAID.split()
typed_words = st.lists(st.sampled_from([*LAB_WORDS, *sorted(SMALL)]) | st.text(max_size=8), max_size=9).map(" ".join)


def readings(typed):
    return [part.readings for part in WORDS.read(typed).parts]


def only(typed):
    ((reading,),) = readings(typed)
    return reading


def came(*day):
    return Came(((date(*day), date(*day)),))


def days(first, last, kind=Came):
    return kind(((date(2026, *first), date(2026, *last)),))


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("held", Standing("held")),
        ("on hold", Standing("held")),
        ("gone", Standing("gone")),
        ("handed over", Standing("gone")),
        ("withdrawn", Standing("withdrawn")),
        ("open", Standing("open")),
        ("finished", Standing("finished")),
        ("late", Late(TODAY, TODAY)),
        ("post", Sent("post")),
        ("scans", Sent("scan")),
        ("casting", At("Casting")),
        ("at casting", At("Casting")),
        ("at splints", At("Splints")),
        ("at reception", At(None)),
        ("today", came(2026, 11, 25)),
        ("yesterday", came(2026, 11, 24)),
        ("wednesday", came(2026, 11, 25)),
        ("thursday", came(2026, 11, 19)),
        ("mon", came(2026, 11, 23)),
        ("last wednesday", came(2026, 11, 18)),
        ("last week", days((11, 16), (11, 22))),
        ("this week", days((11, 23), (11, 29))),
        ("last month", days((10, 1), (10, 31))),
        ("november", days((11, 1), (11, 30))),
        ("may", days((5, 1), (5, 31))),
        ("12 nov", came(2026, 11, 12)),
        ("12th November", came(2026, 11, 12)),
        ("nov 12", came(2026, 11, 12)),
        ("12.11.", came(2026, 11, 12)),
        ("12/11/2025", came(2025, 11, 12)),
        ("the 20th", came(2026, 11, 20)),
        ("since monday", days((11, 23), (11, 25))),
        ("arrived on 12 nov", came(2026, 11, 12)),
        ("booked in today", came(2026, 11, 25)),
        ("tomorrow", Leaves(((date(2026, 11, 26), date(2026, 11, 26)),))),
        ("leaves tomorrow", Leaves(((date(2026, 11, 26), date(2026, 11, 26)),))),
        ("due friday", Leaves(((date(2026, 11, 27), date(2026, 11, 27)),))),
        ("must leave next week", days((11, 30), (12, 6), Leaves)),
        ("leaves 12 dec", Leaves(((date(2026, 12, 12), date(2026, 12, 12)),))),
    ],
)
def test_a_word_of_the_lab_or_of_the_calendar_means_what_it_says(typed, meant):
    assert only(typed) == meant


def test_a_word_can_mean_two_things_and_a_name_besides():
    (part,) = WORDS.read("Clear").parts
    standing, made = part.readings
    assert (standing, part.words) == (Standing("clear"), ("Clear",))
    assert "vacuum-formed-retainer" in made.types


def test_december_of_last_year_lies_nearer_than_that_of_this_year():
    assert only("december") == Came(((date(2025, 12, 1), date(2025, 12, 31)),))


def test_a_day_that_comes_soon_may_be_the_day_of_leaving():
    ((arrived, leaves),) = readings("12 dec")
    assert (arrived, leaves) == (came(2025, 12, 12), Leaves(((date(2026, 12, 12), date(2026, 12, 12)),)))


@pytest.mark.parametrize(
    ("typed", "types"),
    [
        ("whitening", {"whitening-tray"}),
        ("whit", {"whitening-tray"}),
        ("bleaching trays", {"whitening-tray"}),
        ("soft splints", {"occlusal-splint-soft", "occlusal-splint-dual"}),
        ("retainers", {"vacuum-formed-retainer", "wire-retainer", "bonded-retainer"}),
        ("wire retainer", {"wire-retainer"}),
        ("clear retainer", {"vacuum-formed-retainer"}),
        ("hs", {"occlusal-splint-hard"}),
    ],
)
def test_one_word_can_mean_several_types_of_appliance(typed, types):
    reading = only(typed)
    assert isinstance(reading, Made)
    assert set(reading.types) == types


def test_what_is_said_in_one_breath_falls_into_its_parts():
    wanted = WORDS.read("held whitening from Marlow last week")
    assert [part.typed for part in wanted.parts] == ["held", "whitening", "Marlow", "last week"]
    assert [len(part.readings) for part in wanted.parts] == [1, 1, 0, 1]


@pytest.mark.parametrize("typed", ["Held & Son", "May", "post", "whit", "monday", "12 nov"])
def test_what_means_something_is_a_name_all_the_same(typed):
    words = [word for part in WORDS.read(typed).parts for word in part.words]
    assert words == [word for word in typed.split() if word != "&"]


def test_small_words_fall_away_only_where_something_else_is_said():
    assert [part.typed for part in WORDS.read("the work of Marlow").parts] == ["work", "Marlow"]
    assert [part.typed for part in WORDS.read("The").parts] == ["The"]
    assert [part.words for part in WORDS.read("for the").parts] == [("for",), ("the",)]


def test_the_beginning_of_a_month_begins_a_name_unless_a_day_stands_with_it():
    assert readings("mar") == [()]
    assert only("12 mar") == came(2026, 3, 12)


@pytest.mark.parametrize(
    ("typed", "word", "meant"),
    [
        ("whitenign", "whitening", Made(("whitening-tray",), "Whitening tray", ("whitening",))),
        ("hedl", "held", Standing("held")),
        ("yesterdya", "yesterday", came(2026, 11, 24)),
        ("lat", "late", Late(TODAY, TODAY)),
        ("castin", "casting", At("Casting")),
    ],
)
def test_a_slip_in_a_word_of_the_lab_is_mended(typed, word, meant):
    mended = {each.read: each.wanted.parts[0].readings for each in WORDS.mended(typed)}
    assert meant in mended[word]


@pytest.mark.parametrize("typed", ["21 nov", "1 nov", "112 nov", "12 nvo", "12 ov", "12.21.", "12 nov 20226"])
def test_a_slip_in_a_day_gives_the_days_that_it_may_be(typed):
    spans = [
        span
        for each in WORDS.mended(typed)
        for part in each.wanted.parts
        for reading in part.readings
        if isinstance(reading, Came)
        for span in reading.spans
    ]
    assert (date(2026, 11, 12), date(2026, 11, 12)) in spans


def test_what_is_typed_right_is_not_mended():
    assert WORDS.mended("late") == ()


@given(typed_words)
def test_whatever_is_typed_is_read_and_no_word_of_it_is_lost_but_small_ones(typed):
    wanted = WORDS.read(typed)
    read = [word for part in wanted.parts for word in part.words]
    tokens = typed.split()[:12]
    still = iter(tokens)
    assert all(word in still for word in read), "in the order in which they were typed"
    for token in tokens:
        said = token.casefold().strip(",;:!?“”\"'().")
        assert token in read or said in SMALL or not any(sign.isalnum() for sign in token)
    if tokens:
        assert wanted.parts
    assert WORDS.mended(typed) is not None


@given(st.sampled_from(LAB_WORDS), st.text(alphabet="abcdefgh", min_size=3, max_size=8))
def test_a_name_beside_a_word_of_the_lab_is_still_a_name(word, name):
    parts = WORDS.read(f"{name} {word}").parts
    assert name in [each for part in parts for each in part.words]


@pytest.mark.parametrize(
    ("state", "finished", "latest_start", "must_leave", "late"),
    [
        ("clear", False, date(2026, 11, 25), date(2026, 12, 1), False),
        ("clear", False, date(2026, 11, 24), date(2026, 12, 1), True),
        ("held", False, date(2026, 11, 24), date(2026, 12, 1), True),
        ("gone", False, date(2026, 11, 24), date(2026, 12, 1), False),
        ("gone", False, date(2026, 11, 20), date(2026, 11, 25), False),
        ("gone", False, date(2026, 11, 20), date(2026, 11, 24), True),
        ("gone", True, date(2026, 11, 20), date(2026, 11, 24), False),
        ("withdrawn", False, date(2026, 11, 20), date(2026, 11, 24), False),
        ("held", False, None, None, False),
    ],
)
def test_late_is_what_should_have_left_or_should_have_been_begun(state, finished, latest_start, must_leave, late):
    assert is_late(state, finished, latest_start, must_leave, TODAY, TODAY) is late
