"""The moves of boxes, and numbered boxes, kept one by one."""

import re
from datetime import timedelta

import pytest

from intake.store.chain import Head
from intake.store.meanwhile import ChangedMeanwhile, NotNow, NotThere
from intake.store.move_rows import StandsAt
from tests.store.samples import NOW, book, does, save_practices

LATER = NOW + timedelta(hours=2)
AT_CASTING, AT_SPLINTS = StandsAt("gone", "Casting"), StandsAt("gone", "Splints")
FINISHED, WAITS = StandsAt("gone", None, finished=True), StandsAt("clear", None)


@pytest.fixture
def job(store):
    """A job that is clear."""
    save_practices(store)
    return store.read.job(book(store).jobs[0].number)


def move(store, job, kind, bench, to, at=NOW, **said):
    """One move of the job as it stands now."""
    version = store.read.job(job.number).version
    return does(store, lambda work: work.moves.move(job.job_id, version, kind, bench, to, **said), at)


def take_back(store, job, move_id, to, at=LATER):
    version = store.read.job(job.number).version
    return does(store, lambda work: work.moves.take_back(move_id, version, to), at)


def events(store, job):
    return [event for event in store.read.history(job.case_id) if event.job == job.number]


def test_a_box_that_is_handed_over_is_where_it_went(store, job):
    move_id = move(store, job, "handed-over", "Casting", AT_CASTING, copy=2)
    found = store.read.job(job.number)
    assert (found.state, found.bench, found.moved, found.finished) == ("gone", "Casting", NOW, None)
    (kept,) = store.read.moves_of(job.job_id)
    assert (kept.move_id, kept.kind, kept.bench, kept.at, kept.who, kept.copy) == (
        move_id,
        "handed-over",
        "Casting",
        NOW,
        "CD",
        2,
    )


def test_the_history_tells_of_each_move_and_hides_the_reason(store, job):
    move(store, job, "handed-over", "Casting", AT_CASTING)
    move(store, job, "back", "Casting", WAITS, reason="Mr Thomas rang")
    handed, back = events(store, job)[-2:]
    assert (handed.kind, handed.details["bench"], handed.details["state"]) == (
        "job-handed-over",
        "Casting",
        ["clear", "gone"],
    )
    assert (back.kind, back.personal) == ("job-back", {"reason": "Mr Thomas rang"})
    assert "Thomas" not in str(back.details)
    assert isinstance(store.verify_chain(), Head)


def test_two_desks_at_once_move_a_box_once(store, job):
    seen = store.read.job(job.number).version
    move(store, job, "handed-over", "Casting", AT_CASTING)
    with pytest.raises(ChangedMeanwhile):
        does(store, lambda work: work.moves.move(job.job_id, seen, "handed-over", "Casting", AT_CASTING))
    assert len(store.read.moves_of(job.job_id)) == 1


def test_a_move_that_is_taken_back_counts_no_more_and_stays_in_the_history(store, job):
    move(store, job, "handed-over", "Casting", AT_CASTING)
    second = move(store, job, "in", "Splints", AT_SPLINTS, LATER)
    take_back(store, job, second, AT_CASTING)
    found = store.read.job(job.number)
    assert (found.state, found.bench, found.moved) == ("gone", "Casting", NOW)
    assert [kept.kind for kept in store.read.moves_of(job.job_id)] == ["handed-over"]
    assert [event.kind for event in events(store, job)][-2:] == ["job-in", "move-taken-back"]


def test_the_first_move_taken_back_leaves_a_job_that_never_moved(store, job):
    first = move(store, job, "handed-over", "Casting", AT_CASTING)
    take_back(store, job, first, WAITS)
    found = store.read.job(job.number)
    assert (found.state, found.bench, found.moved, found.finished) == ("clear", None, None, None)


def test_only_the_newest_move_can_be_taken_back_and_once(store, job):
    first = move(store, job, "handed-over", "Casting", AT_CASTING)
    second = move(store, job, "in", "Splints", AT_SPLINTS)
    with pytest.raises(NotNow, match="moved on since"):
        take_back(store, job, first, WAITS)
    take_back(store, job, second, AT_CASTING)
    with pytest.raises(NotNow, match="already"):
        take_back(store, job, second, AT_CASTING)


