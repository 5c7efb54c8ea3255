"""A setup put in force in the real window: every place goes by it at once, and nothing half typed is lost."""

import shutil

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.app import open_desk, read_lab
from intake.desk.lab_setup import put_in_force, setup_file
from intake.outbox.print_queue import QueueInfo
from intake.resources import demo
from intake.setup.places import DataFolder
from intake.setup.reading import setup_of
from intake.setup.writing import changed as with_values
from intake.ui.setup.in_force_dialog import InForceDialog
from intake.ui.start import Start
from tests.desk.desks import enter_practices

WITH_PRINTERS = with_values(
    demo("lab.toml").read_text(encoding="utf-8"), {("ticket", "queue"): "labels", ("letter", "queue"): "labels"}
)


@pytest.fixture
def folder(tmp_path, sqlite_place):
    place = DataFolder(tmp_path / "lab")
    place.path.mkdir()
    place.setup.write_text(WITH_PRINTERS, encoding="utf-8")
    shutil.move(sqlite_place, place.store)
    return place


@pytest.fixture
def begin(qtbot, folder):
    """Starts Intake on the folder and waits until it can be worked at."""
    starts = []

    def begin():
        start = Start(
            QApplication.instance(), folder, open_desk, read_lab, lambda: (QueueInfo("labels", True, "ready"),)
        )
        starts.append(start)
        with qtbot.waitActive(start.window):
            start.window.show()
            start.window.activateWindow()
        qtbot.waitUntil(lambda: start._desk is not None and not start.jobs.under_way, timeout=20_000)
        return start

    yield begin
    for start in starts:
        start.window.close()
        start.close()


def press(window, *keys):
    for key in keys:
        combination = QKeySequence(key)[0]
        QTest.keyClick(window.windowHandle(), combination.key(), combination.keyboardModifiers())
        QApplication.processEvents()


def changed(text):
    for old, new in {
        '"Casting"': '"Pouring"',
        'name = "Hard occlusal splint"': 'name = "Rigid splint"',
        'colour = "Blue", hex = "#1f6fb4"': 'colour = "Turquoise", hex = "#30b0a0"',
    }.items():
        assert old in text
        text = text.replace(old, new)
    return text


def test_every_place_goes_by_it_and_the_half_typed_form_stays(begin, folder, qtbot):
    start = begin()
    enter_practices(start._desk.store)
    start._on_directory_changed()
    arrivals, setup, hand_over = (start.places[name] for name in ("arrivals", "setup", "hand-over"))

    def settled():
        qtbot.waitUntil(lambda: not start.jobs.under_way, timeout=20_000)

    settled()
    typed = {"practice": "MARLOW1", "appliances[0]": "hs u 3"}
    start.window.show_place("arrivals")
    arrivals.form.load(typed)
    arrivals.writing.refresh()
    assert arrivals.writing.verdict.jobs[0].box.colour == "Blue"
    setup.show_page("setup-editions")
    start.window.show_place("setup")
    settled()
    setup.draft.replace(changed(setup.draft.text))
    assert not setup.draft.problem
    press(start.window, "Ctrl+Return")
    settled()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, InForceDialog)
    press(dialog, "Return")
    settled()
    assert start._desk.edition == 2
    assert arrivals.writing.verdict.jobs[0].box.colour == "Turquoise"
    assert {place: text for place, text in arrivals.form.typed().items() if text} == typed
    assert "Rigid splint" in arrivals.form.field("appliances[0]").edit.property("help")
    assert hand_over.board.benches.item(0).text() == "Pouring"
    assert "Pouring" in folder.setup.read_text(encoding="utf-8")


def test_what_another_desk_puts_in_force_is_seen_here_and_what_is_changed_here_stays_changed(begin, folder, qtbot):
    start = begin()
    setup = start.places["setup"]
    setup.draft.put(("deadlines", "slack_days"), 5)
    other = open_desk(folder)
    put_in_force(other, changed(setup_file(other).text), "", other.edition)
    other.store.close()
    start.watch.look()
    qtbot.waitUntil(lambda: start._desk.edition == 2 and not start.jobs.under_way, timeout=20_000)
    assert start._desk.lab.types[0].name == "Rigid splint"
    assert "Edition 2 was put in force meanwhile" in start.window.news.words.text()
    draft = setup.draft
    assert (draft.lab.types[0].name, draft.lab.deadlines.slack_days, draft.edition) == ("Rigid splint", 5, 2)
    assert draft.is_changed


def test_a_file_that_a_hand_broke_keeps_nobody_from_working(begin, folder, qtbot):
    open_desk(folder).store.close()
    folder.setup.write_text(folder.setup.read_text(encoding="utf-8").replace('"Blue"', '"Yellow"'), encoding="utf-8")
    start = begin()
    assert start._desk.lab == setup_of(WITH_PRINTERS, folder.setup)
    said = start.window.news.trouble_words.text()
    assert "setup.toml was changed by hand and is not in force." in said
    assert "boxes: “yellow” stands twice" in said
