"""The lists of the setup as cells: what typing into one does to the whole file."""

from pathlib import Path

import pytest

from intake.errors import IntakeError
from intake.resources import demo, resource
from intake.setup.appliance_tables import MATERIALS, TYPES
from intake.setup.editing import SetupText
from intake.setup.laboratory_settings import GROUPS
from intake.setup.reading import setup_of
from intake.setup.route_tables import BENCHES, CATEGORIES
from intake.setup.trying import PlainSetup, refusal

TEXT = demo("lab.toml").read_text(encoding="utf-8")
LAB = setup_of(TEXT, Path("setup.toml"))
TABLES = (CATEGORIES, BENCHES, TYPES, MATERIALS, *(table for group in GROUPS for table in group.tables))
by_name = {table.title: {column.title: column for column in table.columns} for table in TABLES}


def row_of(table, key):
    return next(at for at, entry in enumerate(table.rows(LAB)) if getattr(entry, table.key) == key)


def changed(table, key, title, text):
    """The setup after a cell was typed into, read anew from its text."""
    column, row = by_name[table.title][title], row_of(table, key)
    change = table.changing(column, row, table.read(column, text, LAB, row), LAB)
    assert refusal(TEXT, LAB, change) == ""
    written = SetupText(TEXT)
    change(written)
    return setup_of(str(written), Path("setup.toml"))


def after(change):
    """The setup after a change."""
    written = SetupText(TEXT)
    change(written)
    return setup_of(str(written), Path("setup.toml"))


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.title)
def test_what_a_cell_shows_means_the_same_when_it_is_typed(table):
    trial = PlainSetup(TEXT)
    for row, entry in enumerate(table.rows(LAB)):
        for column in table.columns:
            table.changing(column, row, table.read(column, table.shown(column, entry, LAB), LAB, row), LAB)(trial)
    assert type(LAB).model_validate(trial.data) == LAB


def test_plain_values_change_as_the_text_with_its_comments_does():
    def change(setup):
        setup.put(("ticket", "queue"), "tickets")
        setup.put(("boxes",), None)
        setup.add(("parcels", "agents"), {"name": "Peracetic acid", "minutes": 5}, 0)
        setup.move(("categories", 3), 0)
        setup.take_out(("benches", 1, "capacity"))
        setup.add(("scans", "senders"), {"address": "@scans.example.com"})

    trial = PlainSetup(TEXT)
    change(trial)
    assert type(LAB).model_validate(trial.data) == after(change)
    assert "# " in str(SetupText(TEXT)), "the remarks are kept by the text alone"


def test_a_bench_under_another_name_has_it_in_every_route_and_keeps_its_capacity():
    lab = changed(BENCHES, "Casting", "Bench", "Plaster room")
    assert "Casting" not in lab.bench_by_name
    assert lab.bench_by_name["Plaster room"].capacity == LAB.bench_by_name["Casting"].capacity
    assert [[step.days for step in each.route] for each in lab.categories] == [
        [step.days for step in each.route] for each in LAB.categories
    ]
    with pytest.raises(IntakeError, match="There is a bench Checking"):
        BENCHES.read(by_name["Benches"]["Bench"], "checking", LAB, row_of(BENCHES, "Casting"))


def test_a_category_and_a_type_under_another_id_have_it_wherever_they_are_named():
    lab = changed(CATEGORIES, "splints", "Id", "bite-splints")
    assert {kind.category for kind in lab.types} == {kind.category for kind in LAB.types} - {"splints"} | {
        "bite-splints"
    }
    lab = changed(TYPES, "repair", "Id", "mending")
    names = [name for rule in lab.rules if not isinstance(rule.types, str) for name in rule.types]
    before = [name for rule in LAB.rules if not isinstance(rule.types, str) for name in rule.types]
    assert names == ["mending" if name == "repair" else name for name in before]
    assert "repair" in before


def test_a_plain_colours_name_brings_its_value_and_another_boxs_name_is_refused():
    lab = changed(CATEGORIES, "splints", "Box", "Turquoise")
    assert (lab.categories[0].box.colour, lab.categories[0].box.hex) == ("Turquoise", "#1fa5a5")
    with pytest.raises(IntakeError, match="Two boxes never share a name"):
        CATEGORIES.read(by_name["Categories"]["Box"], "lilac", LAB, 0)


def test_a_bench_that_no_route_goes_to_any_more_is_laid_down_no_longer():
    lab = changed(CATEGORIES, "sleep", "Route: benches and working days", "Casting 1, Splints 4, Checking 1")
    assert "Sleep" not in lab.bench_by_name
    assert [bench.name for bench in lab.benches] == [each.name for each in LAB.benches if each.name != "Sleep"]


