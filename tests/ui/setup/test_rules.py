"""The page Rule book by keys: rules are found, picked, made, dated, taken out, and excepted for a practice."""

from datetime import date

import pytest
from PySide6.QtWidgets import QApplication

from intake.domain.rulebook import ForPractice, OutOfRange, Prescribed, Under18
from intake.ui.setup.rules.condition_dialog import ConditionDialog
from tests.domain.complete_cases import a_case


@pytest.fixture
def person(open_setup):
    return open_setup("setup-rules")


def rules(person, name):
    return [rule for rule in person.draft.lab.rules if rule.id == name]


def find(person, text):
    """Types into the field that finds rules, and goes down to the first that fits."""
    person.page.find_field.setFocus()
    return person.press("Ctrl+A").type(text).press("Down")


def in_dialog(person, *keys):
    """Presses keys in the dialog that is open; after it the window is the one in front again."""
    assert QApplication.activeModalWidget() is not None
    person.press(*keys)
    person.window.activateWindow()
    return person.wait()


def listed(person):
    model = person.page.list.model()
    return [model.index(row, 0).data() for row in range(model.rowCount())]


def test_a_rule_is_found_by_typing_and_its_level_changed_by_picking(person):
    find(person, "soft thick")
    assert [line for line in listed(person) if line.startswith("A soft")] == listed(person)[1:2]
    person.press("Return", "Down")
    assert person.page.editor.fields.level.hasFocus()
    changed = next(rule for rule in rules(person, "thickness") if rule.types == ("occlusal-splint-soft",))
    assert changed.level == "asks"
    assert person.page.editor.reads.text().startswith(
        "A soft occlusal splint should have its thickness on the prescription; else the practice is asked while work"
    )
    assert "# What is seen of the scans that came." in person.draft.text, "comments are kept"
    person.press("F8")
    assert person.draft.lab.rules == person.draft.in_force.rules
    assert person.page.editor.fields.level.currentData() == "stops"


def test_a_rule_of_ones_own_is_made_by_keys_and_counts_once_it_is_in_force(person, in_file):
    before = len(person.draft.lab.rules)
    person.press("Ctrl+N").type("Sport played").press("Tab", "Tab", "Tab", "Return")
    person.press("Down")
    assert isinstance(QApplication.activeModalWidget(), ConditionDialog)
    in_dialog(person, "Return")
    assert len(person.draft.lab.rules) == before, "it has no question yet"
    assert person.page.editor.is_new
    person.press("Tab", "Tab").type("Which sport?").press("Tab").type("Sports differ.").press("Tab")
    (rule,) = rules(person, "sport-played")
    assert (rule.level, rule.types, rule.when) == ("asks", "every", (Under18(under_18=True),))
    assert (rule.question, rule.because) == ("Which sport?", "Sports differ.")
    assert person.page.list.at == person.draft.lab.rules.index(rule)
    person.press("Ctrl+Return")
    for _ in range(3):
        if QApplication.activeModalWidget() is not None:
            in_dialog(person, "Return")
    assert 'id = "sport-played"' in in_file()
    young = a_case("repair", patient={"label": "J.T.", "under_18": True})
    assert "Which sport?" in [finding.question for finding in person.in_force[0].judge(young).findings]


def test_a_half_made_rule_is_left_with_esc_and_says_what_it_lacks(person):
    person.press("Ctrl+N", "Tab")
    person.page.editor.fields.question.setFocus()
    person.press("Shift+Tab")
    assert not person.draft.is_changed
    person.press("Escape")
    assert person.page.list.hasFocus()
    assert not person.page.editor.is_new
    assert not person.draft.is_changed


def test_a_circumstance_is_changed_with_its_own_small_fields_and_refused_with_the_reason(person):
    find(person, "protrusion slip pen")
    person.press("Return")
    person.page.editor.fields.when.setFocus()
    person.press("Return")
    dialog = QApplication.activeModalWidget()
    assert dialog.key == "out_of_range"
    least, most = dialog.field("least"), dialog.field("most")
    assert (least.text(), most.text()) == ("1", "15")
    most.setFocus()
    person.press("Ctrl+A").type("0,5").press("Return")
    assert dialog.refused.text() == "The least, 1, is more than the most, 0.5."
    person.press("Ctrl+A").type("12 mm")
    assert dialog.reads.text() == "… where the protrusion is given as less than 1 mm or more than 12 mm"
    in_dialog(person, "Return")
    (odd,) = (rule for rule in rules(person, "bite-record") if rule.when and isinstance(rule.when[0], OutOfRange))
    assert odd.when == (OutOfRange(out_of_range="protrusion_mm", least=1, most=12),)


