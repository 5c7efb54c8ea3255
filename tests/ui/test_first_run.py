"""The first run: by keyboard alone, in under a minute, with a sensible offer for everything."""

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QVBoxLayout, QWidget

from intake.outbox.print_queue import PrinterTrouble, QueueInfo
from intake.setup.places import DataFolder
from intake.setup.reading import read_setup
from intake.ui.first_run import FirstRun
from intake.ui.jobs import Jobs
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.room import Room
from tests.ui.sizes import SIZES

QUEUES = (QueueInfo("labels", True, "ready"), QueueInfo("office", False, "stopped"))


@pytest.fixture
def british(monkeypatch):
    monkeypatch.setattr(QLocale, "system", lambda: QLocale("en_GB"))


@pytest.fixture
def room(look, keys, settings):
    problems = []
    jobs = Jobs(problems.append)
    yield Room(look, keys, News(look, keys), jobs, Memory(settings), settings)
    jobs.close()
    assert problems == []


@pytest.fixture
def open_page(room, tmp_path, qtbot):
    windows = []

    def open_page(queues=lambda: QUEUES):
        page = FirstRun(room, DataFolder(tmp_path), queues)
        window = QWidget()
        QVBoxLayout(window).addWidget(page)
        windows.append(window)
        window.addAction(room.keys.action("save"))
        window.resize(1366, 700)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        page.setFocus()
        qtbot.waitUntil(lambda: room.jobs.under_way == 0)
        return page

    yield open_page
    for window in windows:
        window.close()


@pytest.fixture
def page(british, open_page):
    return open_page()


def test_a_lab_begins_with_a_name_a_part_of_the_country_and_one_chord(page, type_text, press, qtbot, tmp_path):
    type_text(page, "Harbour Road Laboratory")
    press(page, "Return", "Return", "Return")  # telephone, country, part of it
    type_text(page, "Eng")
    with qtbot.waitSignal(page.begun) as begun:
        press(page, "Ctrl+Return")
    lab = read_setup(tmp_path / "setup.toml")
    assert begun.args == [lab]
    assert (lab.name, lab.calendar.country, lab.calendar.subdivision) == ("Harbour Road Laboratory", "GB", "ENG")
    assert (lab.calendar.zone, lab.ticket.queue, lab.letter.queue) == ("Europe/London", "labels", "labels")


def test_the_country_is_offered_from_the_system(page):
    assert page.country.currentText() == "United Kingdom"
    assert page.zone.currentText() == "Europe/London"


def test_a_country_chosen_by_its_first_letters_brings_its_parts_and_its_zone(page, press, type_text):
    press(page, "Return", "Return")
    type_text(page, "Icel")
    assert page.country.currentText() == "Iceland"
    assert page.zone.currentText() == "Atlantic/Reykjavik"
    assert not page.subdivision.isEnabled()


def test_enter_goes_through_every_field_in_the_order_of_the_page(page, press):
    seen = []
    for _ in range(8):
        seen.append(QApplication.focusWidget())
        press(page, "Return")
    chosen = (page.country, page.subdivision, page.zone, page.ticket, page.letter)
    assert seen == [page.name, page.telephone, *chosen, page.practices.edit]
    first = next(iter(page.rows.values()))
    assert QApplication.focusWidget() is first.name


def test_what_is_missing_is_said_and_the_keys_go_there(page, press, type_text, tmp_path):
    press(page, "Ctrl+Return")
    assert "Enter the laboratory’s name" in page.wrong.text()
    assert "Choose the part of the country" in page.wrong.text()
    assert QApplication.focusWidget() is page.name
    type_text(page, "Harbour Road")
    assert "name; it stands" not in page.wrong.text()
    press(page, "Ctrl+Return")
    assert QApplication.focusWidget() is page.subdivision
    assert not (tmp_path / "setup.toml").exists()


def test_nothing_is_called_wrong_before_somebody_tried_to_start(page):
    assert page.wrong.text() == ""


def test_a_colour_that_is_named_brings_its_value(page, press, type_text):
    row = page.rows["splints"]
    row.name.setFocus()
    row.name.selectAll()
    type_text(page, "Teal")
    assert row.box == ("Teal", "#008080")
    row.value.setFocus()
    row.value.selectAll()
    type_text(page, "#123456")
    assert row.box == ("Teal", "#123456")
    assert row.patch.grab().toImage().pixelColor(5, 5).name() == "#123456"


def test_two_boxes_of_one_name_are_refused_beside_the_field(page, press, type_text):
    type_text(page, "Harbour Road")
    page.subdivision.setCurrentIndex(1)
    row = page.rows["retainers"]
    row.name.setFocus()
    row.name.selectAll()
    type_text(page, "Blue")
    press(page, "Ctrl+Return")
    assert "Two boxes are called “Blue”" in page.wrong.text()
    assert QApplication.focusWidget() is row.name
    assert row.name.property("wrong")


def test_without_a_print_service_the_page_is_there_all_the_same(british, open_page):
    def no_service():
        raise PrinterTrouble("This computer has no command “lpstat”.")

    page = open_page(no_service)
    assert page.answers.ticket_queue is None
    assert page.start_button.isEnabled()


def test_every_field_has_its_name_and_its_help(page):
    for field in [*page.findChildren(QLineEdit), *page.findChildren(QComboBox)]:
        assert field.accessibleName(), field
        assert field.property("help"), field


def test_access_keys_are_unique_on_the_page(page, access_keys):
    assert {letter: words for letter, words in access_keys(page).items() if len(words) > 1} == {}


@pytest.mark.parametrize("scale", SIZES)
def test_nothing_scrolls_sideways_at_1366_by_768(page, look, scale):
    look.choose_scale(scale)
    page.window().resize(1366, 768)
    QApplication.processEvents()
    assert page.widget().width() <= page.viewport().width()
    for part in [*page.findChildren(QLineEdit), *page.findChildren(QComboBox)]:
        assert part.mapTo(page.widget(), part.rect().topRight()).x() <= page.viewport().width()


def test_what_was_missing_is_missed_no_longer_once_it_is_chosen(page, type_text, press):
    type_text(page, "Harbour Road Laboratory")
    press(page, "Ctrl+Return")
    assert "part of the country" in page.wrong.text()
    page.subdivision.setFocus()
    type_text(page, "Wal")
    assert page.wrong.text() == ""
