"""What is wrong with a setup is told with the line in which it stands."""

import pytest

from intake.resources import resource
from intake.setup.editing import SetupText
from intake.setup.lines import line_of
from intake.setup.reading import SetupWrong, setup_of

SHIPPED = resource("setup", "default.toml").read_text(encoding="utf-8")
LINES = SHIPPED.splitlines()
WRONG = {
    "a value": ('subdivision = "ENG"', "subdivision = 3"),
    "one in an entry": ('hex = "#1f6fb4"', 'hex = "blue"'),
    "one in a list of many lines": ('{ name = "Quaternary ammonium spray", minutes = 10 }', "{ minutes = 10 }"),
    "what is no part of it": ("slack_days = 2 ", "slacks = 2 "),
    "what contradicts itself": ('category = "whitening"', 'category = "bleaching"'),
    "a text": ("of the {arch} arch.", "of the {arc} arch."),
    "what is not TOML": ("slack_days = 2 ", "slack_days 2 "),
}


@pytest.mark.parametrize("name", WRONG)
def test_the_line_is_that_of_the_file(name):
    old, new = WRONG[name]
    text = SHIPPED.replace(old, new, 1)
    with pytest.raises(SetupWrong) as refused:
        setup_of(text, "setup.toml")
    problem = refused.value.problems[0]
    assert text.splitlines()[problem.line - 1] != LINES[problem.line - 1]
    assert f"ine {problem.line}" in str(refused.value)


def test_of_what_is_missing_it_is_the_line_of_the_entry_that_lacks_it():
    text = SHIPPED.replace('category = "whitening"\n', "", 1)
    with pytest.raises(SetupWrong) as refused:
        setup_of(text, "setup.toml")
    (problem,) = refused.value.problems
    assert problem.said.startswith(f"Line {problem.line}: types[")
    assert text.splitlines()[problem.line - 1 : problem.line + 1] == ["[[types]]", 'id = "whitening-tray"']


@pytest.mark.parametrize(
    ("place", "begins"),
    [
        (("name",), "name ="),
        (("calendar",), "[calendar]"),
        (("categories",), "[[categories]]"),
        (("categories", 3, "box", "hex"), 'box = { colour = "Red"'),
        (("letter", "answers", "thickness"), "thickness ="),
        (("types", 2, "usual", "thickness_mm"), 'usual = { thickness_mm = "3", bite'),
        (("shades", 2), '    "A1", "A2", "A3"'),
        (("no", "such", "place"), None),
    ],
)
def test_a_place_has_its_line_and_looking_for_it_changes_nothing(place, begins):
    text = SetupText(SHIPPED)
    line = line_of(text, place)
    assert (line is None) if begins is None else LINES[line - 1].startswith(begins)
    assert str(text) == SHIPPED
