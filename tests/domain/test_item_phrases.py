"""What came, as the desk types it. Today is Wed 25 Nov 2026."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Item
from intake.domain.phrases import items_words, read_items
from tests.domain.small_lab import SMALL_LAB

TODAY = date(2026, 11, 25)
AS = "addition-silicone"
U, L = Item(item="impression", arch="upper"), Item(item="impression", arch="lower")
U_AS, L_AS = (Item(item="impression", arch=arch, material=AS) for arch in ("upper", "lower"))
MODELS = (Item(item="model", arch="upper"), Item(item="model", arch="lower"))
SCANS = (Item(item="scan", arch="upper"), Item(item="scan", arch="lower"))
BITE = Item(item="bite-record", kind="centric")
SCANNED_BITE = Item(item="bite-record", kind="centric", source="scan")
AFTERNOON = datetime(2026, 11, 24, 15, 30)


def read(text):
    return read_items(text, SMALL_LAB, TODAY)


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("u l b", (U, L, BITE)),
        ("ul b", (U, L, BITE)),
        ("both", (U, L)),
        ("imps u l add sil, bite", (U_AS, L_AS, BITE)),
        ("u as, l", (U_AS, L_AS)),
        ("imps u l, as", (U_AS, L_AS)),
        ("u a silicone", (U_AS,)),
        ("u ext alg", (Item(item="impression", arch="upper", material="extended-alginate"),)),
        ("u alg", (Item(item="impression", arch="upper", material="alginate"),)),
        ("imps u l as, models u", (U_AS, L_AS, MODELS[0])),
        ("models ul", MODELS),
        ("upper model, lower", MODELS),
        ("scans u l", SCANS),
        ("upper and lower scans", SCANS),
        ("upper scan lower model", (SCANS[0], MODELS[1])),
        ("scan both bite", (*SCANS, SCANNED_BITE)),
        ("scans u l, bite", (*SCANS, SCANNED_BITE)),
        ("imps u l, bite scan", (U, L, SCANNED_BITE)),
        ("scans u l, wax bite", (*SCANS, Item(item="bite-record", kind="centric", source="physical"))),
        ("scans u l; b", (*SCANS, BITE)),
        ("bite protr 6mm", (Item(item="bite-record", kind="protrusive", mm=6),)),
        ("protr 6", (Item(item="bite-record", kind="protrusive", mm=6),)),
        ("bite open", (Item(item="bite-record", kind="open"),)),
        ("bite open 5,5 mm", (Item(item="bite-record", kind="open", mm=5.5),)),
        ("bite open 5.5", (Item(item="bite-record", kind="open", mm=5.5),)),
        ("bite record", (BITE,)),
        ("bite unknown", (Item(item="bite-record"),)),
        ("photos", (Item(item="photo"),)),
        ("shade tab", (Item(item="shade-tab"),)),
        ("old appliance", (Item(item="appliance"),)),
        ("prescription sheet", (Item(item="prescription-sheet"),)),
        ("sheet photo u", (Item(item="prescription-sheet"), Item(item="photo"), U)),
        ("imps", (Item(item="impression"),)),
        ("", ()),
    ],
)
def test_items_are_read_as_the_desk_types_them(text, items):
    phrase = read(text)
    assert phrase.items == items
    assert not phrase.left_over


@pytest.mark.parametrize(
    "text",
    ["u as 24/11 15.30", "imp u add sil 24 nov 15:30", "u, as, yesterday 15.30", "u as tue 15.30", "as u 24.11. 15.30",
     "u as taken Tue 24 Nov 2026, 15:30"],
)  # fmt: skip
def test_the_date_an_impression_was_taken_is_read_with_it(text):
    phrase = read(text)
    assert phrase.items == (U_AS.model_copy(update={"taken": AFTERNOON}),)
    assert not phrase.left_over


def test_a_date_said_once_holds_for_the_impressions_and_not_for_the_bite():
    upper, lower, bite = read("u l b as 24/11").items
    assert upper.taken == lower.taken == date(2026, 11, 24)
    assert (bite.taken, bite.material) == (None, None)


def test_two_materials_leave_the_third_impression_without_one():
    assert [item.material for item in read("u as, l alg, u").items] == [AS, "alginate", None]


def test_a_silicone_of_which_the_kind_is_not_said_is_not_guessed():
    phrase = read("u sil")
    assert phrase.items == (U,)
    assert phrase.left_over == ("sil",)


@pytest.mark.parametrize(
    ("text", "left_over"), [("u 15.30", ("15.30",)), ("u Thing 6mm", ("Thing", "6mm")), ("photos 2", ("2",))]
)
def test_what_is_not_understood_is_given_back(text, left_over):
    assert read(text).left_over == left_over


def test_each_item_gets_its_sentence_and_a_mended_word_is_shown():
    assert read("impresion u as 24/11 15.30, bite protr 6mm").understood == (
        "Upper impression, Addition silicone, taken Tue 24 Nov 2026, 15:30",
        "Bite record, protrusive, 6 mm",
        "“impresion” read as “impression”",
    )


taken = st.none() | st.dates(TODAY - timedelta(days=1000), TODAY) | st.datetimes(
    datetime(2024, 1, 1), datetime(2026, 11, 24)
).map(lambda moment: moment.replace(second=0, microsecond=0))  # fmt: skip
arches = st.sampled_from([None, "upper", "lower"])
materials = st.none() | st.sampled_from([m.id for m in SMALL_LAB.materials])
items = st.one_of(
    st.builds(Item, item=st.just("impression"), arch=arches, material=materials, taken=taken),
    st.builds(Item, item=st.sampled_from(["model", "scan"]), arch=arches, taken=taken),
    st.builds(
        Item,
        item=st.just("bite-record"),
        kind=st.sampled_from([None, "centric", "open", "protrusive"]),
        source=st.sampled_from([None, "physical", "scan"]),
        mm=st.none() | st.integers(1, 120).map(lambda n: n / 10),
        taken=taken,
    ),
    st.builds(Item, item=st.sampled_from(["photo", "shade-tab", "appliance", "prescription-sheet"]), taken=taken),
)


@given(st.lists(items, max_size=6).map(tuple))
def test_written_items_read_back_to_the_same(several):
    phrase = read(items_words(several, SMALL_LAB))
    assert phrase.items == several
    assert not phrase.left_over


@given(st.text(max_size=40) | st.text(st.sampled_from("ulbas impscandre,;0123456789./ "), max_size=30))
def test_any_text_is_read_without_an_error(text):
    phrase = read(text)
    assert len(phrase.understood) >= len(phrase.items)
