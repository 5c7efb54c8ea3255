"""The directory by keys: found, entered, changed field by field, filled from a spreadsheet, merged, printed for."""

import csv

import pytest
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit

from intake.desk.book_in import book
from intake.domain.practice import Practice
from intake.domain.practice_index import PracticeIndex
from intake.domain.scan_codes import ScanCode
from intake.ui.help_panel import NO_HELP, help_of
from intake.ui.setup.directory.merge_dialog import MergePractices
from intake.ui.setup.directory.take_in_dialog import TakeInDialog
from tests.desk.desks import day_case

HEADERS = ("Surgery", "Code", "Street", "Town", "Postcode", "Tel.", "Fax")
ROWS = (
    ("Marlowe House Dental Practice", "MARLOW1", "12 Chandler Row", "Tarnbeck", "XQ1 2AB", "01632 960199", ""),
    ("Wrenfield Dental", "WREN1", "1 Quay Lane", "Wrenfield", "XQ2 7GH", "01632 960171", "x"),
    ("Saltmarsh Orthodontics", "", "8 Gull Street", "Saltmarsh", "XQ8 3BD", "01632 960172", ""),
    ("Cinder Lane Surgery", "CINDER", "4 Cinder Lane", "Wrenfield", "XQ2 7GK", "ask Jo", ""),
)


@pytest.fixture
def person(open_setup):
    return open_setup("setup-directory")


@pytest.fixture
def back(person, qtbot):
    """A window takes the keys again after a dialog over it has closed, as the system sees to."""

    def back(window=None):
        with qtbot.waitActive(window or person.window):
            (window or person.window).activateWindow()
        return person.wait()

    return back


@pytest.fixture
def sheet(tmp_path):
    path = tmp_path / "our practices.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=";").writerows((HEADERS, *ROWS))
    return path


def known(desk, code):
    row = desk.store.read.practice(code)
    return row.practice if row else None


def shown(person):
    rows = person.page.list.rows
    return [rows.data(rows.index(row, 0)) for row in range(rows.rowCount())]


def dialog(kind):
    open_now = QApplication.activeModalWidget()
    assert isinstance(open_now, kind), open_now
    return open_now


@pytest.fixture
def choose_file(person, qtbot):
    """Says where a file is in Qt's own dialog; typed there it would open a list that the screenless platform cannot."""

    def choose_file(path):
        qtbot.waitUntil(lambda: isinstance(QApplication.activeModalWidget(), QFileDialog))
        asked = QApplication.activeModalWidget()
        with qtbot.waitActive(asked):
            asked.activateWindow()
        asked.findChild(QLineEdit, "fileNameEdit").setText(str(path))
        person.press("Return")
        qtbot.waitUntil(path.exists)

    return choose_file


def test_a_practice_is_found_as_one_types_by_its_name_its_town_its_number_or_its_sticker(person):
    assert len(shown(person)) == 16
    for typed, first in (("tarn", "J. Thistledown, Dental Surgeon"), ("oxm", "Oxmere Orthodontics")):
        person.press("Ctrl+A").type(typed)
        assert shown(person)[0] == first
    person.press("Ctrl+A").type("01632960127")
    assert shown(person) == ["Fernhallow Dental Care"]
    assert person.page.form.text("code") == "FERNHAL"
    person.press("Escape")
    assert len(shown(person)) == 16
    assert person.place.take_code(ScanCode("practice", "MARLOW1"))
    assert shown(person) == ["Marlowe House Dental Practice"]


def test_a_code_stands_before_whatever_else_has_its_letters():
    practices = [Practice(code="B2", name="Oxford Road Surgery"), Practice(code="OX", name="Zinnia", former=("Q7",))]
    index = PracticeIndex([*practices, Practice(code="A1", name="The Ox Yard", postcode="XQ1 2AB")])
    assert [index.practices[at].code for at in index.found("ox")] == ["OX", "B2", "A1"]
    assert [index.practices[at].code for at in index.found("q7")] == ["OX"]
    assert [index.practices[at].code for at in index.found("xq12ab")] == ["A1"]
    assert [index.practices[at].code for at in index.found("XQ 12 AB")] == ["A1"]


