"""Scans from the folder or the mouse to the booked case, in the whole window, checked by the real process beside it."""

import multiprocessing
import threading
import time

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from intake.desk.look_up import find
from intake.store.opening import Store
from intake.ui.scans import asked
from tests.desk.desks import enter_practices
from tests.scans import arches
from tests.scans.bringing import pair, put, two_arches, unnamed
from tests.scans.writers import stl
from tests.ui.test_start import Hands, begin, drop, folder

__all__ = ["begin", "folder"]
WAIT = 30_000


@pytest.fixture
def start(begin, folder, qtbot):
    """The window, with its data open."""
    store = Store.open(folder.store)
    enter_practices(store)
    store.close()
    return at_work(begin(folder), qtbot)


def at_work(start, qtbot):
    """The window, as large as on a small screen."""
    start.window.resize(1366, 768)
    quiet(start, qtbot)
    return start


def quiet(start, qtbot):
    qtbot.waitUntil(lambda: start._desk is not None and not start.jobs.under_way, timeout=WAIT)
    QApplication.processEvents()


def processes():
    return [each for each in multiprocessing.active_children() if each.name == "scans"]


def arrivals(start):
    return start.places["arrivals"]


def under(start):
    return [thumb.words for thumb in arrivals(start).strip.thumbs if thumb.isVisible()]


def test_scans_that_are_dropped_are_checked_chosen_by_keys_and_booked(start, tmp_path, qtbot):
    place, hands = arrivals(start), Hands(start)
    drop(start, put(tmp_path / "J.T", unnamed(unit="inch")))
    qtbot.waitUntil(lambda: len(place.waiting.model.rows) == 1, timeout=WAIT)
    assert start.window.news.words.text() == "2 scans taken in."
    hands.press("F4")
    quiet(start, qtbot)
    assert under(start) == ["Which jaw?", "Which jaw?"]
    assert place.waiting.model.rows[0].unchecked == 0
    hands.press("Ctrl+Up", "Ctrl+I", "Ctrl+PgDown", "Ctrl+Down", "Ctrl+I")
    quiet(start, qtbot)
    assert under(start) == ["Upper", "Lower", "Both arches"]
    assert place.form.field("items").text == "upper scan; lower scan"
    hands.press("F8")
    quiet(start, qtbot)
    assert place.strip.current.unit_offered == "inches"
    hands.press("Ctrl+I")
    quiet(start, qtbot)
    hands.type("QUILLB2")
    hands.press("Alt+L")
    hands.type("J.T.")
    hands.press("Alt+A")
    hands.type("hard splint u 3")
    hands.press("Ctrl+Return")
    quiet(start, qtbot)
    assert place.form.is_empty()
    assert not place.strip.isVisible()
    assert len(place.waiting.model.rows) == 0
    (found,) = find(start._desk, "J.T.")
    case = start._desk.store.read.case_of_job(found.number).case
    assert [scan.shows for scan in case.scans] == ["upper", "lower"]
    assert case.arches.standing == "registered"


def test_scans_that_are_put_into_the_watched_folder_are_checked_by_themselves(start, folder, qtbot):
    start.outside.incoming._timer.setInterval(10)
    rows = arrivals(start).waiting.model
    put(folder.incoming / "J.T", two_arches())
    qtbot.waitUntil(lambda: len(rows.rows) == 1, timeout=WAIT)
    qtbot.waitUntil(lambda: not start._desk.store.read.unchecked(), timeout=WAIT)
    qtbot.waitUntil(lambda: rows.rows[0].unchecked == 0, timeout=WAIT)
    Hands(start).press("F4")
    quiet(start, qtbot)
    assert under(start) == ["Upper", "Lower", "Both arches"]


def test_a_scan_that_comes_for_what_is_open_in_the_form_appears_there(start, tmp_path, qtbot):
    place, both = arrivals(start), two_arches()
    drop(start, put(tmp_path / "J.T", {"upper.ply": both["upper.ply"]}))
    qtbot.waitUntil(lambda: len(place.waiting.model.rows) == 1, timeout=WAIT)
    hands = Hands(start)
    hands.press("F4")
    quiet(start, qtbot)
    hands.press("Alt+L")
    hands.type("J.T.")
    drop(start, put(tmp_path / "J.T", both))
    quiet(start, qtbot)
    assert under(start) == ["Upper", "Lower", "Both arches"]
    assert place.form.field("items").text == "upper scan; lower scan"
    assert place.form.field("patient.label").text == "J.T."


