"""The window as the desk meets it: by key, at every size, on every screen."""

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QHeaderView,
    QLineEdit,
    QMenu,
    QSplitter,
    QTableWidget,
    QWidget,
)

from intake.ui.look import SCALES


def _listed(menu):
    for action in menu.actions():
        inner = action.menu()
        if isinstance(inner, QMenu):
            yield from _listed(inner)
        else:
            yield action


def test_every_action_is_listed_in_a_menu_with_its_key(window):
    listed = [action for title in window.menuBar().actions() for action in _listed(title.menu())]
    for row in window._keys.table:
        action = window._keys.action(row.id)
        assert listed.count(action) == 1, row.id
        assert bool(row.keys) == (not action.shortcut().isEmpty())


def test_places_are_reached_by_key(window, press):
    press(window, "F3")
    assert window.place == "look-up"
    press(window, "F2")
    assert window.place == "arrivals"


def test_going_to_a_place_takes_the_keys_to_its_first_field(window, press):
    press(window, "F3")
    field = QApplication.focusWidget()
    assert isinstance(field, QLineEdit)
    assert field.objectName() == "first"
    assert window._widgets["look-up"].isAncestorOf(field)


def test_a_place_is_reached_with_the_mouse(window, qtbot):
    qtbot.mouseClick(window.rail._buttons["look-up"], Qt.MouseButton.LeftButton)
    assert window.place == "look-up"


def test_an_empty_place_says_what_it_is_for_and_what_to_press(open_window, settings):
    window = open_window(settings)
    assert "Press F2" in window._widgets["arrivals"].text()


def test_the_window_is_painted_before_any_place_is_built(qtbot, places, look, keys, settings):
    from intake.ui.window import Place, Window

    built = []
    places = [Place(p.name, p.words, p.action, p.purpose, lambda: built.append(1) or QWidget()) for p in places]
    window = Window(places, look, keys, settings)
    qtbot.addWidget(window)
    with qtbot.waitSignal(window.painted):
        window.show()
    assert built == []
    window.fill()
    assert len(built) == 2


def test_a_place_filled_while_another_is_in_view_takes_no_keys(window, press):
    press(window, "F3")
    before = QApplication.focusWidget()
    window.set_place("arrivals", QWidget())
    assert QApplication.focusWidget() is before


def test_tab_goes_through_the_place_first_and_shift_tab_back(window, press):
    press(window, "F2")
    first = QApplication.focusWidget()
    press(window, "Tab")
    second = QApplication.focusWidget()
    assert (first.objectName(), second.objectName()) == ("first", "second")
    press(window, "Shift+Tab")
    assert QApplication.focusWidget() is first


def test_tab_goes_round_the_window_and_is_caught_nowhere(window, press):
    press(window, "F2")
    start, seen = QApplication.focusWidget(), []
    for _ in range(40):
        press(window, "Tab")
        seen.append(QApplication.focusWidget())
        if seen[-1] is start:
            break
    assert seen[-1] is start
    assert window.desk_line.initials_field in seen


def test_size_place_splitters_and_columns_come_back(open_window, settings, qtbot):
    def parts(window):
        splitter, table = QSplitter(window), QTableWidget(1, 3, window)
        for _ in range(2):
            splitter.addWidget(QWidget())
        splitter.resize(400, 100)
        window.memory.keep(splitter, "splitter")
        window.memory.keep(table.horizontalHeader(), "columns")
        return splitter, table.horizontalHeader()

    window = open_window(settings)
    splitter, columns = parts(window)
    window.setGeometry(60, 70, 620, 500)
    splitter.setSizes([100, 290])
    columns.resizeSection(1, 177)
    window.show_place("look-up")
    window.close()
    again = open_window(settings)
    splitter_again, columns_again = parts(again)
    assert again.size() == window.size()
    assert again.pos() == window.pos()
    assert again.place == "look-up"
    assert splitter_again.sizes() == splitter.sizes()
    assert columns_again.sectionSize(1) == 177
    assert isinstance(columns_again, QHeaderView)


def test_a_window_does_not_drift_from_start_to_start(open_window, settings):
    places = []
    for _ in range(3):
        window = open_window(settings)
        places.append(window.geometry())
        window.close()
    assert places[0] == places[1] == places[2]


