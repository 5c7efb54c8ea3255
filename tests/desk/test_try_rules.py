"""A changed setup tried on the cases that are booked, on both databases: what it would have done, and nothing done."""

from datetime import timedelta

import pytest

from intake.desk.book_in import book
from intake.desk.try_rules import explain, try_setup
from intake.desk.withdraw import withdraw
from intake.domain.judging import judge
from intake.store import trial_reading
from intake.store.tables import EventTable
from tests.desk.changed_rules import changed_lab
from tests.desk.desks import NOW, day_case, demo_lab, open_desk

NAMES = ("51", "40", "36", "14", "06", "07", "02")
"""Booked one every ten days, the last one today."""


@pytest.fixture
def ids(desk, store, tmp_path, monkeypatch):
    """The cases, the oldest first; they are read three at once."""
    monkeypatch.setattr(trial_reading, "AT_ONCE", 3)
    days_ago = range(10 * (len(NAMES) - 1), -1, -10)
    return [
        book(open_desk(store, tmp_path, NOW - timedelta(days=days)), day_case(name), f"form-{name}").case_id
        for days, name in zip(days_ago, NAMES, strict=True)
    ]


def every_event(desk):
    return desk.store.read._events(EventTable.seq > 0)


def key(finding):
    return finding.requirement, finding.appliance, finding.level


def judged(desk, lab, case_id):
    """What a setup says of a stored case, judged from beginning to end as of when it was booked."""
    row = desk.store.read.case(case_id)
    known = desk.store.read.practice(row.practice_code) if row.practice_code else None
    return judge(row.case, lab, known.practice if known else None, row.booked)


def test_each_case_is_told_as_judging_it_twice_tells_it_and_nothing_is_written(desk, ids):
    events, told = every_event(desk), []
    tried = try_setup(desk, changed_lab(), 3, lambda done, of: told.append((done, of)))
    assert told == [(3, 7), (6, 7), (7, 7)]
    assert (tried.looked_at, tried.of, tried.stopped) == (7, 7, False)
    expected = {}
    for case_id in ids:
        one, other = (judged(desk, lab, case_id) for lab in (demo_lab(), changed_lab()))
        keys = [{key(finding) for finding in verdict.findings} for verdict in (one, other)]
        if keys[0] != keys[1]:
            expected[case_id] = one.state, other.state, keys[0] - keys[1], keys[1] - keys[0]
    assert len(expected) > 1
    assert [case.case_id for case in tried.changed] == list(expected)
    for case in tried.changed:
        one, other, gone, new = expected[case.case_id]
        turn = None if one == other else "held" if other == "held" else "freed"
        assert (case.difference.turn, set(case.difference.gone), set(case.difference.new)) == (turn, gone, new)
        assert case.number == desk.store.read.jobs_of(case.case_id)[0].number
        assert case.practice == desk.store.read.case(case.case_id).practice_name
        explained = explain(desk, tried, case)
        assert ({key(each) for each in explained.gone}, {key(each) for each in explained.new}) == (gone, new)
        assert all(each.question for each in (*explained.gone, *explained.new))
    assert sum(tried.counts.values()) >= len(expected)
    assert every_event(desk) == events


def test_only_cases_of_the_last_months_count_that_still_stand(desk, ids):
    row = desk.store.read.case(ids[-1])
    withdraw(desk, row.case_id, row.version, "The practice rang: not wanted any more.")
    tried = try_setup(desk, changed_lab(), 1)  # 31 days back: the older three are before that
    assert (tried.looked_at, tried.of) == (3, 3)
    assert {case.case_id for case in tried.changed} <= set(ids[3:-1])


def test_stopped_between_two_lots_it_tells_what_was_seen_until_then(desk, ids):
    answers = iter((False, True))
    tried = try_setup(desk, changed_lab(), 3, stop=lambda: next(answers))
    assert (tried.looked_at, tried.of, tried.stopped) == (3, 7, True)
    assert {case.case_id for case in tried.changed} <= set(ids[:3])


def test_no_case_is_looked_at_where_nothing_that_judges_differs(desk, ids):
    tried = try_setup(desk, desk.lab.model_copy(update={"telephone": "01632 960999"}), 3)
    assert (tried.looked_at, tried.of, tried.changed) == (0, 7, ())
    assert not tried.trial.differ
