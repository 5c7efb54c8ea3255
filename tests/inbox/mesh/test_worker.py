"""Scans are checked in a process of their own, which is started for real here, stopped and killed."""

import os
import signal
import time

import pytest

from intake.domain.scan_rules import ScanRules
from intake.inbox.mesh.checked import CheckedArches
from intake.inbox.mesh.checking import check_mesh
from intake.inbox.mesh.worker import LONGEST, CheckStopped, Worker
from tests.scans import arches, writers

RULES = ScanRules()
PAIR = arches.pair(2_000)

pytestmark = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="a file that never ends is made with a pipe here")


@pytest.fixture(scope="module")
def one_worker():
    made = Worker()
    yield made
    made.close()


@pytest.fixture
def worker(one_worker):
    """One for all tests, since a process takes a second to begin."""
    one_worker.longest, one_worker.stopped = LONGEST, lambda: False
    return one_worker


@pytest.fixture
def upper(tmp_path):
    path = tmp_path / "upper.stl"
    path.write_bytes(writers.stl(PAIR.upper))
    return path


@pytest.fixture
def endless(tmp_path):
    """A file that is never read to its end: nobody writes into the pipe."""
    path = tmp_path / "endless.stl"
    os.mkfifo(path)
    return path


def process_of(worker):
    """The id of the process that checks."""
    return worker._process.pid


def works(worker, path):
    return worker.mesh(path, "upper.stl", RULES).problem == ""


def test_a_check_beside_the_window_finds_what_a_check_here_does(worker, upper, tmp_path):
    assert worker.mesh(upper, "upper.stl", RULES) == check_mesh(upper, "upper.stl", RULES)
    lower = tmp_path / "lower.stl"
    lower.write_bytes(writers.stl(PAIR.lower))
    found = worker.arches((upper, 1.0), (lower, 1.0), None)
    assert isinstance(found, CheckedArches)
    assert found.figures.near_half > 30


def test_one_process_lives_through_many_checks(worker, upper):
    assert works(worker, upper)
    first = process_of(worker)
    assert first != os.getpid()
    assert works(worker, upper)
    assert process_of(worker) == first


def test_a_scan_that_cannot_be_read_is_told_and_the_process_lives_on(worker, upper, tmp_path):
    broken = tmp_path / "broken.stl"
    broken.write_bytes(b"<html>")
    assert "a web page" in worker.mesh(broken, "broken.stl", RULES).problem
    first = process_of(worker)
    assert "cannot be read" in worker.arches((tmp_path / "gone.stl", 1.0), (upper, 1.0), None)
    assert process_of(worker) == first


def test_a_check_that_hangs_is_stopped_and_told_and_the_next_one_works(worker, upper, endless):
    assert works(worker, upper)
    first, worker.longest = process_of(worker), 0.5
    found = worker.mesh(endless, "endless.stl", RULES)
    assert (found.figures, found.problem) == (None, "The check took longer than 0 seconds and was stopped.")
    worker.longest = LONGEST
    assert works(worker, upper)
    assert process_of(worker) != first


def test_a_check_that_a_person_stops_ends_at_once_and_the_next_one_works(worker, upper, endless):
    assert works(worker, upper)
    worker.stopped = lambda: True
    begin = time.monotonic()
    with pytest.raises(CheckStopped, match="begins again"):
        worker.mesh(endless, "endless.stl", RULES)
    assert time.monotonic() - begin < 5
    worker.stopped = lambda: False
    assert works(worker, upper)


def killing(worker, times):
    """Kills the process so many times while it checks, as the system does when memory runs out."""
    killed = []

    def asked():
        if len(killed) < times:
            killed.append(process_of(worker))
            os.kill(killed[-1], signal.SIGKILL)
        return False

    worker.stopped = asked
    return killed


def test_a_process_that_is_killed_again_and_again_is_told_and_the_next_check_works(worker, upper, endless):
    killing(worker, 2)
    found = worker.mesh(endless, "endless.stl", RULES)
    assert found.figures is None
    assert found.problem.startswith("The check ended by itself, most likely because the mesh needs more memory")
    assert works(worker, upper)


def test_a_check_whose_process_is_killed_once_is_made_by_the_next(worker, upper):
    """As when a session ends: nothing is wrong with the scan."""
    worker.close()
    killed = killing(worker, 1)  # long before the process has loaded what it needs
    assert works(worker, upper)
    assert len(killed) == 1
    assert process_of(worker) not in killed


def test_a_process_that_is_killed_between_checks_is_started_anew(worker, upper):
    assert works(worker, upper)
    first = process_of(worker)
    os.kill(first, signal.SIGKILL)
    assert works(worker, upper)
    assert process_of(worker) != first


def test_closing_ends_the_process(worker, upper):
    assert works(worker, upper)
    process = process_of(worker)
    worker.close()
    worker.close()
    with pytest.raises(ProcessLookupError):
        os.kill(process, 0)
