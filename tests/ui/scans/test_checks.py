"""Scans are checked behind the window, by a process of their own, one after the other."""

import multiprocessing
import time

import pytest

from intake.store.complaints import StoreBusy
from intake.store.scans import Scans
from intake.ui.scans.checks import Checks
from tests.scans import arches
from tests.scans.bringing import two_arches, unnamed
from tests.scans.writers import stl

WAIT = 20_000


@pytest.fixture
def checks(room, qapp):
    made = Checks(room, room.news, again_ms=50)
    made.told = []
    made.checked.connect(made.told.append)
    yield made
    made.stop()
    made.close()


@pytest.fixture
def quiet(room, desk, qtbot):
    """Waits until every scan is checked."""
    return lambda: qtbot.waitUntil(lambda: not room.jobs.under_way and not desk.store.read.unchecked(), timeout=WAIT)


def processes():
    return [each for each in multiprocessing.active_children() if each.name == "scans"]


def states(desk, arrival_id):
    return [row.scan_state for row in desk.store.read.files_of([arrival_id])[arrival_id]]


def test_every_scan_is_checked_and_told_and_the_arches_are_measured(checks, bring_in, desk, quiet):
    first, second = bring_in("a", two_arches(), False), bring_in("b", {"upper.ply": arches.arch("upper", 900)}, False)
    checks.set_desk(desk)
    quiet()
    assert states(desk, first) == ["checked", "checked"]
    assert states(desk, second) == ["checked"]
    assert checks.told == [(first,), (first,), (second,)]
    assert desk.store.read.arches_of([first])[first].figures is not None


def test_no_process_begins_while_there_is_nothing_to_check(checks, desk, room, qtbot):
    checks.look()
    assert not room.jobs.under_way
    checks.set_desk(desk)
    qtbot.waitUntil(lambda: not room.jobs.under_way, timeout=WAIT)
    assert processes() == []


def test_one_process_checks_them_all_and_is_gone_when_it_is_ended(checks, bring_in, desk, quiet):
    bring_in("a", two_arches(), False)
    checks.set_desk(desk)
    quiet()
    assert len(processes()) == 1
    checks.stop()
    checks.close()
    assert processes() == []


@pytest.mark.thorough
def test_what_comes_meanwhile_is_checked_too(checks, bring_in, desk, quiet):
    bring_in("a", two_arches(), False)
    checks.set_desk(desk)
    later = bring_in("b", two_arches(1.1), False)
    checks.look()
    quiet()
    assert states(desk, later) == ["checked", "checked"]


def test_arches_are_measured_anew_in_their_turn_while_others_are_checked(checks, bring_in, desk, quiet, room, qtbot):
    """Two questions at once to one process would get each other's answers."""
    chosen = bring_in("a", unnamed())
    rows = desk.store.read.files_of([chosen])[chosen]
    other = bring_in("b", two_arches(1.1), False)
    checks.set_desk(desk)
    with desk.work() as work:
        for row, jaw in zip(rows, ("upper", "lower"), strict=True):
            work.scans.choose(row.file_id, jaw=jaw, unit=None)
        work.commit()
    checks.measure(chosen)
    quiet()
    qtbot.waitUntil(lambda: not room.jobs.under_way, timeout=WAIT)
    assert set(desk.store.read.arches_of([chosen, other])) == {chosen, other}
    assert (chosen,) in checks.told


@pytest.mark.thorough
def test_arches_that_are_known_are_not_told_again(checks, bring_in, desk, quiet):
    arrival_id = bring_in("a", two_arches())
    checks.set_desk(desk)
    checks.measure(arrival_id)
    quiet()
    assert checks.told == []


def test_a_scan_whose_file_does_not_lie_here_is_left_alone_and_the_others_are_checked(
    checks, bring_in, desk, room, qtbot
):
    """It may lie at another desk, which checks it."""
    arrival_id = bring_in("a", two_arches(), False)
    gone, there = desk.store.read.files_of([arrival_id])[arrival_id]
    desk.scan_files.path(gone.sha256).unlink()
    checks.set_desk(desk)
    qtbot.waitUntil(lambda: not room.jobs.under_way, timeout=WAIT)
    told = {row.name: row.scan_state for row in desk.store.read.files_of([arrival_id])[arrival_id]}
    assert told == {gone.name: "unchecked", there.name: "checked"}
    assert checks.told == [(arrival_id,)]


@pytest.mark.thorough
def test_a_check_that_cannot_be_kept_is_told_and_done_again_by_itself(
    checks, bring_in, desk, quiet, room, trouble, monkeypatch
):
    refusals = [StoreBusy("Another desk is writing just now; nothing was saved. Do it again in a moment.")]
    measured, shown = Scans.measured, []

    def moody(self, *words):
        if refusals:
            raise refusals.pop()
        return measured(self, *words)

    tell = room.news.trouble
    monkeypatch.setattr(Scans, "measured", moody)
    monkeypatch.setattr(room.news, "trouble", lambda *words: shown.append(words[0]) or tell(*words))
    arrival_id = bring_in("a", two_arches(), False)
    checks.set_desk(desk)
    quiet()
    assert [said.partition(". ")[0] for said in shown] == ["No scan is checked just now"]
    assert "Another desk is writing" in shown[0]
    assert trouble() == ""
    assert states(desk, arrival_id) == ["checked", "checked"]


def test_stopping_in_the_middle_of_a_check_is_quick_and_keeps_nothing_of_it(
    checks, desk, room, qtbot, tmp_path, bring_in
):
    """A mesh of 500,000 triangles takes some seconds to be checked."""
    arrival_id = bring_in("a", {"upper.stl": stl(arches.arch("upper", 500_000))}, False)
    checks.set_desk(desk)
    qtbot.waitUntil(lambda: bool(processes()), timeout=WAIT)
    begun = time.monotonic()
    checks.stop()
    qtbot.waitUntil(lambda: not room.jobs.under_way, timeout=WAIT)
    checks.close()
    assert time.monotonic() - begun < 2
    assert processes() == []
    assert states(desk, arrival_id) == ["unchecked"]
    assert checks.told == []


def test_a_process_that_dies_is_begun_anew_and_no_scan_is_left_out(checks, desk, quiet, qtbot, bring_in):
    """The system ends a process that wants too much memory."""
    arrival_id = bring_in("a", two_arches(), False)
    checks.set_desk(desk)
    qtbot.waitUntil(lambda: bool(processes()), timeout=WAIT)
    (first,) = processes()
    first.kill()
    quiet()
    assert states(desk, arrival_id) == ["checked", "checked"]
    assert [each.pid for each in processes()] != [first.pid]
