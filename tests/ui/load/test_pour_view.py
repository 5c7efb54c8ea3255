"""The live pour list, by keys alone."""

from dataclasses import replace
from datetime import timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics

from intake.desk.book_in import book
from intake.domain.case import Item
from intake.ui.day.pour_view import EVERY_MS, PourView
from tests.desk.desks import NOW, day_case, printed
from tests.ui.sizes import SIZES

ROLE = Qt.ItemDataRole.AccessibleTextRole


@pytest.fixture
def page(room, shell):
    made = PourView(room)
    window = shell(made)
    yield made
    made.forget()
    window.close()


@pytest.fixture
def cases(desk):
    """A silicone that keeps, and an alginate that is past its usual time."""

    def booked(material, hours, name):
        item = Item(item="impression", arch="upper", material=material, taken=NOW - timedelta(hours=hours))
        return book(desk, day_case(name).model_copy(update={"items": (item,), "arrived": NOW}), f"{material}-{name}")

    return booked("addition-silicone", 0.5, "01"), booked("alginate", 2, "02")


@pytest.fixture
def opened(page, desk, cases, settled):
    page.set_desk(desk)
    settled()
    page.setFocus()
    return cases


def said(page):
    return [page.list.cases.index(row, 0).data(ROLE) for row in range(page.list.cases.rowCount())]


def test_an_empty_page_says_what_it_is_for(page, desk, settled):
    page.set_desk(desk)
    settled()
    assert page.empty.isVisible()
    assert page.empty.text().startswith("Nothing is to be poured.")
    assert not page.list.isVisible()


def test_what_keeps_least_stands_first_with_its_time_and_the_word_for_how_it_stands(page, opened):
    first, second = said(page)
    assert first.startswith("At once, 26 ")
    assert "upper, Alginate: by Thu 26 Nov, 08:30, past its usual time since 09:00, 22 h left" in first
    assert second.startswith("Not yet, 26 ")
    assert "not before 11:00" in second
    assert page.counted.text() == "2 cases to pour at 10:30, what keeps least first"
    assert "Where the maker gives another time for the product, that time counts." in page.caution.text()


def test_a_key_says_that_it_is_poured_and_f8_takes_that_back(page, opened, press, settled, room):
    press(page, "Ctrl+Return")
    settled()
    assert [line.case_id for line in page.list.cases.lines] == [opened[0].case_id]
    assert room.news.words.text().startswith("The impressions of 26 ")
    press(page, "F8")
    settled()
    assert [line.case_id for line in page.list.cases.lines] == [opened[1].case_id, opened[0].case_id]
    assert room.news.words.text() == "It is to be poured again."


def test_the_one_in_its_place_is_chosen_when_one_is_poured(page, opened, press, settled):
    press(page, "Down", "Ctrl+Return")
    settled()
    assert page.list.current.case_id == opened[1].case_id


def test_a_key_prints_the_list(page, opened, press, settled, tmp_path):
    issued = []
    page.issued.connect(issued.append)
    press(page, "Ctrl+Shift+O")
    settled()
    assert [each.sent for (each,) in issued] == [True]
    assert [name for name in printed(tmp_path) if "Pour" in name]


def test_neither_key_does_anything_while_another_page_is_in_view(page, opened, press, settled, tmp_path, desk):
    page.hide()
    press(page, "Ctrl+Return", "Ctrl+Shift+O")
    settled()
    assert desk.store.read.pouring_of(opened[1].case_id) is None
    assert printed(tmp_path) == []


def test_the_list_is_read_again_each_minute_while_it_is_in_view(page, opened, settled, desk):
    assert page._timer.interval() == EVERY_MS == 60_000
    page._desk = replace(desk, now=lambda: NOW + timedelta(minutes=31))
    page._timer.timeout.emit()
    settled()
    assert not any(words.startswith("Not yet") for words in said(page))
    page.hide()
    page._desk = desk
    page._timer.timeout.emit()
    settled()
    assert not any(words.startswith("Not yet") for words in said(page))


def test_what_another_desk_poured_meanwhile_is_said_and_leaves_the_list(page, opened, press, settled, desk, room):
    from intake.desk.pour_list import mark_poured

    mark_poured(replace(desk, person="CD"), opened[1].case_id)
    press(page, "Ctrl+Return")
    settled()
    assert room.news.words.text() == "These impressions were poured already, by CD at 10:30."
    assert [line.case_id for line in page.list.cases.lines] == [opened[0].case_id]


def test_the_post_that_waits_unopened_is_named(page, opened, settled, desk):
    from intake.desk.arrivals import take_in
    from tests.desk.desks import day_file

    take_in(desk, [day_file("05")])
    page.read_again()
    settled()
    assert page.unopened.text() == "Not booked in yet: 1 arrival with an impression; open it first."


@pytest.mark.parametrize("scale", SIZES)
def test_a_row_has_room_for_its_lines_at_every_size(page, opened, look, scale, settled, qtbot):
    look.choose_scale(scale)
    settled()
    text, small = (QFontMetrics(look.font(size)).height() for size in ("text", "small"))
    for row in range(page.list.cases.rowCount()):
        index = page.list.cases.index(row, 0)
        lines = len(page.list.cases.lines[row].impressions)
        assert page.list.visualRect(index).height() >= text * (1 + lines) + small
    for button in page._buttons.values():
        qtbot.waitUntil(lambda button=button: button.width() >= button.fontMetrics().horizontalAdvance(button.text()))


def test_typing_moves_nothing(page, opened, type_text):
    before = page.list.current
    type_text(page, "26 0000")
    assert page.list.current == before


def test_the_keys_stay_in_the_page_when_the_last_one_is_poured(page, opened, press, settled):
    press(page, "Ctrl+Return", "Ctrl+Return")
    settled()
    press(page, "Ctrl+Return")
    settled()
    assert page.empty.isVisible()
    assert page.hasFocus()
    press(page, "F8")
    settled()
    assert page.list.hasFocus()
