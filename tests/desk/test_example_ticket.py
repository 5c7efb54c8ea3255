"""The ticket of an example shows what a setup makes of it before it is in force."""

from datetime import timedelta

import pytest

from intake.desk.example_ticket import Example, example_ticket, example_words, kind_of
from intake.domain.example_case import PRACTICE, example_case
from intake.domain.judging import judge
from intake.domain.lab import Box, Category, Step
from tests.desk.desks import NOW, demo_lab
from tests.desk.labs import lab_with


def words(lab, **example):
    kind, lab = kind_of(lab, Example(**example))
    return example_words(lab, example_case(lab, kind, NOW, example.get("material"), example.get("shade")), NOW)


@pytest.mark.parametrize("kind", demo_lab().types, ids=lambda kind: kind.id)
def test_the_example_of_every_appliance_lacks_nothing_and_holds_its_appointment(kind):
    lab = demo_lab()
    case = example_case(lab, kind, NOW)
    verdict = judge(case, lab, PRACTICE, NOW)
    assert [finding.requirement for finding in verdict.findings] == []
    assert verdict.jobs[0].deadlines.outlook == "comfortable"
    assert timedelta(days=7) <= case.appointment.date() - NOW.date() <= timedelta(days=60)


def test_what_is_changed_in_the_setup_stands_on_the_ticket():
    lab = demo_lab()
    crowns = Category(
        id="crowns",
        name="Crowns",
        box=Box(colour="White", hex="#f4f4f0"),
        route=(Step(bench="Milling", days=2), Step(bench="Checking", days=1)),
    )
    changed = lab_with(lab, name="Another laboratory", categories=(crowns,), types=())
    ticket = words(changed, category="crowns")
    assert (ticket.category, ticket.colour, ticket.colour_hex, ticket.lab) == (
        "Crowns",
        "White",
        "#f4f4f0",
        "Another laboratory",
    )
    assert [bench.bench for bench in ticket.route] == ["Milling", "Checking"]
    assert ticket.appliances[0].name == "Appliance", "no appliance type goes into its box yet"


def test_a_material_and_a_shade_can_be_chosen():
    short, long = (words(demo_lab(), material=name).pour_by for name in ("alginate", "addition-silicone"))
    assert short != long
    ticket = words(demo_lab(), kind="partial-plate-with-tooth", shade="B3")
    assert any("B3" in option for option in ticket.appliances[0].options)


def test_the_picture_is_as_wide_as_it_is_asked_for_and_says_what_stands_on_it():
    ticket = example_ticket(demo_lab(), Example(kind="repair"), NOW, 330)
    assert (ticket.about, ticket.picture.width, ticket.picture.pages) == ("Repair", 330, 1)
    assert abs(ticket.picture.height / ticket.picture.width - 148 / 105) < 0.01
    assert len(ticket.picture.pixels) == ticket.picture.stride * ticket.picture.height
    assert ticket.says.startswith("Repairs, Black box. Repair, upper")
    assert len(set(ticket.picture.pixels)) > 20, "something is drawn on it"


def test_where_nothing_is_made_there_is_no_ticket():
    nothing = lab_with(demo_lab(), types=(), categories=())
    assert example_ticket(nothing, Example(), NOW, 330) is None
