import threading

import pytest

from intake.ui.jobs import Jobs


@pytest.fixture
def errors():
    return []


@pytest.fixture
def jobs(qapp, errors):
    jobs = Jobs(errors.append)
    yield jobs
    jobs.close()


def test_results_come_back_on_the_windows_thread(jobs, qtbot):
    seen = {}

    def done(result):
        seen.update(result=result, delivered=threading.current_thread())

    jobs.run(lambda: threading.current_thread().name, done)
    qtbot.waitUntil(lambda: bool(seen))
    assert seen == {"result": "intake store", "delivered": threading.main_thread()}


def test_work_of_the_store_is_done_in_order_one_at_a_time(jobs, qtbot):
    log, back = [], []
    for at in range(50):
        jobs.run(lambda at=at: log.append(at) or at, back.append)
    qtbot.waitUntil(lambda: len(back) == 50)
    assert log == back == list(range(50))


def test_other_work_does_not_wait_for_the_store(jobs, qtbot):
    gate, back = threading.Event(), []
    jobs.run(lambda: gate.wait(10), back.append)
    jobs.run(lambda: "ticket", back.append, lane="beside")
    qtbot.waitUntil(lambda: back == ["ticket"])
    gate.set()
    qtbot.waitUntil(lambda: back == ["ticket", True])


def test_an_error_goes_to_who_asked(jobs, qtbot, errors):
    own = []

    def fail():
        raise ValueError("stale")

    jobs.run(fail, failed=own.append)
    qtbot.waitUntil(lambda: len(own) == 1)
    assert errors == []


def test_an_error_that_nobody_takes_goes_to_the_runners_own(jobs, qtbot, errors):
    def fail():
        raise ValueError("stale")

    jobs.run(fail)
    qtbot.waitUntil(lambda: len(errors) == 1)
    assert str(errors[0]) == "stale"


def test_one_failure_does_not_stop_the_next(jobs, qtbot, errors):
    back = []
    jobs.run(lambda: 1 / 0)
    jobs.run(lambda: "next", back.append)
    qtbot.waitUntil(lambda: back == ["next"])
    assert len(errors) == 1


def test_closing_waits_for_all_that_was_asked_and_delivers_it(qapp, errors):
    jobs = Jobs(errors.append)
    gate, back = threading.Event(), []
    jobs.run(lambda: gate.wait(10), back.append)
    for at in range(20):
        jobs.run(lambda at=at: at, back.append, lane="beside")
        jobs.run(lambda at=at: 100 + at, back.append)
    threading.Timer(0.05, gate.set).start()
    jobs.close()
    assert len(back) == 41
    assert jobs.under_way == 0


def test_nothing_is_taken_after_closing(qapp, errors):
    jobs = Jobs(errors.append)
    jobs.close()
    with pytest.raises(RuntimeError):
        jobs.run(lambda: None)


def test_busy_is_said_once_at_each_end(jobs, qtbot):
    said, back = [], []
    jobs.busy_changed.connect(said.append)
    gate = threading.Event()
    for _ in range(3):
        jobs.run(lambda: gate.wait(10), back.append)
    gate.set()
    qtbot.waitUntil(lambda: len(back) == 3)
    assert said == [True, False]


def test_no_thread_is_left_behind(qapp, errors):
    before = threading.active_count()
    jobs = Jobs(errors.append)
    jobs.close()
    assert threading.active_count() == before