def test_a_field_counts_when_it_is_left_and_can_be_taken_back(person, desk):
    person.type("marlowe").press("Return", "Alt+T", "Ctrl+A").type("01632 960188").press("Return")
    assert known(desk, "MARLOW1").telephone == "01632 960188"
    assert "telephone 01632 960101 → 01632 960188" in person.news
    assert person.page.form.place == "email", "Enter goes on"
    person.press("Alt+L", "Ctrl+A").type("Mon-Wed 9:00-12:00, 13:00-16:00").press("Return").type("sat 10:00-12:00")
    person.press("Tab")
    assert [hours.weekdays for hours in known(desk, "MARLOW1").hours] == [(0, 1, 2), (5,)]
    person.press("F8")
    assert known(desk, "MARLOW1").hours[0].weekdays == (0, 1, 2, 3)
    assert "Mon-Thu 08:30-12:30" in person.page.form.text("hours")


def test_what_cannot_be_kept_stays_typed_with_the_reason_and_esc_brings_back_what_is_known(person, desk):
    person.type("marlowe").press("Return", "Alt+T", "Ctrl+A").type("ask Jo").press("Return")
    field = person.page.form.fields["telephone"]
    assert field.text == "ask Jo"
    assert "cannot be dialled" in field.small_print.text()
    person.press("Escape", "Ctrl+A").type("oxmere")
    assert person.page.form.text("telephone") == "01632 960118"
    person.press("Ctrl+A").type("marlowe")
    assert person.page.form.text("telephone") == "ask Jo", "what was typed for this practice is not lost"
    person.press("Alt+T", "Escape")
    assert (field.text, field.small_print.text()) == ("01632 960101", "")
    assert known(desk, "MARLOW1").telephone == "01632 960101"


def test_what_another_desk_wrote_meanwhile_is_neither_lost_nor_overwritten(person, desk):
    person.type("marlowe").press("Return")
    row = desk.store.read.practice("MARLOW1")
    with desk.work() as work:
        theirs = {"telephone": "01632 960150", "notes": "Ring the side door"}
        work.practices.save(row.practice.model_copy(update=theirs), row.version)
        work.commit()
    person.press("Alt+E", "Ctrl+A").type("post@marlowe-house.example.com").press("Return")
    now = known(desk, "MARLOW1")
    assert (now.email, now.notes) == ("post@marlowe-house.example.com", "Ring the side door")
    assert person.page.form.text("telephone") == "01632 960150"
    with desk.work() as work:
        work.practices.save(now.model_copy(update={"telephone": "01632 960155"}), row.version + 2)
        work.commit()
    person.press("Alt+T", "Ctrl+A").type("01632 960160").press("Return")
    field = person.page.form.fields["telephone"]
    assert field.small_print.text().startswith("Somebody changed this field meanwhile")
    person.press("Alt+T", "Escape")
    assert field.text == known(desk, "MARLOW1").telephone == "01632 960155"


def test_a_new_practice_is_kept_with_its_name_and_the_code_that_is_offered(person, desk):
    person.press("Ctrl+N").type("Wrenfield Dental").press("Return")
    assert person.page.form.text("code") == "WRENFI1"
    person.press("Return").type("1 Quay Lane").press("Return").type("Wrenfield").press("Return", "Return")
    person.type("XQ2 7GH").press("Return")
    made = known(desk, "WRENFI1")
    assert (made.name, made.address, made.postcode) == ("Wrenfield Dental", ("1 Quay Lane", "Wrenfield"), "XQ2 7GH")
    person.press("Ctrl+N").type("Oxmere Orthodontics Two").press("Return", "Ctrl+A").type("OXMERE").press("Return")
    assert "Oxmere Orthodontics" in person.page.form.fields["code"].small_print.text()
    person.press("Escape")
    assert person.news == "The new practice was not kept."
    person.press("F8")
    assert person.page.form.text("name") == "Oxmere Orthodontics Two", "what was typed can come back"
    person.press("Alt+O", "Ctrl+A").type("OXTWO").press("Return", "F8")
    assert known(desk, "OXTWO") is None


