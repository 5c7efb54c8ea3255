"""Appliances as the desk types them, with a small lab's own words."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Appliance, Options
from intake.domain.phrases import appliance_words, read_appliance
from intake.domain.teeth import TEETH, arch_of
from tests.domain.small_lab import SHADES, SMALL_LAB


def read(text, notation="iso"):
    return read_appliance(text, SMALL_LAB, notation)


def said(phrase):
    """The options that a phrase gives."""
    return {name: value for name, value in phrase.options if value}


@pytest.mark.parametrize(
    ("text", "kind", "arch", "options"),
    [
        ("hard splint upper 3mm", "hard", "upper", {"thickness_mm": 3.0}),
        ("u hs 3", "hard", "upper", {"thickness_mm": 3.0}),
        ("hs u 3.0", "hard", "upper", {"thickness_mm": 3.0}),
        ("3,5 HS mand", "hard", "lower", {"thickness_mm": 3.5}),
        ("hs 1½mm max", "hard", "upper", {"thickness_mm": 1.5}),
        ("retainers both 1", "formed", "both", {"thickness_mm": 1.0}),
        ("retain u/l .75mm", "formed", "both", {"thickness_mm": 0.75}),
        ("retainers u+l 1", "formed", "both", {"thickness_mm": 1.0}),
        ("retainers upper and lower 1", "formed", "both", {"thickness_mm": 1.0}),
        ("ul trays", "tray", "both", {}),
        ("hard occl spl u thickness 2", "hard", "upper", {"thickness_mm": 2.0}),
        ("splint-hard, lower, 2 mm thick", "hard", "lower", {"thickness_mm": 2.0}),
        ("hs u 3 open 2", "hard", "upper", {"thickness_mm": 3.0, "bite_opening_mm": 2.0}),
        ("hs u 3mm bite open 2mm", "hard", "upper", {"thickness_mm": 3.0, "bite_opening_mm": 2.0}),
        ("hs u 2mm opening", "hard", "upper", {"bite_opening_mm": 2.0}),
        ("bite raiser u 4mm", "opening", "upper", {"bite_opening_mm": 4.0}),
        ("hard soft splint l 3", "dual", "lower", {"thickness_mm": 3.0}),
        ("mouth guard 4 red/black", "guard", None, {"thickness_mm": 4.0, "colour": "red and black"}),
        ("MG 3 dark blue and white", "guard", None, {"thickness_mm": 3.0, "colour": "dark blue and white"}),
        ("hs u clear", "hard", "upper", {"colour": "clear"}),
        ("clear retainer u", "formed", "upper", {}),
        ("mandibular advancement appliance", "advance", None, {}),
        ("mand adv appliance both", "advance", "both", {}),
        ("mandibular repair", "repair", "lower", {}),
        ("removable wire retainer upper", "wire", "upper", {}),
        ("soft splnt l 2", "soft", "lower", {"thickness_mm": 2.0}),
        ("repair", "repair", None, {}),
    ],
)
def test_a_phrase_is_read_in_any_order_with_the_labs_own_names(text, kind, arch, options):
    phrase = read(text)
    assert (phrase.type, phrase.arch, said(phrase)) == (kind, arch, options)
    assert not phrase.candidates
    assert not phrase.teeth
    assert not phrase.unclear_teeth
    assert not phrase.left_over


@pytest.mark.parametrize(
    ("text", "teeth", "arch"),
    [
        ("bonded retainer lower 3-3", "33 32 31 41 42 43", "lower"),
        ("br u 3 to 3", "13 12 11 21 22 23", "upper"),
        ("br both 2-2", "12 11 21 22 32 31 41 42", "both"),
        ("br 33-43", "33 32 31 41 42 43", "lower"),
        ("br LL3-LR3", "33 32 31 41 42 43", "lower"),
        ("pp UR6 5, UL4", "16 15 24", "upper"),
        ("pp upper right 6", "16", "upper"),
        ("pp lower left 6 5", "36 35", "lower"),
        ("pp ur d", "54", "upper"),
        ("pp 11,12 and 21", "11 12 21", "upper"),
        ("pp 6┘", "16", "upper"),
        ("pp 11 36", "11 36", "both"),
        ("anterior splint UR3-UL3 2", "13 12 11 21 22 23", "upper"),
        ("anterior splint 13-23 2", "13 12 11 21 22 23", "upper"),
        ("repair tooth 11", "11", "upper"),
    ],
)
def test_teeth_are_found_among_the_words_and_say_the_arch_when_nothing_else_does(text, teeth, arch):
    phrase = read(text)
    assert phrase.teeth == tuple(teeth.split())
    assert phrase.arch == arch
    assert not phrase.left_over


@pytest.mark.parametrize(
    ("text", "notation", "unclear"),
    [
        ("br 3-3", "iso", "3-3"),
        ("retainers ul 1", "iso", "ul 1"),
        ("pp u 14", "ask", "14"),
        ("anterior splint u 3", "universal", "3"),
        ("pp UR16", "iso", "UR16"),
        ("br 13-43", "iso", None),
    ],
)
def test_what_could_be_different_teeth_is_kept_apart_as_it_was_written(text, notation, unclear):
    phrase = read(text, notation)
    assert phrase.teeth == (() if unclear else ("13", "43")[:0])
    assert phrase.unclear_teeth == ((unclear,) if unclear else ("13-43",))
    assert phrase.options.thickness_mm is None


def test_a_bare_number_is_a_tooth_or_a_thickness_by_what_the_type_asks():
    assert read("hs u 3", "universal").options.thickness_mm == 3
    assert read("pp u 3", "universal").teeth == ("16",)
    assert read("anterior splint u 2").options.thickness_mm == 2
    assert read("br u 3").left_over == ("3",)


@pytest.mark.parametrize(
    ("written", "shade"),
    [("A2", "A2"), ("a3,5", "A3.5"), ("A3½", "A3.5"), ("a3.5", "A3.5"), ("OM1", "0M1"), ("0m1", "0M1"), ("bl2", "BL2"),
     ("2L1.5", "2L1.5"), ("shade a1", "A1")],
)  # fmt: skip
def test_a_shade_is_read_in_its_usual_spellings(written, shade):
    phrase = read(f"pp u 11 {written}")
    assert phrase.options.shade == shade
    assert phrase.teeth == ("11",)
    assert not phrase.left_over


@pytest.mark.parametrize("written", ["A5", "D1", "C9"])
def test_a_shade_that_the_lab_does_not_know_is_not_taken(written):
    phrase = read(f"pp u 11 {written}")
    assert phrase.options.shade is None
    assert phrase.left_over == (written,)


def test_teeth_behind_clasps_springs_and_pontics_belong_to_them():
    phrase = read("removable spring appliance u springs 11 21 clasps on UR6, UL6 pontic UR2")
    assert phrase.type == "springs"
    assert said(phrase) == {"springs": ("11", "21"), "clasps": ("16", "26"), "pontics": ("12",)}
    assert not phrase.teeth
    assert not phrase.left_over


@pytest.mark.parametrize(
    ("text", "candidates"),
    [
        ("hard u", {"hard", "dual"}),
        ("splint upper 3mm", {"hard", "soft", "dual", "anterior"}),
        ("removable u", {"wire", "springs"}),
        ("retianer", {"formed", "wire", "bonded"}),
    ],
)
def test_types_that_fit_equally_are_asked_about_and_never_guessed(text, candidates):
    phrase = read(text)
    assert phrase.type is None
    assert phrase.appliance is None
    assert set(phrase.candidates) <= candidates
    assert phrase.candidates


def test_a_thickness_is_read_while_the_type_is_still_open():
    phrase = read("splint upper 3mm")
    assert (phrase.arch, phrase.options.thickness_mm) == ("upper", 3.0)


@pytest.mark.parametrize("text", ["", "  ", "thing", "pl u", "whi"])
def test_what_names_no_type_names_none(text):
    phrase = read(text)
    assert phrase.type is None
    assert not phrase.candidates


def test_words_that_were_not_understood_are_given_back_in_order():
    phrase = read("hs u please with Thing and 19 bow 0mm")
    assert phrase.type == "hard"
    assert phrase.left_over == ("Thing", "19", "bow", "0mm")


def test_what_was_understood_is_said_in_words():
    phrase = read("soft splnt l 2")
    assert phrase.understood == ("Soft occlusal splint", "“splnt” read as “splint”", "lower", "2 mm")
    phrase = read("pp a2 11-13 clasps 16")
    assert phrase.understood == ("Partial plate with tooth", "upper", "13–11", "clasps 16", "shade A2")


def test_an_arch_is_never_read_from_a_mistyped_word():
    assert read("hs uppre").arch is None
    assert read("hs uppre").left_over == ("uppre",)


words = st.text(st.sampled_from("abcdefgh 0123456789.,/-é“ł"), max_size=12).map(str.strip).filter(bool)
quotable = words.filter(lambda w: "“" not in w)
teeth_lists = st.lists(st.sampled_from(TEETH), max_size=4, unique=True).map(tuple)
millimetres = st.integers(1, 120).map(lambda n: n / 10)
options = st.builds(
    Options,
    thickness_mm=st.none() | millimetres,
    bite_opening_mm=st.none() | millimetres,
    shade=st.none() | st.sampled_from(SHADES) | quotable,
    colour=st.none() | st.sampled_from(["clear", "red and black", "dark blue"]) | quotable,
    material=st.none() | quotable,
    clasps=teeth_lists,
    springs=teeth_lists,
    pontics=teeth_lists,
)


@st.composite
def appliances(draw):
    teeth = draw(teeth_lists)
    arch = draw(st.sampled_from(["upper", "lower", "both"] if teeth else [None, "upper", "lower", "both"]))
    kind = draw(st.sampled_from([t.id for t in SMALL_LAB.types if t.id != "opening"]))
    return Appliance(type=kind, arch=arch, teeth=teeth, options=draw(options))


@given(appliances(), st.sampled_from(["iso", "universal", "ask"]))
def test_a_written_appliance_reads_back_to_the_same(appliance, notation):
    phrase = read(appliance_words(appliance, SMALL_LAB), notation)
    assert phrase.appliance == appliance
    assert not phrase.left_over


@given(st.sampled_from(["hard splint upper 3mm", "mouthguard 4 mm lower blue", "bonded retainer lower UR3-UL3",
                        "removable spring appliance both", "partial plate upper A3.5 UR6"]), st.randoms())  # fmt: skip
def test_the_order_of_the_words_does_not_matter(text, shuffler: random.Random):
    pieces = text.replace(" mm", "mm").split()
    shuffler.shuffle(pieces)
    assert read(" ".join(pieces)).appliance == read(text).appliance


@given(st.text(max_size=40))
def test_any_text_is_read_without_an_error(text):
    phrase = read(text)
    assert set(phrase.teeth) <= set(TEETH)
    if phrase.teeth and phrase.arch is None:
        pytest.fail("teeth say their arch")
    assert {arch_of(tooth) for tooth in phrase.teeth} <= {"upper", "lower"}
