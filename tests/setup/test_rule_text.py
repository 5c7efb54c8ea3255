"""The rule book changed in the text of a setup: what is written reads as what was meant, and comments stay."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.resources import resource
from intake.setup.editing import SetupText
from intake.setup.reading import SetupWrong, setup_of
from intake.setup.rule_text import add_rule, put_rule, rules_in, take_rule_out
from tests.domain.made_rules import rules

SHIPPED = resource("setup", "default.toml").read_text(encoding="utf-8")
SMALL = SHIPPED[: SHIPPED.index("[[rules]]")] + SHIPPED[SHIPPED.index('[[rules]]\nid = "raised"') :]
"""The shipped setup with its last rules only, which is quicker to read."""


def rules_of(text):
    return rules_in(text.get(("rules",)))


@settings(max_examples=8)
@given(rules(), rules(), st.integers(0, 2))
def test_a_rule_that_is_written_is_the_rule_that_was_meant(new, changed, at):
    text = SetupText(SMALL)
    before = rules_of(text)
    add_rule(text, at, new)
    assert rules_of(text) == (*before[:at], new, *before[at:])
    put_rule(text, at, changed)
    assert rules_of(SetupText(str(text))) == (*before[:at], changed, *before[at:])
    take_rule_out(text, at)
    assert rules_of(text) == before


def at_of(text, name):
    return next(at for at, rule in enumerate(rules_of(text)) if rule.id == name)


def test_comments_stay_where_a_rule_is_changed():
    text = SetupText(SHIPPED)
    at = next(at for at, rule in enumerate(rules_of(text)) if rule.id == "opposing-arch")
    put_rule(text, at, rules_of(text)[at].model_copy(update={"level": "warns", "because": "So it is here."}))
    assert "# for both, each arch opposes the other and is asked for already" in str(text)
    now = set(str(text).splitlines())
    gone = [line for line in SHIPPED.splitlines() if line not in now]
    assert len(gone) <= 2, "the reason, and the level where no other rule has that line"


def test_the_answers_of_the_letter_follow_a_name_and_go_with_its_last_rule():
    text = SetupText(SHIPPED)
    answers = text.get(("letter", "answers"))
    colour, teeth = at_of(text, "colour"), at_of(text, "teeth")
    assert {"colour", "teeth"} <= set(answers)
    put_rule(text, colour, rules_of(text)[colour].model_copy(update={"id": "tint"}))
    assert text.get(("letter", "answers", "tint")) == answers["colour"]
    assert text.get(("letter", "answers", "colour")) is None
    put_rule(text, teeth, rules_of(text)[teeth].model_copy(update={"id": "tooth"}))
    assert text.get(("letter", "answers", "teeth")) == answers["teeth"], "other rules have the name too"
    take_rule_out(text, at_of(text, "tint"))
    assert text.get(("letter", "answers", "tint")) is None
    setup_of(str(text), Path("setup.toml"))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("begins = 2027-02-01\nends = 2027-01-31", "it ends on Sun 31 Jan 2027, before it begins on Mon 1 Feb 2027"),
        ('exceptions = [{ practice = "A", level = "warns" }, { practice = "a", level = "never" }]', "“a” stands twice"),
        ('only_for = ["A"]\nexceptions = [{ practice = "B", level = "warns" }]', "not among those that it is only for"),
        ('only_for = ["A", "a"]', "a practice stands twice"),
        ("when = [{ outlook = [] }]", "“outlook” names nothing, so it never holds"),
    ],
)
def test_a_rule_that_contradicts_itself_is_refused_with_the_reason(line, says):
    rule = f'\n[[rules]]\nid = "ours"\nlevel = "asks"\ntypes = "case"\nquestion = "What?"\nbecause = ""\n{line}\n'
    met = "" if "when" in line else 'satisfied_by = [{ prescribed = "patient" }]\n'
    with pytest.raises(SetupWrong) as refused:
        setup_of(SMALL + rule + met, Path("setup.toml"))
    assert "rule “ours”: " in str(refused.value)
    assert says in str(refused.value)
