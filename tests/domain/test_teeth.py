"""How teeth are written and read; the notations themselves are checked in tests/standards/test_iso_3950.py."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.teeth import (
    ARCH_ORDER,
    DECIDUOUS_ORDER,
    TEETH,
    Notation,
    describe_teeth,
    in_chart_order,
    quadrant_name,
    read_teeth,
    shown,
    teeth_between,
    universal,
)

NOTATIONS: tuple[Notation, ...] = ("iso", "universal", "ask")
any_tooth = st.sampled_from(TEETH)
any_notation = st.sampled_from(NOTATIONS)


@pytest.mark.parametrize(
    ("written", "teeth"),
    [
        ("16", "16"),
        ("UR6", "16"),
        ("ur 6", "16"),
        ("UR-6", "16"),
        ("ur.6", "16"),
        ("URE", "55"),
        ("ll b", "72"),
        ("55", "55"),
        ("16, 26", "16 26"),
        ("16 26", "16 26"),
        ("16+26", "16 26"),
        ("16 & 26", "16 26"),
        ("16 and 26", "16 26"),
        ("16/26", "16 26"),
        ("16. 26.", "16 26"),
        ("UR 6 5 4", "16 15 14"),
        ("UR654", "16 15 14"),
        ("UR6,5", "16 15"),
        ("UR6 and 5", "16 15"),
        ("UREDC", "55 54 53"),
        ("UR E D", "55 54"),
        ("UR6 UL6", "16 26"),
        ("UR8,7, LL8/7", "18 17 38 37"),
        ("13-23", "13 12 11 21 22 23"),
        ("13 – 23", "13 12 11 21 22 23"),
        ("UR3-UL3", "13 12 11 21 22 23"),
        ("ur3 to ul3", "13 12 11 21 22 23"),
        ("UR3-23", "13 12 11 21 22 23"),
        ("23-13", "23 22 21 11 12 13"),
        ("33-43", "33 32 31 41 42 43"),
        ("URC-ULC", "53 52 51 61 62 63"),
        ("UR 6-4", "16 15 14"),
        ("UR6-4, 3", "16 15 14 13"),
        ("UR8 5-3", "18 15 14 13"),
        ("UR6, 36", "16 36"),
        ("6┘", "16"),
        ("└6", "26"),
        ("6┐", "46"),
        ("┌6", "36"),
        ("65┘ └56", "16 15 25 26"),
        ("E┘", "55"),
        ("16 16 UR6", "16"),
        ("", ""),
        ("-", ""),
    ],
)
def test_teeth_are_read_as_a_prescription_writes_them(written, teeth):
    read = read_teeth(written, "iso")
    assert read.teeth == tuple(teeth.split())
    assert not read.unclear
    assert not read.wrong


@pytest.mark.parametrize(
    ("written", "teeth"),
    [("3", "16"), ("#14", "26"), ("6-11", "13 12 11 21 22 23"), ("E", "51"), ("A-J", "55 54 53 52 51 61 62 63 64 65"),
     ("32 17", "48 38"), ("UR6", "16"), ("UR 6 5", "16 15"), ("URE", "55")],
)  # fmt: skip
def test_universal_numbers_are_read_where_the_setup_says_so(written, teeth):
    assert read_teeth(written, "universal").teeth == tuple(teeth.split())


@pytest.mark.parametrize(
    ("written", "notation", "meanings"),
    [
        ("14", "ask", ("14", "26")),
        ("13-16", "ask", ("16–13", "25–28")),
        ("3", "ask", ("16", "13", "23", "33", "43")),
        ("3-3", "iso", ("13–23", "43–33")),
        ("UR3-3", "iso", ("13", "13–23")),
        ("UR16", "iso", ("16, 11", "16")),
        ("UR 6 54", "iso", ("15, 14", "54")),
        ("UR6,5", "universal", ("15", "14")),
    ],
)
def test_what_could_be_different_teeth_is_asked_about_and_never_guessed(written, notation, meanings):
    (unclear,) = read_teeth(written, notation).unclear
    assert unclear.written == written
    assert unclear.meanings == meanings


@pytest.mark.parametrize("written", ["36", "13-23", "UR6", "9", "20"])
def test_a_number_that_can_be_one_tooth_only_is_not_asked_about(written):
    read = read_teeth(written, "ask")
    assert read.teeth
    assert not read.unclear


@pytest.mark.parametrize(
    ("written", "notation", "why"),
    [
        ("19", "iso", "no tooth in ISO 3950"),
        ("5", "iso", "write UR5, UL5, LL5 or LR5"),
        ("E", "iso", "write URE, ULE, LLE or LRE"),
        ("E", "ask", "write URE, ULE, LLE or LRE"),
        ("36", "universal", "no Universal number"),
        ("#14", "iso", "no tooth"),
        ("UR9", "iso", "behind UR stands 1 to 8"),
        ("UR", "iso", "behind UR stands 1 to 8"),
        ("13-43", "iso", "13 (UR3) and 43 (LR3) lie in different arches"),
        ("13-53", "iso", "milk tooth"),
        ("13-", "iso", "without its last tooth"),
        ("13-14-15", "iso", "a first and a last tooth only"),
        ("┘6", "iso", "corner signs"),
        ("6└", "universal", "corner signs"),
        ("molar", "iso", "write it as 16 or UR6"),
        ("\u0423\u04206", "iso", "write it as 16 or UR6"),
    ],
)
def test_what_is_no_tooth_gets_a_sentence(written, notation, why):
    read = read_teeth(written, notation)
    assert not read.teeth
    assert why in read.wrong[0].why
    assert f"“{read.wrong[0].written}”" in read.wrong[0].why


def test_texts_of_a_list_are_read_each_by_itself():
    read = read_teeth(["UR6", "5", "36"], "iso")
    assert read.teeth == ("16", "36")
    assert [w.written for w in read.wrong] == ["5"]


def test_a_right_tooth_beside_a_wrong_one_is_kept():
    read = read_teeth("16, 19, 26", "iso")
    assert read.teeth == ("16", "26")
    assert [w.written for w in read.wrong] == ["19"]


@given(st.lists(any_tooth, unique=True), any_notation)
def test_quadrant_names_read_back_to_the_same_teeth_in_every_notation(teeth, notation):
    read = read_teeth(", ".join(map(quadrant_name, teeth)), notation)
    assert read.teeth == tuple(teeth)
    assert not read.unclear
    assert not read.wrong


@given(st.lists(any_tooth, unique=True))
def test_iso_codes_read_back_to_themselves(teeth):
    assert read_teeth(" ".join(teeth), "iso").teeth == tuple(teeth)


@given(st.lists(any_tooth, unique=True))
def test_universal_codes_read_back_to_their_teeth(teeth):
    assert read_teeth(" ".join(map(universal, teeth)), "universal").teeth == tuple(teeth)


@given(st.lists(any_tooth))
def test_a_description_reads_back_to_the_same_teeth(teeth):
    assert read_teeth(describe_teeth(teeth), "iso").teeth == in_chart_order(teeth)


@given(st.data(), st.sampled_from([*ARCH_ORDER.values(), *DECIDUOUS_ORDER.values()]))
def test_a_range_runs_along_one_arch_and_backwards_as_well(data, row):
    first, last = data.draw(st.sampled_from(row)), data.draw(st.sampled_from(row))
    between = teeth_between(first, last)
    assert between[0] == first
    assert between[-1] == last
    assert teeth_between(last, first) == between[::-1]
    assert len(between) == abs(row.index(first) - row.index(last)) + 1


@given(st.text(st.sampled_from("UuRrLl123456789AaEe ,-+&/to┘└┐┌#and"), max_size=14), any_notation)
def test_any_text_gives_teeth_of_the_chart_and_a_sentence_for_the_rest(text, notation):
    read = read_teeth(text, notation)
    assert set(read.teeth) <= set(TEETH)
    assert all(len(unclear.meanings) > 1 for unclear in read.unclear)
    assert all(wrong.why for wrong in read.wrong)


@given(st.text(st.sampled_from("URL1234567 ,-"), max_size=10), any_notation)
def test_what_is_unclear_stays_unclear_when_it_is_read_by_itself(text, notation):
    for unclear in read_teeth(text, notation).unclear:
        again = read_teeth(unclear.written, notation)
        assert again.unclear or again.wrong


def test_runs_are_drawn_together_in_the_order_of_the_chart():
    assert describe_teeth(["36", "23", "22", "21", "11", "12", "13"]) == "13–23, 36"
    assert describe_teeth(["15", "16"]) == "16, 15"
    assert shown("16") == "16 (UR6)"
