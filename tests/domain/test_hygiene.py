"""How what came stands before it is handed on: declared, by a standing statement, disinfected here, or still to do."""

from datetime import date, datetime

import pytest

from intake.domain.case import Case, Item, SeenCondition
from intake.domain.hygiene import (
    DoneHere,
    second_time,
    short_warning,
    standing_of_case,
    standing_of_parcel,
    water_based,
)
from intake.domain.lab import Lab
from intake.domain.practice import StandingInstruction
from intake.resources import demo
from intake.setup.reading import read_setup

LAB: Lab = read_setup(demo("lab.toml"))
STATEMENT = StandingInstruction(
    requirement="hygiene-status", says="Everything we send is disinfected before it is packed", since=date(2025, 9, 1)
)
DONE = DoneHere("Sodium hypochlorite 0.5 %", 10, "AB", datetime(2026, 11, 25, 9, 5))
IMPRESSION = Item(item="impression", arch="upper", material="alginate")
SCAN = Item(item="scan", arch="upper")


def came(hygiene="unknown", items=(IMPRESSION,), **said):
    return Case(hygiene=hygiene, items=items, **said)


def standing(case, statement=None, done=(), later=()):
    return standing_of_case(case, statement, done, LAB, later)


@pytest.mark.parametrize(
    ("hygiene", "statement", "done", "expected"),
    [
        ("disinfected", None, (), "declared"),
        ("unknown", STATEMENT, (), "standing"),
        ("unknown", None, (), "to-disinfect"),
        ("not-disinfected", None, (), "to-disinfect"),
        ("not-disinfected", STATEMENT, (), "to-disinfect"),
        ("unknown", None, (DONE,), "disinfected-here"),
        ("not-disinfected", STATEMENT, (DONE,), "disinfected-here"),
        ("not-applicable", None, (), "to-disinfect"),
    ],
)
def test_what_the_practice_says_counts_until_it_is_done_here(hygiene, statement, done, expected):
    """A declaration on the form or a blanket statement of the practice counts (SDCEP practice support manual)."""
    found = standing(came(hygiene), statement, done)
    assert found.standing == expected
    assert found.may_be_handed_on == (expected != "to-disinfect")


def test_what_is_not_declared_says_the_laboratorys_caution():
    assert standing(came()).says == LAB.parcels.not_disinfected
    assert "gloves and eye protection" in standing(came()).says
    assert "Local rules decide." in standing(came()).says
    assert standing(came("not-disinfected")).says.startswith("The practice says it is not disinfected. ")


def test_scans_need_no_disinfection():
    assert standing(came(items=(SCAN,))).standing == "not-needed"
    assert standing(came(items=(SCAN, IMPRESSION))).standing == "to-disinfect"


def test_where_blood_was_seen_a_declaration_is_not_enough():
    """If blood appears later, disinfection is repeated (CDC 2003, MMWR 52(RR-17), from memory)."""
    bloody = came("disinfected", condition=SeenCondition(seen=("blood",)))
    assert standing(bloody).standing == "to-disinfect"
    assert standing(bloody).says.startswith("Blood was seen on opening")
    assert standing(bloody, done=(DONE,)).standing == "disinfected-here"


def test_what_came_later_and_is_not_declared_has_to_be_disinfected_whatever_was_declared_before():
    found = standing(came("disinfected"), later=("a parcel of Thu 26 Nov",))
    assert found.standing == "to-disinfect"
    assert found.says.startswith("A parcel of Thu 26 Nov: disinfection not declared. ")


def test_a_disinfection_is_told_with_agent_time_and_initials():
    """Method and exposure time are what is to be told of it (CDC 2003, MMWR 52(RR-17), lab section)."""
    told = standing(came(), done=(DONE,)).says
    assert told == "Disinfected here by AB with Sodium hypochlorite 0.5 % for 10 minutes, Wed 25 Nov 2026, 09:05."


@pytest.mark.parametrize(
    ("hygiene", "seen", "statement", "done", "expected"),
    [
        ("declared", (), None, (), "declared"),
        ("standing", (), STATEMENT, (), "standing"),
        ("standing", (), None, (), "to-disinfect"),  # the statement was withdrawn meanwhile
        ("not-declared", (), STATEMENT, (), "to-disinfect"),
        ("not-declared", (), None, (DONE,), "disinfected-here"),
        ("declared", ("blood",), None, (), "to-disinfect"),
    ],
)
def test_a_parcel_stands_by_what_is_said_on_it(hygiene, seen, statement, done, expected):
    assert standing_of_parcel(hygiene, seen, statement, done, LAB).standing == expected


@pytest.mark.parametrize(
    ("material", "takes_up_water"),
    [
        ("alginate", True),
        ("extended-alginate", True),
        ("polyether", True),
        ("addition-silicone", False),
        ("condensation-silicone", False),
        ("polysulfide", False),
        ("a-material-of-its-own", False),
        (None, False),
    ],
)
def test_hydrocolloids_and_polyether_take_up_water(material, takes_up_water):
    """Hydrocolloid and polyether can be distorted by disinfecting too long or again (SDCEP; CDC as summarised)."""
    case = came(items=(Item(item="impression", arch="upper", material=material),))
    assert bool(water_based([case], LAB)) == takes_up_water


def test_a_second_disinfection_of_alginate_is_warned_of_and_a_first_one_is_not():
    materials = water_based([came()], LAB)
    assert second_time((), False, materials, unknown=False) == ""
    declared = second_time((), True, materials, unknown=False)
    assert declared.startswith("The practice declares it disinfected. Alginate takes up water: ")
    assert "maker’s instructions" in declared
    assert second_time((DONE,), False, materials, unknown=False).startswith("Disinfected here by AB")


def test_what_takes_up_no_water_is_not_warned_of_but_what_is_not_known_is():
    assert second_time((DONE,), True, (), unknown=False) == ""
    assert "not known to be free of alginate or polyether" in second_time((DONE,), False, (), unknown=True)


def test_a_time_shorter_than_the_laboratorys_list_is_told():
    assert short_warning("sodium hypochlorite 0.5 % ", 5, LAB).startswith("The laboratory’s list says 10 minutes")
    assert short_warning("Sodium hypochlorite 0.5 %", 10, LAB) == ""
    assert short_warning("Something else", 1, LAB) == ""
