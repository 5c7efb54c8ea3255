"""Looking closer at the scans of an arrival: one at a time, or both arches, with all that was seen and the message."""

import pytest
from PySide6.QtCore import QRect
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from intake.desk.receive import receive
from intake.desk.scan_checks import CheckHere, check_all
from intake.desk.scan_panel import scan_panel
from intake.ui.scans.looking import NO_SCANS, NOT_READ, READING, Looking
from tests.scans.bringing import mail, two_arches
from tests.ui.sizes import SIZES


@pytest.fixture
def look_at(room, known_desk, qtbot):
    """Opens the dialog over a window."""
    window = QWidget()
    qtbot.addWidget(window)
    window.resize(1200, 700)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()

    opened = []

    def look_at(panel, first=None, desk=known_desk):
        dialog = Looking(room, desk, panel, first, window)
        with qtbot.waitActive(dialog):
            dialog.open()
        rest(room, qtbot)
        opened.append(dialog)
        return dialog

    yield look_at
    for dialog in filter(isValid, opened):
        dialog.reject()
    room.look.choose_scale(100)


def rest(room, qtbot):
    qtbot.waitUntil(lambda: not room.jobs.under_way, timeout=20_000)


def words_of(dialog):
    return dialog.title.text(), dialog.told.toPlainText()


def named(panel, name):
    return next(scan for scan in panel.shown if scan.seen.file.name == name)


def test_it_begins_with_the_scan_that_it_is_opened_for_and_tells_all_that_was_seen(look_at, panels):
    scan = named(panels["many"], "scan A.ply")
    dialog = look_at(panels["many"], scan)
    assert dialog.current is scan
    title, told = words_of(dialog)
    assert title == "Which jaw?"
    assert told.splitlines() == [*scan.facts, *scan.faults]
    assert dialog.view._turntable is not None
    assert dialog.focusWidget() is dialog.view


def test_page_down_and_up_go_from_scan_to_scan_and_round(look_at, panels, press, room, qtbot):
    dialog = look_at(panels["two"])
    seen = [dialog.title.text()]
    for _ in range(3):
        press(dialog, "PgDown")
        seen.append(dialog.title.text())
    assert seen == ["Upper", "Lower", "Both arches", "Upper"]
    dialog.list.setFocus()
    press(dialog, "PgUp")
    assert dialog.title.text() == "Both arches"
    assert dialog.told.toPlainText() == panels["two"].arches
    assert dialog.current is None
    rest(room, qtbot)
    assert len(dialog.view._turntable.key) >= 2


def test_of_several_that_are_gone_through_quickly_the_last_is_shown(look_at, panels, room, qtbot):
    dialog = look_at(panels["two"])
    dialog.step(1)
    dialog.step(1)
    dialog.step(1)
    assert dialog.view._empty == READING
    rest(room, qtbot)
    upper = dialog.view._turntable.key
    dialog.step(1)
    rest(room, qtbot)
    assert dialog.view._turntable.key != upper


def test_a_scan_that_cannot_be_read_has_no_picture_and_the_reason(look_at, panels):
    dialog = look_at(panels["many"], named(panels["many"], "odd.stl"))
    assert dialog.view._turntable is None
    assert dialog.view._empty == NOT_READ
    assert dialog.view.accessibleDescription() == NOT_READ
    assert "cannot be read" in dialog.told.toPlainText()


@pytest.mark.thorough
def test_a_scan_whose_file_is_gone_has_no_picture(look_at, bring_in, desk):
    panel = scan_panel(desk, bring_in("a", two_arches()))
    for scan in panel.shown:
        desk.scan_files.path(scan.seen.file.sha256).unlink()
    dialog = look_at(panel, desk=desk)
    assert dialog.view._empty == NOT_READ
    dialog.step(2)
    assert dialog.title.text() == "Both arches"


