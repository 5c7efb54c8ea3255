"""What a blank prescription asks for: everything the rule book would ask, and nothing that the practice has settled."""

from datetime import date

import pytest

from intake.desk.blank_words import blank_words
from tests.desk.desks import demo_lab, demo_practices

TODAY = date(2026, 11, 25)
LAB = demo_lab()


def blank(code="MARLOW1", lab=LAB):
    return blank_words(next(p for p in demo_practices() if p.code == code), lab, TODAY)


def needs(kind, code="MARLOW1", lab=LAB):
    return next(each for each in blank(code, lab).needs if each.appliance == LAB.type_by_id[kind].name)


def test_a_hard_splint_needs_both_arches_and_a_bite_before_work_starts():
    asked = needs("occlusal-splint-hard")
    assert asked.to_begin == (
        "which arch",
        "impression, model or scan of its own arch",
        "impression, model or scan of the opposing arch",
        "bite record in centric or opened",
    )
    assert asked.also == ("bite opening or bite record opened", "thickness")


def test_an_advancement_appliance_needs_its_bite_with_the_measure():
    asked = needs("advancement-appliance")
    assert "bite record protruded, with its measure in mm" in asked.to_begin
    assert "which arch" not in asked.to_begin


def test_a_shade_is_asked_for_where_a_tooth_can_be_replaced():
    assert "shade" in needs("partial-plate-with-tooth").to_begin
    assert "shade, where a tooth is replaced" in needs("vacuum-formed-retainer").to_begin
    assert not any("shade" in words for words in needs("whitening-tray").to_begin)


def test_what_the_practice_has_said_to_assume_is_not_asked_but_told():
    assert "thickness" in needs("vacuum-formed-retainer").also
    settled = needs("vacuum-formed-retainer", "OXMERE")
    assert "thickness" not in settled.also
    assert settled.assumed == ("1.0 mm unless stated",)


@pytest.mark.parametrize("kind", LAB.types, ids=lambda kind: kind.id)
def test_nothing_is_asked_twice(kind):
    asked = needs(kind.id)
    everything = (*asked.to_begin, *asked.also)
    assert len(set(everything)) == len(everything)
    assert everything or kind.id == "study-model"


def test_the_menus_are_the_lab_s_own():
    form = blank()
    assert dict(form.types) == {kind.id: kind.name for kind in LAB.types}
    assert next(option.menu for option in form.options if option.name == "shade") == LAB.shades
    assert form.prescribers == ("Dr R. Ashdown", "Dr M. Okonjo-Vale", "Ms T. Penhallick")
    assert form.always == ("prescriber", "patient label or reference", "appointment date")


def test_an_option_that_no_type_and_no_rule_knows_is_not_on_the_form():
    kinds = tuple(kind.model_copy(update={"asks": ()}) for kind in LAB.types)
    bare = LAB.model_copy(update={"types": kinds, "rules": ()})
    assert blank(lab=bare).options == ()
    assert {option.name for option in blank().options} >= {"thickness_mm", "teeth", "clasps"}