def test_a_category_that_types_go_to_stays_and_a_bench_leaves_every_route():
    going = CATEGORIES.going(LAB, row_of(CATEGORIES, "splints"))
    assert going.refused == (
        "Splints is the box of Hard occlusal splint, Soft occlusal splint, Dual-laminate occlusal splint and "
        "Anterior splint. Give them another category first."
    )
    going = BENCHES.going(LAB, row_of(BENCHES, "Acrylic"))
    assert (going.refused, going.also) == ("", "It leaves the routes of Orthodontic and Plates.")
    assert "Acrylic" not in after(going.change).bench_by_name
    only = changed(CATEGORIES, "splints", "Route: benches and working days", "Casting 1")
    going = BENCHES.going(only, 0)
    assert going.refused == "Casting is the only bench of Splints. Give that route another bench first."


def test_an_appliance_type_goes_out_of_every_rule_that_names_it_and_rules_of_it_alone_go_with_it():
    for kind in (LAB.type_by_id[name] for name in ("repair", "occlusal-splint-hard", "bonded-retainer")):
        going = TYPES.going(LAB, row_of(TYPES, kind.id))
        lab = after(going.change)
        alone = [rule for rule in LAB.rules if not isinstance(rule.types, str) and set(rule.types) == {kind.id}]
        assert len(lab.rules) == len(LAB.rules) - len(alone)
        assert all(f"“{rule.id}”" in going.also for rule in alone[:3])
        assert not any(kind.id in rule.types for rule in lab.rules if not isinstance(rule.types, str))


def test_a_new_category_is_whole_as_soon_as_it_has_a_name():
    texts = CATEGORIES.begun(LAB, LAB.categories[0]) | {"name": "Krönchen"}
    change = CATEGORIES.adding(texts, LAB)
    assert refusal(TEXT, LAB, change) == ""
    new = after(change).categories[-1]
    assert (new.id, new.route) == ("kronchen", LAB.categories[0].route)
    assert new.box.colour not in {each.box.colour for each in LAB.categories}
    assert after(CATEGORIES.adding(texts | {"name": "Splints"}, LAB)).categories[-1].id == "splints-2"


def test_a_new_bench_comes_onto_the_routes_that_are_named():
    change = BENCHES.adding({"name": "Milling", "capacity": "12", "routes": "Plates 2"}, LAB)
    assert refusal(TEXT, LAB, change) == ""
    lab = after(change)
    assert [step.bench for step in lab.category_by_id["plates"].route][-2:] == ["Milling", "Checking"]
    assert lab.bench_by_name["Milling"].capacity == 12


@pytest.mark.parametrize(
    ("table", "title", "text", "says"),
    [
        (BENCHES, "Jobs a day", "many", "“many” is no whole number."),
        (BENCHES, "Jobs a day", "0", "Write a number from 1 to 100000."),
        (TYPES, "Category", "Crowns", "Choose one of these: Splints, Retainers"),
        (TYPES, "Form asks", "thickness, weight", "The form has no “weight”; it has teeth, thickness"),
        (TYPES, "Usual", "2 mm", "write what it is and its value, such as thickness 2."),
        (TYPES, "Id", "Night Guard", "An id is small letters"),
        (MATERIALS, "Limit h", "9000", "Write a number more than 0 to 8760."),
        (MATERIALS, "Water", "perhaps", "Write yes or no."),
        (CATEGORIES, "Category", " ", "This cannot be empty."),
        (CATEGORIES, "Value", "blueish", "Write # and six digits"),
    ],
)
def test_what_a_cell_cannot_hold_is_refused_with_what_it_could(table, title, text, says):
    with pytest.raises(IntakeError) as refused:
        table.read(by_name[table.title][title], text, LAB, 0)
    assert says in str(refused.value)


def test_what_two_cells_say_against_each_other_is_a_refusal_in_a_sentence():
    limit = by_name["Impression materials"]["Limit h"]
    row = row_of(MATERIALS, "addition-silicone")
    change = MATERIALS.changing(limit, row, MATERIALS.read(limit, "24", LAB, row), LAB)
    assert refusal(TEXT, LAB, change) == (
        "Impression material “addition-silicone”: its limit is shorter than its usual time."
    )
    usual = by_name["Appliance types"]["Usual"]
    change = TYPES.changing(usual, 0, TYPES.read(usual, "shade A1", LAB, 0), LAB)
    assert "its usual has shade, which it does not ask for" in refusal(TEXT, LAB, change)


def test_the_shipped_setup_can_be_changed_in_the_same_way():
    text = resource("setup", "default.toml").read_text(encoding="utf-8")
    lab = setup_of(text, Path("setup.toml"))
    change = CATEGORIES.adding(CATEGORIES.begun(lab, lab.categories[0]) | {"name": "Crowns"}, lab)
    assert refusal(text, lab, change) == ""
