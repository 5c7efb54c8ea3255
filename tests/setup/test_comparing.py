"""Two setups compared, a sentence for each thing that differs."""

from datetime import date

import pytest

from intake.domain.lab import Closure, Step
from intake.resources import resource
from intake.setup.comparing import differences
from intake.setup.reading import read_setup
from tests.desk.labs import lab_with

LAB = read_setup(resource("setup", "default.toml"))
SPLINTS = LAB.categories[0]
CASES = {
    "nothing": ({}, []),
    "a number of days": (
        {"deadlines": LAB.deadlines.model_copy(update={"slack_days": 3})},
        ["Deadlines, slack days: 2 → 3"],
    ),
    "weekdays and nothing": (
        {"calendar": LAB.calendar.model_copy(update={"weekdays": (0, 1, 2, 3, 4, 5), "subdivision": None})},
        ["Calendar, part of the country: ENG → nothing", "Calendar, weekdays: Mon-Fri → Mon-Sat"],
    ),
    "a closure": (
        {
            "calendar": LAB.calendar.model_copy(
                update={"closures": (Closure(first=date(2026, 12, 24), last=date(2026, 12, 31), name="Winter"),)}
            )
        },
        ["Calendar, closure Winter: new: Thu 24 Dec 2026 to Thu 31 Dec 2026"],
    ),
    "the days of a bench, and a colour": (
        {
            "categories": (
                SPLINTS.model_copy(
                    update={
                        "route": (SPLINTS.route[0], Step(bench="Splints", days=4), SPLINTS.route[2]),
                        "box": SPLINTS.box.model_copy(update={"hex": "#000000"}),
                    }
                ),
                *LAB.categories[1:],
            )
        },
        ["Category Splints, box, value: #1f6fb4 → #000000", "Category Splints, route: Splints 3 → Splints 4"],
    ),
    "another route": (
        {"categories": (SPLINTS.model_copy(update={"route": SPLINTS.route[:1]}), *LAB.categories[1:])},
        ["Category Splints, route: Casting 1, Splints 3, Checking 1 → Casting 1"],
    ),
    "entries that go and move": (
        {"benches": (*LAB.benches[2:], LAB.benches[0])},
        ["Bench Splints: taken out", "Benches: in another order"],
    ),
    "shades": ({"shades": ("X9", *LAB.shades[1:])}, ["Shades: taken out: A1", "Shades: new: X9"]),
    "texts": (
        {
            "letter": LAB.letter.model_copy(
                update={"closing": "Yours", "answers": LAB.letter.answers | {"shade": ("A",)}}
            )
        },
        [
            "Letter, closing: Yours faithfully → Yours",
            f"Letter, answers shade: {', '.join(LAB.letter.answers['shade'])} → A",
        ],
    ),
    "a rule of three with one name": (
        {"rules": tuple(rule for at, rule in enumerate(LAB.rules) if at != 5)},
        [f"Rule {LAB.rules[5].id}: taken out: "],
    ),
    "the level of a rule": (
        {"rules": (LAB.rules[0].model_copy(update={"level": "warns"}), *LAB.rules[1:])},
        [f"Rule {LAB.rules[0].id}, level: {LAB.rules[0].level} → warns"],
    ),
    "for whom a rule is": (
        {"rules": (LAB.rules[0].model_copy(update={"only_for": ("MARLOW1",)}), *LAB.rules[1:])},
        [f"Rule {LAB.rules[0].id}: "],
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_what_differs_is_a_sentence(name):
    change, wanted = CASES[name]
    said = [each.sentence for each in differences(LAB, lab_with(LAB, **change))]
    assert len(said) == len(wanted), said
    assert all(one.startswith(sentence) for one, sentence in zip(said, wanted, strict=True)), said


def test_the_way_back_tells_the_same_of_the_same_places():
    after = lab_with(LAB, **{name: value for change, _ in CASES.values() for name, value in change.items()})
    there, back = differences(LAB, after), differences(after, LAB)
    assert {each.where for each in there} == {each.where for each in back}
    turned = {"new": "gone", "gone": "new"}
    assert sorted((each.where, turned.get(each.way, each.way)) for each in there) == sorted(
        (each.where, each.way) for each in back
    )
