"""Rules as sentences: each can be read, and no two different ones read alike."""

import re
from contextlib import suppress
from functools import cache
from typing import get_args

import pytest
from hypothesis import example, given
from pydantic import ValidationError

from intake.domain.condition_parts import KINDS, ConditionUnclear, condition_of, key_of, kinds_for, values_of, words_of
from intake.domain.rule_sentences import limits, rule_sentence, what_it_says
from intake.domain.rulebook import (
    CIRCUMSTANCES,
    LEVELS,
    SATISFIERS,
    AllergyNamed,
    ArchIs,
    Circumstance,
    ConditionSeen,
    Prescribed,
    Received,
    Requirement,
    Satisfier,
    Standing,
)
from tests.domain.complete_cases import the_lab
from tests.domain.made_rules import conditions, rules

ROLES = ("when", "satisfied_by")


@cache
def by_id(name, level):
    return next(rule for rule in the_lab().rules if rule.id == name and rule.level == level)


@pytest.mark.parametrize(
    ("name", "level", "reads"),
    [
        (
            "thickness",
            "stops",
            "A soft occlusal splint needs its thickness on the prescription before work starts, unless a standing "
            "instruction of the practice settles it or the prescriber says to go ahead all the same, because a soft "
            "splint is made from one sheet; its thickness cannot be changed later.",
        ),
        (
            "shade",
            "asks",
            "The practice is asked, while work starts, about an appliance where a shade is given that the laboratory "
            "does not list, unless the prescriber says to go ahead all the same, because a shade means nothing without "
            "its guide.",
        ),
        (
            "under-18-whitening",
            "warns",
            "There is a caution to read with a whitening tray where the patient is under 18, because products over "
            "0.1 % hydrogen peroxide are not for persons under 18 in the EU and the UK (Directive 2011/84/EU), save "
            "wholly to treat or prevent disease.",
        ),
        (
            "prescription-sheet",
            "stops",
            "Where what came was found with a prescription that cannot be read or without a prescription, a case needs "
            "a prescription sheet before work starts, because a custom-made device is made to a written prescription "
            "(Reg. (EU) 2017/745 Art. 2(3); UK MDR 2002 reg. 5(1)).",
        ),
    ],
)
def test_rules_of_the_shipped_book_read_as_a_person_would_say_them(name, level, reads):
    assert rule_sentence(by_id(name, level), the_lab()) == reads


def test_an_issue_is_a_sentence_with_its_reason():
    rule = Requirement(
        id="bite-record",
        level="stops",
        types=("occlusal-splint-hard",),
        satisfied_by=({"received": ["bite-record"]},),
        question="Please send one.",
        because="Without one it would be guessed.",
    )
    assert rule_sentence(rule, the_lab()) == (
        "A hard occlusal splint needs a bite record before work starts, because without one it would be guessed."
    )


def reads_well(sentence):
    """What can be told of a sentence by its form: it begins large, ends with a stop, and has no sign of a program."""
    return (
        sentence[0].isupper()
        and sentence[-1] in ".?!"
        and not re.search(
            r"  | ,|,,|\.\.|[_{}\[\]]|\bTrue\b|\bFalse\b|\bNone\b|\b(where|unless|needs|about|or|and) *[,.;]", sentence
        )
        and not re.search(r"\ba [aeio]|\ban [bcdfgjklmnpqrstvwxz]", sentence)
    )


def test_every_rule_of_the_shipped_book_reads_well():
    lab = the_lab()
    odd = [sentence for rule in lab.rules if not reads_well(sentence := rule_sentence(rule, lab))]
    assert odd == []


@given(rules())
def test_every_rule_that_can_be_made_reads_well_and_says_what_is_dated_and_for_whom(rule):
    sentence = rule_sentence(rule, the_lab(), {"MARLOW1": "Marlow Road Dental"})
    assert reads_well(sentence), sentence
    for code in (*rule.only_for, *(exception.practice for exception in rule.exceptions)):
        assert code in sentence
    for day in (rule.begins, rule.ends):
        assert day is None or f"{day.day} " in limits(rule)
    assert (limits(rule) == "") == rule.holds_always


def meant(rule):
    """What a rule says, whatever the order in which it is written."""
    types = rule.types if isinstance(rule.types, str) else frozenset(rule.types)
    return rule.level, types, frozenset(rule.when), frozenset(rule.satisfied_by)


def near_rules(rule):
    """Rules that differ from one in one thing: its level, what it is for, a circumstance or what satisfies it."""
    values = dict(rule)
    for level in LEVELS:
        yield {**values, "level": level}
    others = [("repair",), ("repair", "whitening-tray"), tuple(the_lab().type_by_id), "every", "case"]
    yield from ({**values, "types": types} for types in others)
    for name in ("when", "satisfied_by"):
        for at in range(len(values[name])):
            yield {**values, name: values[name][:at] + values[name][at + 1 :]}
    yield {**values, "when": (*rule.when, AllergyNamed(allergy=True))}
    yield {**values, "satisfied_by": (*rule.satisfied_by, Standing(standing=True))}
    yield {**values, "satisfied_by": (*rule.satisfied_by, Prescribed(prescribed="practice"))}


