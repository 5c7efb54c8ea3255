"""A practice's blank prescription asks for what the rule book asks of this practice, on the day it is printed."""

from datetime import date

import pytest

from intake.desk.blank_words import blank_words
from intake.domain.rules_in_force import rules_for
from tests.domain.complete_cases import KNOWN, the_lab

TODAY = date(2026, 11, 25)


def a_lab(**limits):
    """The shipped lab, its rule on the thickness of a soft splint limited so."""
    changed = tuple(
        rule.model_copy(update=limits) if rule.id == "thickness" and "occlusal-splint-soft" in rule.types else rule
        for rule in the_lab().rules
    )
    return the_lab().model_copy(update={"rules": changed})


def asked(lab):
    needs = next(each for each in blank_words(KNOWN, lab, TODAY).needs if each.appliance == "Soft occlusal splint")
    return "thickness" in " ".join((*needs.to_begin, *needs.also))


@pytest.mark.parametrize(
    ("limits", "is_asked"),
    [
        ({}, True),
        ({"begins": date(2026, 11, 26)}, False),
        ({"ends": date(2026, 11, 25)}, True),
        ({"only_for": ("QUAY3",)}, False),
        ({"only_for": (KNOWN.code,)}, True),
    ],
)
def test_a_blank_asks_for_what_holds_for_its_practice_today(limits, is_asked):
    lab = a_lab(**limits)
    assert asked(lab) == is_asked
    assert len(rules_for(KNOWN, TODAY, lab)) == len(lab.rules) - (not is_asked)