def test_a_window_off_every_screen_comes_back_on_the_first(open_window, settings):
    window = open_window(settings)
    window.setGeometry(QRect(9000, 9000, 620, 500))
    window.close()
    again = open_window(settings)
    screen = QGuiApplication.primaryScreen().availableGeometry()
    assert screen.intersected(again.geometry()) == again.geometry()


@pytest.mark.parametrize("scale", SCALES)
def test_nothing_is_cut_off_at_1366_by_768(window, scale, qtbot):
    """With the worst that the shell can show: trouble, an undo on offer, waiting tickets, and help."""
    window._look.choose_scale(scale)
    window.news.trouble("The queue is stopped. Start it.", "queue", window._keys.action("send-again"))
    window.news.offer_undo("Booked in: 26 004123 76, Splints, Blue box, leaves Tue 8 Dec 2026.", lambda: None)
    window.desk_line.show_printer("FRONT-DESK")
    window.desk_line.show_waiting(12)
    window.help.toggle()
    least = window.minimumSizeHint()
    assert least.width() <= 1366
    assert least.height() <= 768
    window.resize(1366, 768)
    buttons = [part for part in window.findChildren(QAbstractButton) if part.isVisible()]
    assert window.news.undo_button in buttons
    qtbot.waitUntil(lambda: all(_whole(part, window) for part in buttons))


def _whole(part, window):
    area = QRect(part.mapTo(window, part.rect().topLeft()), part.size())
    return part.width() >= part.minimumSizeHint().width() and window.rect().contains(area)


def test_everything_that_is_clicked_is_24_pixels_high_and_wide(window):
    window.resize(1366, 768)
    QApplication.processEvents()
    for part in [*window.findChildren(QAbstractButton), *window.findChildren(QLineEdit)]:
        if part.isVisible():
            assert part.width() >= 24, part
            assert part.height() >= 24, part


def test_every_input_has_an_accessible_name(window):
    for field in window.findChildren(QLineEdit):
        assert field.accessibleName()
    for button in window.rail.findChildren(QAbstractButton):
        assert button.accessibleName()


def test_access_keys_are_unique_in_the_window(window, access_keys):
    window.desk_line.show_waiting(2)
    assert {letter: words for letter, words in access_keys(window).items() if len(words) > 1} == {}


def test_light_dark_and_the_system_are_chosen_in_the_menu(window):
    window._keys.action("scheme-dark").trigger()
    assert window._look.shade == "dark"
    window._keys.action("scheme-light").trigger()
    assert window._look.shade == "light"
    assert window._keys.action("scheme-light").isChecked()
    window._keys.action("scheme-system").trigger()
    assert window._look.scheme == "system"


@pytest.mark.parametrize("key", ["Ctrl++", "Ctrl+="])
def test_text_grows_by_key(window, press, key):
    press(window, key)
    assert window._look.scale == 110
    press(window, "Ctrl+-")
    assert window._look.scale == 100
    press(window, key, key, "Ctrl+0")
    assert window._look.scale == 100


def test_the_list_of_keys_opens_by_key_and_escape_leaves_it(window, press, qtbot):
    from intake.ui.keys_dialog import KeysDialog

    press(window, "Shift+F1")
    dialog = window.findChild(KeysDialog)
    qtbot.waitUntil(dialog.isActiveWindow)
    with qtbot.waitSignal(dialog.finished):
        press(dialog, "Escape")


def test_a_changed_key_works_and_is_shown_at_once(window, press):
    window._keys.choose("go-look-up", "Ctrl+W")
    press(window, "F3")
    assert window.place == "arrivals"
    press(window, "Ctrl+W")
    assert window.place == "look-up"
    assert window.rail._buttons["look-up"].accessibleDescription() == "Ctrl+W"
    window._keys.choose("help", "Ctrl+K")
    assert window.help.way_out.text() == "Ctrl+K closes this"


def test_closing_says_so(window, qtbot):
    with qtbot.waitSignal(window.closing):
        window._keys.action("leave").trigger()
    assert isinstance(window._keys.action("leave"), QAction)