def test_what_was_half_typed_over_scans_comes_back_with_them(begin, start, folder, tmp_path, qtbot):
    drop(start, put(tmp_path / "J.T", unnamed()))
    qtbot.waitUntil(lambda: len(arrivals(start).waiting.model.rows) == 1, timeout=WAIT)
    hands = Hands(start)
    hands.press("F4")
    quiet(start, qtbot)
    hands.press("Ctrl+Up", "Alt+L")
    hands.type("J.T.")
    quiet(start, qtbot)
    start.window.close()
    again = at_work(begin(folder), qtbot)
    assert arrivals(again).form.field("patient.label").text == "J.T."
    assert arrivals(again).form.field("items").text == "upper scan; scan"
    assert under(again) == ["Upper", "Which jaw?"]


def test_closing_in_the_middle_of_a_check_is_quick_leaves_no_process_and_the_next_start_checks(
    begin, start, folder, tmp_path, qtbot
):
    drop(start, put(tmp_path / "J.T", {"upper.stl": stl(arches.arch("upper", 500_000))}))
    qtbot.waitUntil(lambda: bool(processes()), timeout=WAIT)
    begun = time.monotonic()
    start.window.close()
    assert time.monotonic() - begun < 2
    assert processes() == []
    again = begin(folder)
    quiet(again, qtbot)
    qtbot.waitUntil(lambda: arrivals(again).waiting.model.rows[0].unchecked == 0, timeout=WAIT)
    assert len(processes()) == 1
    again.window.close()
    assert processes() == []


def test_what_is_found_after_the_case_was_booked_is_on_its_next_ticket(start, tmp_path, qtbot, monkeypatch):
    gate, check_next = threading.Event(), asked.check_next
    monkeypatch.setattr(asked, "check_next", lambda *words: gate.wait(WAIT / 1000) and check_next(*words))
    place, hands = arrivals(start), Hands(start)
    drop(start, put(tmp_path / "J.T", {"upper.ply": arches.half(pair().upper)}))
    qtbot.waitUntil(lambda: len(place.waiting.model.rows) == 1, timeout=WAIT)
    assert place.waiting.why.text().startswith("1 scan is still being checked. ")
    hands.press("F4")
    qtbot.waitUntil(lambda: under(start) == ["Checking …"], timeout=WAIT)
    hands.press("Alt+L")
    hands.type("J.T.")
    hands.press("Alt+A")
    hands.type("hard splint u 3")
    hands.press("Ctrl+Return")
    said = start.window.news.words
    qtbot.waitUntil(lambda: "accepted by files" in said.text(), timeout=WAIT)
    (found,) = find(start._desk, "J.T.")
    assert start._desk.store.read.case_of_job(found.number).case.scans[0].faults == ()
    gate.set()
    quiet(start, qtbot)
    assert [f.fault for f in start._desk.store.read.case_of_job(found.number).case.scans[0].faults] == ["part"]
    assert said.text().startswith("Scans were checked after their case was booked. Ticket ")
    assert " copy 2: accepted by files" in said.text()
    assert start._desk.store.read.documents_waiting() == ()


@pytest.mark.benchmark
def test_the_window_does_not_freeze_while_a_large_scan_is_taken_in_and_checked(start, tmp_path, qtbot, record_property):
    """Checklist 13: no freeze beyond 200 ms, and no key that is pressed meanwhile is lost."""
    scans = put(tmp_path / "J.T", {"upper.stl": stl(arches.arch("upper", 500_000))})
    place, hands, beats, gaps = arrivals(start), Hands(start), [time.perf_counter()], [0.0]
    hands.press("Alt+N")
    beat = QTimer()
    beat.timeout.connect(lambda: (gaps.append(time.perf_counter() - beats[-1]), beats.append(time.perf_counter())))
    beat.start(5)
    drop(start, scans)
    typed = ""
    while not place.waiting.model.rows or place.waiting.model.rows[0].unchecked:
        hands.type("x")
        typed += "x"
        qtbot.wait(20)
    beat.stop()
    record_property("longest_ms", round(max(gaps) * 1000))
    record_property("keys", len(typed))
    assert place.form.field("notes").text == typed
    assert max(gaps) < 0.2
