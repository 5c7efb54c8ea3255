"""The lab's own words, found in what was typed."""

import pytest

from intake.domain.vocabulary import Sheet, arch_of_all, arch_said, choose, mended, recognise, singular

NAMES = {"splint": ("Hard splint", "hs"), "retainer": ("Wire retainer",), "guard": ("Mouthguard",)}


def chosen(text, names=NAMES):
    return choose(Sheet(text).words(), names)


@pytest.mark.parametrize(
    ("word", "plain"),
    [("Splints", "splint"), ("TRAYS", "tray"), ("hs", "hs"), ("gas", "gas"), ("glass", "glass"), ("basis", "basis")],
)
def test_a_word_is_compared_without_case_and_plural(word, plain):
    assert singular(word) == plain


def test_three_letters_begin_a_word_and_two_do_not():
    assert recognise("spl", {"splint", "plate"}) == {"splint"}
    assert recognise("sp", {"splint", "plate"}) == frozenset()
    assert recognise("pla", {"plate", "plaster"}) == {"plate", "plaster"}


def test_the_whole_word_comes_before_what_it_begins():
    assert recognise("bond", {"bond", "bonded"}) == {"bond"}


@pytest.mark.parametrize(
    ("word", "meant"),
    [("splnt", "splint"), ("slpint", "splint"), ("mouhtgaurd", "mouthguard"), ("splt", None), ("xplint", None),
     ("sprint", "splint"), ("spl1nt", None)],
)  # fmt: skip
def test_a_slip_or_two_are_mended_where_one_word_alone_is_near(word, meant):
    assert mended(word, {"splint", "mouthguard", "hard"}) == meant


def test_a_slip_that_is_near_two_words_is_not_mended():
    assert mended("plane", {"plate", "place"}) is None


@pytest.mark.parametrize(
    ("word", "arch"),
    [("U", "upper"), ("max", "upper"), ("uppers", "upper"), ("mand", "lower"), ("l", "lower"), ("both", "both"),
     ("ul", "both"), ("ma", None), ("loewr", None)],
)  # fmt: skip
def test_arch_words_are_known_by_themselves_or_their_beginning(word, arch):
    assert arch_said(word) == arch


def test_upper_and_lower_are_both():
    assert arch_of_all(["upper", "lower"]) == "both"
    assert arch_of_all(["upper", "upper"]) == "upper"
    assert arch_of_all([]) is None


def test_the_name_that_explains_most_words_is_chosen():
    assert chosen("splint hard").only == "splint"
    assert chosen("mouth guard").only == "guard"
    assert chosen("hard wire retainer").only == "retainer"
    assert chosen("thing").ids == ()


def test_names_that_explain_as_much_are_all_given():
    choice = chosen("hard wire")
    assert choice.only is None
    assert choice.ids == ("splint", "retainer")


def test_a_mistyped_word_counts_beside_another_and_is_asked_about_alone():
    assert chosen("hard splnt").only == "splint"
    assert chosen("hard splnt").slips == {"splnt": "splint"}
    alone = chosen("retianer")
    assert alone.only is None
    assert alone.ids == ("retainer",)


def test_what_is_taken_out_leaves_the_rest_where_it_was():
    sheet = Sheet("hard, Thing & (more)")
    sheet.cut(0, 4)
    assert sheet.left_over() == ("Thing", "more")
