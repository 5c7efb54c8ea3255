"""What a reply form says once it is filled in: read exactly, and nothing guessed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.form_check import CHECK, FORM, form_check, is_as_issued
from intake.domain.reply_fields import (
    Filled,
    agreed_in,
    agreed_key,
    asks,
    choice_field,
    filled,
    line_field,
    menu_field,
    other_field,
    question_key,
    questions_in,
    words_asked,
)

AGREED = ("as agreed", "not so: ____________")

KEY = question_key(12)
ANSWERS = ("____ mm", "shade ____ by the guide ____", "use the laboratory's usual", "in the post on ____")
ISSUED = {
    FORM: "R00018766",
    asks(KEY): words_asked("How thick shall it be?", ANSWERS),
    choice_field(KEY): "/Off",
    **{line_field(KEY, choice, line): "" for choice, line in ((0, 0), (1, 0), (1, 1), (3, 0))},
    menu_field(KEY): "",
    other_field(KEY): "",
}


def said(**fields: str) -> Filled:
    """What the form says with fields filled in: `line_1_0` is the first line of the second answer."""
    return filled({**ISSUED, **{f"q12-{name.replace('_', '-')}": text for name, text in fields.items()}}, KEY)


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({}, Filled()),
        ({"choice": "2"}, Filled(2, "use the laboratory's usual")),
        ({"choice": "/2"}, Filled(2, "use the laboratory's usual")),
        ({"choice": "0", "line_0_0": "1.5"}, Filled(0, "1.5 mm")),
        ({"choice": "1", "line_1_0": "A2", "line_1_1": "plain"}, Filled(1, "shade A2 by the guide plain")),
        ({"line_0_0": " 1,5\r\n"}, Filled(0, "1,5 mm")),
        ({"other": "ring us \x00first"}, Filled(other="ring us first")),
        ({"choice": "2", "other": "please"}, Filled(2, "use the laboratory's usual", "please")),
        ({"menu": "A3.5"}, Filled(None, "A3.5")),
    ],
    ids=[
        "nothing",
        "ticked",
        "as a name of the PDF",
        "with its line",
        "with two lines",
        "a line without its tick",
        "other",
        "ticked and other",
        "from the menu",
    ],
)
def test_an_answer_is_read_in_words(fields, expected):
    assert said(**fields) == expected


@pytest.mark.parametrize(
    ("fields", "problem"),
    [
        ({"line_0_0": "1.5", "line_3_0": "Thu"}, "two answers"),
        ({"choice": "2", "menu": "A2"}, "two answers"),
        ({"choice": "2", "line_0_0": "1.5"}, "line of another answer"),
        ({"choice": "0"}, "line left empty"),
        ({"line_1_0": "A2"}, "line left empty"),
        ({"choice": "9"}, "not one of the answers"),
        ({"choice": "²"}, "not one of the answers"),
        ({"choice": "1.5 mm"}, "not one of the answers"),
    ],
)
def test_what_can_mean_two_things_or_none_is_a_problem_and_no_answer(fields, problem):
    read = said(**fields)
    assert read.problem == problem
    assert not read.says_nothing


def test_an_agreed_answer_is_confirmed_or_put_right():
    key = agreed_key(5)
    issued = {asks(key): words_asked("Bite opening: 2 mm", AGREED), choice_field(key): "Off", line_field(key, 1, 0): ""}
    assert filled({**issued, choice_field(key): "0"}, key) == Filled(0, "as agreed")
    assert filled({**issued, line_field(key, 1, 0): "3 mm"}, key) == Filled(1, "not so: 3 mm")
    assert filled({**issued, choice_field(key): "0", line_field(key, 1, 0): "3"}, key).problem
    assert agreed_in(issued) == (5,)
    assert questions_in(issued) == ()


def test_the_questions_of_a_form_are_told_by_their_numbers():
    fields = {asks(question_key(n)): "" for n in (120, 7, 12)} | {"q7-choice": "", "q-asks": "", "xq9-asks": ""}
    assert questions_in(fields) == (7, 12, 120)


@given(st.lists(st.text(st.characters(blacklist_characters="_", blacklist_categories=("Cs",)), min_size=1), min_size=1))
def test_what_is_written_into_lines_is_in_the_words_of_the_answer(lines):
    answer = " and ".join("____" for _ in lines)
    key = question_key(1)
    fields = {asks(key): words_asked("?", (answer,))}
    fields |= {line_field(key, 0, i): text for i, text in enumerate(lines)}
    read = filled(fields, key)
    for text in lines:
        assert " ".join(text.split()) in read.text or not text.isprintable()


def test_a_form_is_as_issued_whatever_is_filled_in():
    issued = {**ISSUED, CHECK: form_check(ISSUED)}
    assert is_as_issued(issued)
    assert is_as_issued({**issued, "q12-choice": "/2", "q12-other": "please"})


@pytest.mark.parametrize(
    "change",
    [
        {FORM: "R00018863"},
        {asks(KEY): words_asked("How thin shall it be?", ANSWERS)},
        {asks(KEY): words_asked("How thick shall it be?", ANSWERS[::-1])},
        {"q13-choice": "/0"},
        {CHECK: ""},
        {FORM: ""},
    ],
    ids=["other form", "other question", "answers swapped", "field more", "no check", "no number"],
)
def test_an_altered_form_is_not_as_issued(change):
    assert not is_as_issued({**ISSUED, CHECK: form_check(ISSUED), **change})


def test_a_form_without_one_of_its_fields_is_not_as_issued():
    check = form_check(ISSUED)
    for name in ISSUED:
        assert not is_as_issued({**{n: v for n, v in ISSUED.items() if n != name}, CHECK: check}), name