def test_what_is_taken_out_of_a_rule_is_out_and_a_rule_for_the_whole_case_is_asked_nothing_of_one_appliance(person):
    find(person, "soft thick")
    person.press("Return")
    needs = person.page.editor.fields.satisfied_by
    needs.setFocus()
    person.press("Down", "Delete")
    assert needs.entries == ["Its thickness on the prescription", "The prescriber says to go ahead all the same"]
    person.page.editor.fields.scope.setFocus()
    person.press("Home")
    said = person.page.editor.fields.problems["satisfied_by"].text()
    assert (
        said == "“its thickness on the prescription” is about one appliance, and the rule is for the case as a whole."
    )
    (soft,) = (rule for rule in rules(person, "thickness") if rule.types == ("occlusal-splint-soft",))
    assert Prescribed(prescribed="thickness_mm") in soft.satisfied_by, "the draft keeps the last good rule"
    person.press("Escape")
    assert person.page.editor.fields.scope.currentData() == "some"


def test_a_rule_is_dated_and_days_that_cannot_be_stay_typed_with_the_reason(person):
    find(person, "allergy")
    person.press("Return")
    fields = person.page.editor.fields
    fields.begins.setFocus()
    person.type("1/2/2027").press("Tab").type("31/1/2027").press("Return")
    (allergy,) = rules(person, "allergy")
    assert (allergy.begins, allergy.ends) == (date(2027, 2, 1), None)
    assert fields.problems["ends"].text() == "It ends on Sun 31 Jan 2027, before it begins on Mon 1 Feb 2027."
    assert fields.ends.text() == "31/1/2027"
    person.press("Ctrl+A").type("30 jun 2027").press("Return")
    assert rules(person, "allergy")[0].ends == date(2027, 6, 30)
    assert fields.ends.text() == "Wed 30 Jun 2027"
    assert person.page.editor.reads.text().endswith("It holds for what arrives from Mon 1 Feb 2027 to Wed 30 Jun 2027.")


def test_a_practice_is_excepted_by_picking_it_from_the_directory(person, desk):
    find(person, "practice on the prescription")
    person.press("Escape")
    find(person, "colour")
    person.press("Return")
    person.page.editor.fields.exceptions.setFocus()
    person.press("Return").type("marlow").press("Tab", "Home", "Return")
    person.window.activateWindow()
    person.wait()
    (colour,) = rules(person, "colour")
    assert colour.exceptions == (ForPractice(practice="MARLOW1", level="stops"),)
    name = desk.store.read.practice("MARLOW1").practice.name
    assert person.page.editor.fields.exceptions.entries == [f"{name} (MARLOW1): Work waits for it"]
    assert f"At {name} (MARLOW1) work waits for it." in person.page.editor.reads.text()


def test_rules_stand_under_their_appliances_are_moved_and_taken_out(person):
    person.page.grouped.setFocus()
    person.press("Down")
    assert "Whitening tray · 3" in listed(person)
    find(person, "whitening under 18")
    rule = person.draft.lab.rules[person.page.list.at]
    assert rule.id == "under-18-whitening"
    person.press("Ctrl+Shift+D")
    assert rules(person, "under-18-whitening") == []
    assert person.news.startswith("Taken out: There is a caution to read with a whitening tray")
    assert "local rules and the licensed technician go before this book" in person.news
    person.press("F8")
    assert rule in person.draft.lab.rules
    find(person, "sent in repair appliance")
    find(person, "whitening")
    first, second = person.page.list.places[:2]
    moved = person.draft.lab.rules[first]
    person.press("Ctrl+Shift+Down")
    assert person.draft.lab.rules.index(moved) == second
    assert person.page.list.at == second


def test_what_is_half_typed_stays_while_another_page_changes_the_draft(person):
    find(person, "allergy")
    person.press("Return")
    question = person.page.editor.fields.question
    question.setFocus()
    person.press("Ctrl+A").type("Ask first")
    person.draft.put(("name",), "Elsewhere Appliances")
    assert question.toPlainText() == "Ask first"
    person.press("Escape")
    assert question.toPlainText() == rules(person, "allergy")[0].question


def test_where_there_is_no_room_for_both_the_rule_takes_the_place_of_the_list(open_setup):
    person = open_setup("setup-rules", scale=200)
    assert person.page.list.isVisible()
    assert not person.page.editor.isVisible()
    person.press("Return")
    assert person.page.editor.fields.level.hasFocus()
    assert not person.page.list.isVisible()
    person.press("Escape")
    assert person.page.list.hasFocus()