def test_a_message_is_read_whole_and_as_it_is_written(look_at, desk, tmp_path):
    text = "Hello,\n\nplease fetch it from https://scans.example.com/share/7f3a <b>soon</b>.\n" + "More words.\n" * 30
    (tmp_path / "m.eml").write_bytes(mail(text))
    (received,) = receive(desk, [tmp_path / "m.eml"])
    dialog = look_at(scan_panel(desk, received.arrival_id), desk=desk)
    assert "<b>soon</b>" in dialog.message.toPlainText()
    assert dialog.message.toPlainText().count("More words.") == 30
    assert dialog.view._empty == NO_SCANS
    assert dialog.focusWidget() is dialog.message
    assert not dialog.list.isVisible()
    assert dialog.current is None


def test_escape_closes_it_while_a_scan_is_still_being_read(look_at, panels, press, room, qtbot):
    dialog = look_at(panels["two"])
    dialog.step(1)
    with qtbot.waitSignal(dialog.finished):
        press(dialog, "Esc")
    rest(room, qtbot)


@pytest.mark.thorough
def test_what_was_found_meanwhile_is_shown_and_the_same_scan_stays_in_view(look_at, bring_in, desk, room, qtbot):
    arrival_id = bring_in("a", two_arches(), checked=False)
    dialog = look_at(scan_panel(desk, arrival_id), desk=desk)
    dialog.step(1)
    name = dialog.current.seen.file.name
    assert dialog.list.count() == 2
    check_all(desk, CheckHere())
    dialog.show_panel(scan_panel(desk, arrival_id))
    assert dialog.current.seen.file.name == name
    assert [dialog.list.item(row).text() for row in range(3)] == ["Upper  upper.ply", "Lower  lower.ply", "Both arches"]
    assert "mm" in dialog.told.toPlainText()


def test_both_arches_stay_in_view_too(look_at, panels):
    dialog = look_at(panels["two"])
    dialog.step(2)
    dialog.show_panel(panels["two"])
    assert dialog.title.text() == "Both arches"


def test_the_keys_that_are_asked_for_are_said_and_work_here(look_at, panels, press, keys, qtbot):
    dialog = look_at(panels["unnamed"])
    assert dialog.hint.text().replace("\u00a0", " ").startswith("Which jaw? upper Ctrl+Up, lower Ctrl+Down")
    for key, name in (("Ctrl+Up", "scan-upper"), ("Ctrl+Shift+B", "scan-bite"), ("Ctrl+I", "scan-unit")):
        with qtbot.waitSignal(keys.action(name).triggered, timeout=1000):
            press(dialog, key)


def test_the_tab_key_reaches_every_part_and_each_is_named(look_at, panels, press):
    dialog = look_at(panels["two"])
    reached = set()
    for _ in range(8):
        reached.add(QApplication.focusWidget())
        press(dialog, "Tab")
    assert {dialog.view, dialog.list, dialog.told, dialog.leave_button} <= reached
    assert all(part.accessibleName() or part.text() for part in reached)


@pytest.mark.parametrize("scale", SIZES)
@pytest.mark.parametrize("name", ["many", "unnamed", "one"])
@pytest.mark.sampled(2)
def test_nothing_is_cut_and_it_is_no_larger_than_its_window(look_at, panels, room, qapp, scale, name):
    room.look.choose_scale(scale)
    dialog = look_at(panels[name])
    for _ in range(5):
        qapp.processEvents()
    window = dialog.parentWidget()
    assert dialog.width() <= window.width()
    assert dialog.height() <= window.height()
    inside = QRect(0, 0, dialog.width(), dialog.height())
    parts = (dialog.view, dialog.list, dialog.title, dialog.told, dialog.hint, dialog.leave_button)
    for part in parts:
        assert inside.contains(QRect(part.mapTo(dialog, part.rect().topLeft()), part.size())), part
    for one, part in enumerate(parts):
        assert not any(part.geometry().intersects(other.geometry()) for other in parts[one + 1 :])
    for words in (dialog.title, dialog.hint):
        assert words.height() >= words.heightForWidth(words.width())
    assert dialog.told.horizontalScrollBar().maximum() == 0