def test_a_job_is_finished_from_its_last_move_and_when_that_stands_again(store, job):
    move(store, job, "out", "Checking", FINISHED)
    assert store.read.job(job.number).finished == NOW
    back = move(store, job, "back", "Checking", WAITS, LATER)
    assert store.read.job(job.number).finished is None
    take_back(store, job, back, FINISHED)
    assert store.read.job(job.number).finished == NOW


def test_benches_are_counted_by_the_boxes_that_they_have(store):
    save_practices(store)
    jobs = [store.read.job(book(store).jobs[0].number) for _ in range(3)]
    for each in jobs[:2]:
        move(store, each, "handed-over", "Casting", AT_CASTING)
    move(store, jobs[2], "out", "Checking", FINISHED)
    assert store.read.bench_counts() == {"Casting": 2}
    assert (store.read.bench_count("Casting"), store.read.bench_count("Checking")) == (2, 0)
    assert [each.number for each in store.read.jobs_at("Casting")] == [each.number for each in jobs[:2]]


def test_the_moves_of_many_jobs_are_read_together(store):
    save_practices(store)
    jobs = [store.read.job(book(store).jobs[0].number) for _ in range(2)]
    move(store, jobs[0], "handed-over", "Casting", AT_CASTING)
    found = store.read.moves_of_jobs([each.job_id for each in jobs])
    assert [len(found[each.job_id]) for each in jobs] == [1, 0]


def test_a_job_that_is_not_there_does_not_move(store):
    with pytest.raises(NotThere):
        does(store, lambda work: work.moves.move(99, 1, "in", "Casting", AT_CASTING))
    with pytest.raises(NotThere):
        does(store, lambda work: work.moves.take_back(99, 1, WAITS))


def put(store, number, job):
    return does(store, lambda work: work.moves.put_in_box(number, job.job_id))


def test_a_numbered_box_holds_one_job(store, job):
    put(store, 12, job)
    assert store.read.box(12).job == job.number
    assert store.read.box_of(job.job_id) == 12
    other = store.read.job(book(store).jobs[0].number)
    with pytest.raises(NotNow, match=re.escape(f"Box 12 holds another job, {job.number}.")):
        put(store, 12, other)
    assert [(box.number, box.job) for box in store.read.boxes()] == [(12, job.number)]


def test_a_job_that_is_put_in_another_box_frees_the_first(store, job):
    assert put(store, 12, job) is None
    assert put(store, 15, job) == 12
    assert (store.read.box(12), store.read.box_of(job.job_id)) == (None, 15)
    other = store.read.job(book(store).jobs[0].number)
    put(store, 12, other)
    assert [event.details["before"] for event in events(store, job) if event.kind == "box-filled"] == [None, 12]


def test_a_job_that_lies_in_its_box_already_is_no_event(store, job):
    put(store, 12, job)
    put(store, 12, job)
    assert [event.kind for event in events(store, job)].count("box-filled") == 1


def test_a_finished_job_frees_its_box(store, job):
    put(store, 12, job)
    move(store, job, "out", "Checking", FINISHED)
    assert store.read.box(12) is None
    assert events(store, job)[-1].details["box"] == 12


def test_a_box_is_freed_once(store, job):
    put(store, 12, job)
    does(store, lambda work: work.moves.free_box(12))
    assert store.read.boxes() == ()
    with pytest.raises(NotNow, match="free already"):
        does(store, lambda work: work.moves.free_box(12))


def test_what_was_asked_at_a_bench_is_told_without_its_words(store, job):
    does(store, lambda work: work.moves.tell_question(job.case_id, "Is Mr Thomas allergic?", "Splints"))
    event = store.read.history(job.case_id)[-1]
    assert (event.kind, event.details, event.personal) == (
        "question-raised",
        {"bench": "Splints"},
        {"question": "Is Mr Thomas allergic?"},
    )
