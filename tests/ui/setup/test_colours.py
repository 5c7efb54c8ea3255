"""The page Colours by keys: a colour is typed, judged, bettered, and its name never stands twice."""

from PySide6.QtWidgets import QApplication, QColorDialog

from intake.ui.setup.colours.pairs_view import PAIR, told


def box(person, category):
    return next(each.box for each in person.draft.lab.categories if each.id == category)


def test_a_colour_is_typed_by_name_or_value_and_counts_when_the_field_is_left(open_setup, qtbot):
    person = open_setup("setup-colours")
    person.press("Ctrl+A").type("Turquoise")
    assert box(person, "splints").colour == "Blue", "nothing counts while it is typed"
    person.press("Return")
    assert (box(person, "splints").colour, box(person, "splints").hex) == ("Turquoise", "#1fa5a5")
    person.press("Tab", "Ctrl+A").type("#0A5A5A").press("Tab")
    assert box(person, "splints").hex == "#0a5a5a"
    assert "# The lab setup" in person.draft.text or "#" in person.draft.text.splitlines()[0], "comments are kept"


def test_a_name_that_another_box_has_and_what_is_no_colour_stay_typed_with_the_reason(open_setup):
    person = open_setup("setup-colours")
    person.press("Ctrl+A").type("lilac").press("Return")
    assert person.page.wrong.text() == "lilac is the box of Whitening. Two boxes never share a name."
    assert person.page.rows["splints"].name.text() == "lilac"
    assert box(person, "splints").colour == "Blue"
    person.press("Ctrl+A").type("Teal").press("Tab", "Ctrl+A").type("teal").press("Return")
    assert person.page.wrong.text().startswith("“teal” is no colour.")
    assert (box(person, "splints").colour, box(person, "splints").hex) == ("Teal", "#008080")
    assert person.page.rows["splints"].value.text() == "teal"


def test_two_boxes_that_people_would_mistake_are_shown_as_they_look_and_one_key_betters_them(open_setup):
    person = open_setup("setup-colours")
    assert person.page.said.text().startswith("All boxes are told apart.")
    assert not person.page.take_button.isVisible()
    person.press("Tab", "Ctrl+A").type("#4c2f96").press("Return")
    worst = person.page.pairs.model().index(0, 0).data(PAIR)
    assert {worst.one.name, worst.other.name} == {"Blue", "Purple"}
    assert worst.confused
    assert person.page.said.text().startswith("1 pair of boxes would be mistaken. Blue and Purple would be mistaken")
    assert told(worst) in person.page.said.text()
    assert person.page.proposal.text().startswith("Proposed: ")
    person.press("F4")
    assert person.page.said.text().startswith("All boxes are told apart.")
    person.press("F8")
    assert box(person, "splints").hex == "#4c2f96"


def test_by_a_red_lamp_other_boxes_look_alike(open_setup):
    person = open_setup("setup-colours")
    person.press("Alt+Y", "End")
    assert person.page.seen_by.currentData() == "red-light"
    worst = person.page.pairs.model().index(0, 0).data(PAIR)
    assert worst.sight == "red-light"
    assert worst.confused
    assert all(value[3:] == "0000" for value in worst.looks)


def test_a_bench_with_a_red_lamp_judges_the_boxes_that_go_there(open_setup, desk):
    person = open_setup("setup-colours")
    seen = {person.page.pairs.model().index(row, 0).data(PAIR).sight for row in range(45)}
    assert "red-light" not in seen
    at = next(n for n, bench in enumerate(desk.lab.benches) if bench.name == "Printing")
    person.draft.put(("benches", at, "light"), "red")
    assert person.wait().page.said.text().startswith("All boxes"), "only the aligners go there: nothing to mistake"
    splints = next(n for n, category in enumerate(desk.lab.categories) if category.id == "splints")
    person.draft.add(("categories", splints, "route"), {"bench": "Printing", "days": 1})
    person.draft.put(("categories", splints, "box", "hex"), "#a90000")
    person.wait()
    pairs = [person.page.pairs.model().index(row, 0).data(PAIR) for row in range(45)]
    both = next(pair for pair in pairs if {pair.one.category, pair.other.category} == {"splints", "aligners"})
    assert (both.sight, both.confused) == ("red-light", True)


def test_a_colour_is_picked_from_all_that_there_are(open_setup, qtbot):
    person = open_setup("setup-colours")
    person.press("Ctrl+Shift+C")
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, QColorDialog)
    dialog.setCurrentColor("#123456")
    person.press("Return")
    assert box(person, "splints").hex == "#123456"
