"""Checking scans is seen and can be stopped: what was not checked waits until a person goes on."""

import time

import pytest
from PySide6.QtCore import QRect
from PySide6.QtWidgets import QAbstractButton

from intake.ui.room import Room
from intake.ui.scans.checks import Checks
from intake.ui.scans.progress import CheckProgress
from tests.scans import arches
from tests.scans.bringing import two_arches
from tests.scans.writers import stl
from tests.ui.sizes import SIZES

WAIT = 20_000


@pytest.fixture
def checks(room, qapp):
    made = Checks(room, room.news, again_ms=50)
    yield made
    made.stop()
    made.close()


@pytest.fixture
def progress(room, checks):
    made = CheckProgress(room, slow_ms=20)
    made.counts = []
    checks.left.connect(made.show_left)
    checks.left.connect(made.counts.append)
    return made


@pytest.fixture
def idle(room, qtbot):
    """Waits until nothing is under way."""
    return lambda: qtbot.waitUntil(lambda: not room.jobs.under_way, timeout=WAIT)


@pytest.fixture
def under_way(checks, desk, bring_in, qtbot, progress):
    """A scan of 500,000 triangles that is being checked, which takes some seconds, and two that wait; the arrivals."""
    large = bring_in("a", {"upper.stl": stl(arches.arch("upper", 500_000))}, False)
    small = bring_in("b", two_arches(), False)
    with qtbot.waitSignal(checks.left, timeout=WAIT):
        checks.set_desk(desk)
    return large, small


def states(desk, arrival_id):
    return [row.scan_state for row in desk.store.read.files_of([arrival_id])[arrival_id]]


def allowed(room):
    return [room.keys.action(name).isEnabled() for name in ("stop-checks", "check-again")]


def test_who_stops_a_check_keeps_the_scan_unchecked_and_is_told_how_to_go_on(
    checks, under_way, desk, room, idle, trouble, progress
):
    assert allowed(room) == [True, False]
    begun = time.monotonic()
    room.keys.action("stop-checks").trigger()
    idle()
    assert time.monotonic() - begun < 2
    assert states(desk, under_way[0]) == ["unchecked"]
    assert trouble() == "Checking scans was stopped. What was not checked stays so until you go on."
    assert room.news.trouble_button.text() == "Check scans again"
    assert allowed(room) == [False, True]
    assert progress.isHidden()


@pytest.mark.thorough
def test_what_comes_while_checking_is_stopped_waits_too(checks, under_way, desk, room, bring_in, idle):
    room.keys.action("stop-checks").trigger()
    idle()
    later = bring_in("c", {"lower.ply": arches.arch("lower", 900)}, False)
    checks.look()
    checks.measure(under_way[1])
    idle()
    assert [states(desk, each) for each in (*under_way, later)] == [["unchecked"], ["unchecked"] * 2, ["unchecked"]]


@pytest.mark.thorough
def test_one_click_goes_on_with_everything_that_waits(checks, desk, room, bring_in, idle, trouble, progress, qtbot):
    arrival_id = bring_in("a", two_arches(), False)
    with qtbot.waitSignal(checks.left, timeout=WAIT):  # the process takes longer than that to begin
        checks.set_desk(desk)
    progress.stop_button.click()
    idle()
    assert states(desk, arrival_id) == ["unchecked", "unchecked"]
    room.news.trouble_button.click()
    assert trouble() == ""
    qtbot.waitUntil(lambda: not room.jobs.under_way and not desk.store.read.unchecked(), timeout=WAIT)
    idle()
    assert states(desk, arrival_id) == ["checked", "checked"]
    assert desk.store.read.arches_of([arrival_id])[arrival_id].figures is not None
    assert allowed(room) == [False, False]


def test_with_nothing_to_check_there_is_nothing_to_stop(checks, desk, room, idle, trouble):
    assert allowed(room) == [False, False]
    checks.set_desk(desk)
    idle()
    assert allowed(room) == [False, False]
    checks.halt()
    assert allowed(room) == [False, False]
    assert trouble() == ""


@pytest.mark.thorough
def test_stopping_when_the_last_scan_is_done_stops_nothing(checks, desk, room, bring_in, idle, trouble):
    """Between the last check and the word that nothing is left."""
    checks.left.connect(
        lambda left: checks.halt() if left == 0 and room.keys.action("stop-checks").isEnabled() else None
    )
    checks.set_desk(desk)
    idle()
    arrival_id = bring_in("a", {"upper.ply": arches.arch("upper", 900)}, False)
    checks.look()
    idle()
    assert trouble() == ""
    assert states(desk, arrival_id) == ["checked"]


def test_the_window_closes_quietly_while_a_stopped_check_ends(checks, under_way, room, idle, trouble):
    checks.halt()
    checks.stop()
    idle()
    assert trouble() == ""


# What is seen meanwhile


@pytest.mark.thorough
def test_of_several_scans_it_is_said_how_many_are_still_to_be_checked(
    checks, progress, desk, bring_in, room, idle, qtbot
):
    bring_in("a", two_arches(), False)
    said = []
    checks.left.connect(lambda left: said.append((progress.isHidden(), progress.words.text())))
    checks.set_desk(desk)
    qtbot.waitUntil(lambda: not room.jobs.under_way and not desk.store.read.unchecked(), timeout=WAIT)
    idle()
    assert [count for count in progress.counts if count] == [2, 1]
    assert said[0] == (False, "2 scans still to be checked")
    assert progress.words.text() != said[0][1]
    assert progress.isHidden()


def test_of_one_scan_it_is_said_only_when_it_takes_long(progress, qtbot):
    progress.show_left(1)
    assert progress.isHidden()
    qtbot.waitUntil(lambda: not progress.isHidden())
    assert progress.words.text() == "1 scan still to be checked"
    progress.show_left(0)
    assert progress.isHidden()


def test_one_scan_that_is_checked_quickly_is_not_worth_a_word(room, qtbot):
    progress = CheckProgress(room, slow_ms=10)
    progress.show_left(1)
    progress.show_left(0)
    with qtbot.assertNotEmitted(progress._slow.timeout, wait=30):
        pass
    assert progress.isHidden()


def test_what_was_said_before_stays_in_the_news(progress, room):
    room.news.tell("Saved.")
    progress.show_left(3)
    assert room.news.words.text() == "Saved."


@pytest.mark.parametrize("scale", SIZES)
def test_nothing_of_the_bar_is_cut_off_at_1366_by_768(window, settings, scale, qtbot):
    """With the worst that the shell can show besides."""
    window._look.choose_scale(scale)
    progress = CheckProgress(Room(window._look, window._keys, window.news, None, window.memory, settings))
    progress.show_left(999)
    window.news.trouble("Checking scans was stopped.", "scans", window._keys.action("check-again"))
    window.news.offer_undo("Booked in: 26 004123 76, Splints, Blue box, leaves Tue 8 Dec 2026.", lambda: None)
    window.desk_line.show_printer("FRONT-DESK")
    window.desk_line.show_waiting(12)
    assert window.minimumSizeHint().width() <= 1366
    window.resize(1366, 768)
    buttons = [part for part in window.findChildren(QAbstractButton) if part.isVisible()]
    assert progress.stop_button in buttons
    qtbot.waitUntil(lambda: all(_whole(part, window) for part in (*buttons, progress.words)))


def _whole(part, window):
    area = QRect(part.mapTo(window, part.rect().topLeft()), part.size())
    return part.width() >= part.minimumSizeHint().width() and window.rect().contains(area)