@given(rules())
def test_no_two_rules_that_say_something_different_read_alike(rule):
    made = [rule]
    for values in near_rules(rule):
        with suppress(ValidationError):  # neither circumstances nor satisfiers, or about one appliance of a whole case
            made.append(Requirement(**values))
    assert len({what_it_says(each, the_lab()) for each in made}) == len({meant(each) for each in made})


def neighbours(role, condition):
    """A condition with one small field other than it is."""
    kind = next(kind for kind in KINDS[role] if kind.key == key_of(condition))
    for part in kind.parts:
        values = values_of(condition)
        options = [value for value, _ in part.choices]
        if part.kind == "several":
            options = [tuple(set(values[part.name]) ^ {value}) for value in options]
        elif part.kind == "number":
            options = [values[part.name] + 0.001, values[part.name] + 1e-9]
        elif part.kind == "tick":
            options = [True, False]
        for option in options:
            try:
                yield condition_of(role, kind.key, {**values, part.name: option})
            except ConditionUnclear:
                continue


@pytest.mark.parametrize("role", ROLES)
def test_no_two_conditions_that_differ_in_one_small_field_read_alike(role):
    @given(conditions(role))
    @example(condition_of("when", "arch", {"arch": ["upper"]}) if role == "when" else Received(received=("scan",)))
    def holds(condition):
        for other in neighbours(role, condition):
            assert (words_of(role, other) == words_of(role, condition)) == (other == condition)

    holds()


def test_every_kind_of_condition_is_read_by_words_of_its_own():
    kinds = [(role, kind) for role in ROLES for kind in KINDS[role]]
    assert len({kind.words for _, kind in kinds}) == len(kinds)
    for role in ROLES:
        ways = [words_of(role, first(role, kind)) for kind in KINDS[role]]
        assert len(set(ways)) == len(ways)


def first(role, kind):
    """A condition of a kind with the first of each choice."""
    starts = {"several": lambda part: [part.choices[0][0]], "one": lambda part: part.choices[0][0]}
    picked = {part.name: starts.get(part.kind, lambda part: 1)(part) for part in kind.parts}
    return condition_of(role, kind.key, picked)


def literals(kind):
    """Every plain value that an annotation names."""
    if isinstance(kind, str | bool):
        return [kind]
    return [value for part in get_args(kind) for value in literals(part)]


@pytest.mark.parametrize(("role", "closed"), [("when", Circumstance), ("satisfied_by", Satisfier)])
def test_all_that_the_rule_book_knows_can_be_picked_and_nothing_else(role, closed):
    keys = CIRCUMSTANCES if role == "when" else SATISFIERS
    assert tuple(kind.key for kind in KINDS[role]) == keys
    for kind in KINDS[role]:
        model = type(first(role, kind))
        fields = {name: field.annotation for name, field in model.model_fields.items()}
        plain = not kind.parts
        assert plain == (list(map(literals, fields.values())) == [[True]]), kind.key
        if plain:
            continue
        assert {part.name for part in kind.parts} == set(fields)
        for part in kind.parts:
            assert set(literals(fields[part.name])) <= {value for value, _ in part.choices}, (kind.key, part.name)
            assert len({words for _, words in part.choices}) == len(part.choices)


def test_what_is_about_one_appliance_is_not_offered_for_a_case_as_a_whole():
    of_case = {kind.key for kind in kinds_for("when", of_case=True)}
    assert "arch" not in of_case
    assert {"allergy", "outlook", "condition"} <= of_case
    assert {kind.key for kind in kinds_for("satisfied_by", of_case=True)} == set(SATISFIERS)


@pytest.mark.parametrize(
    ("key", "picked", "says"),
    [
        ("arch", {"arch": []}, "Arch: choose at least one."),
        (
            "out_of_range",
            {"out_of_range": "thickness_mm", "least": None, "most": 8},
            "Less than, in mm: write a number",
        ),
        (
            "out_of_range",
            {"out_of_range": "thickness_mm", "least": 9, "most": 8},
            "The least, 9, is more than the most, 8.",
        ),
    ],
)
def test_a_condition_that_is_not_picked_to_the_end_says_what_is_missing(key, picked, says):
    with pytest.raises(ConditionUnclear, match=re.escape(says)):
        condition_of("when", key, picked)


def test_the_state_on_opening_says_whether_it_was_accepted():
    found = ConditionSeen(condition=("wet",), accepted=False)
    assert words_of("when", found) == "what came was found wet, and nobody accepted it"
    assert words_of("when", ArchIs(arch=("upper", "both"))) == "it is for the upper arch or for both arches"