def test_a_list_from_a_spreadsheet_is_seen_before_it_comes_in_and_can_be_taken_back(
    person, desk, sheet, tmp_path, back, choose_file
):
    person.press("Ctrl+I").type(str(sheet)).press("Return")
    look = dialog(TakeInDialog)
    assert look.preview.counts == {"new": 2, "changed": 1, "faulty": 1}
    assert "Tel. is telephone" in look.columns.text()
    assert "Not taken: Fax" in look.columns.text()
    assert look.kind.currentText() == "1 not read"
    person.press("Alt+R", "Down")
    assert "telephone: 01632 960101 → 01632 960199" in look.list.rows.data(look.list.rows.index(0, 0))
    person.press("Alt+K")
    choose_file(tmp_path / "left.csv")
    assert "ask Jo" in (tmp_path / "left.csv").read_text(encoding="utf-8-sig")
    assert known(desk, "WREN1") is None, "nothing has come in yet"
    back(look).press("Return")
    assert person.news == "Taken in: 2 new practices, 1 practice changed. 1 row of the file was not taken."
    assert person.page.count.text() == "18 practices"
    assert known(desk, "MARLOW1").telephone == "01632 960199"
    back().press("F8")
    assert person.page.count.text() == "16 practices"
    assert known(desk, "MARLOW1").telephone == "01632 960101"


def test_a_file_that_is_no_list_is_refused_with_the_reason_and_another_can_be_named(person, sheet, tmp_path):
    other = tmp_path / "other.csv"
    other.write_text("nothing;of;this\n1;2;3\n", encoding="utf-8")
    person.press("Ctrl+I").type(str(other)).press("Return")
    look = dialog(TakeInDialog)
    assert look.refused.text()
    assert look.preview is None
    person.press("Ctrl+A").type(str(sheet)).press("Return")
    assert not look.refused.text()
    person.press("Escape")
    assert QApplication.activeModalWidget() is None


def test_esc_stops_a_list_that_is_being_taken_in_and_nothing_of_it_is_left(person, desk, sheet, monkeypatch):
    person.press("Ctrl+I").type(str(sheet)).press("Return")
    look = dialog(TakeInDialog)
    monkeypatch.setattr("intake.ui.progress_row.Watched.stopped", lambda self: True)
    person.press("Return")
    assert look.refused.text() == "Stopped. Nothing was taken in."
    assert known(desk, "WREN1") is None
    assert look.isVisible()
    person.press("Escape")


def test_the_directory_is_written_to_a_file_that_changes_nothing_when_it_is_read_again(
    person, tmp_path, back, choose_file
):
    person.press("Ctrl+Shift+F")
    choose_file(tmp_path / "all.xlsx")
    assert person.news == "16 practices written to all.xlsx."
    back().press("Ctrl+I").type(str(tmp_path / "all.xlsx")).press("Return")
    assert dialog(TakeInDialog).preview.counts == {"same": 16}
    person.press("Escape")


def test_two_entries_of_one_practice_become_one_with_everything_and_two_again(person, desk, back):
    booked = book(desk, day_case("02"), "form-02")
    code = desk.store.read.case(booked.case_id).case.practice
    into = "OXMERE" if code != "OXMERE" else "MARLOW1"
    person.type(code).press("Ctrl+Shift+M").type(into)
    look = dialog(MergePractices)
    assert look.stays == into
    assert "1 case" in look.moves.text()
    person.press("Return")
    assert known(desk, code) is None
    assert code in known(desk, into).former
    back().press("Ctrl+A").type(code)
    assert person.page.form.text("code") == into, "its code finds the one that stays"
    assert code in person.page.form.fields["code"].small_print.text()
    person.press("F8")
    assert known(desk, code) is not None


def test_stickers_and_a_blank_prescription_are_printed_from_here(person, back):
    person.type("marlowe").press("Ctrl+T").type("2").press("Return")
    back().press("Ctrl+Shift+B")
    assert [each.document.kind for each in person.issued] == ["stickers", "blank"]


def test_standing_instructions_are_shown_and_every_field_has_its_name_and_its_help(person):
    person.type("oxmere")
    told = [person.page.form.standing.item(row).text() for row in range(person.page.form.standing.count())]
    assert any(
        line.startswith("Thickness (vacuum-formed retainer): ") and "1.0 mm unless stated" in line for line in told
    )
    for field in person.page.form.fields.values():
        assert field.edit.accessibleName()
        assert help_of(field.edit)[1] != NO_HELP
    assert help_of(person.page.finder)[1] != NO_HELP


def test_at_large_print_the_list_gives_way_to_the_practice_and_esc_comes_back(open_setup):
    person = open_setup("setup-directory", scale=200)
    assert person.page.left_side.isVisible()
    assert not person.page.right_side.isVisible()
    person.press("Return")
    assert person.page.right_side.isVisible()
    assert person.page.form.horizontalScrollBar().maximum() == 0
    person.press("Escape")
    assert person.page.left_side.isVisible()
    assert person.page.finder.hasFocus()
