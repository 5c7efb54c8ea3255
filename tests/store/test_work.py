import contextlib
from datetime import UTC

import pytest

from intake.store.opening import Store
from tests.store.samples import NAMES, NOW, a_case, a_practice, a_token, a_verdict, book


def test_nothing_is_kept_when_the_commit_is_forgotten(store):
    with store.work("AB", NOW) as work:
        work.practices.save(a_practice())
        work.cases.book(a_case(), a_verdict(), token=a_token(), names=NAMES)
    assert store.read.practices() == ()
    assert store.read.case(1) is None
    assert store.verify_chain().count == 0


def test_nothing_is_kept_when_an_error_comes_before_the_commit(store):
    with contextlib.suppress(ZeroDivisionError), store.work("AB", NOW) as work:
        work.cases.book(a_case(), a_verdict(), token=a_token(), names=NAMES)
        raise ZeroDivisionError
    assert store.read.case(1) is None
    assert store.verify_chain().count == 0


def test_what_is_committed_is_there_when_the_store_is_opened_again(place):
    store = Store.open(place)
    booked = book(store)
    store.close()
    again = Store.open(place)
    assert again.read.case(booked.case_id).case == a_case()
    assert again.kept is None
    again.close()


def test_a_time_with_a_zone_is_refused(store):
    with store.work("AB", NOW.replace(tzinfo=UTC)) as work, pytest.raises(Exception, match="time zone"):
        work.cases.book(a_case(), a_verdict(), token=a_token(), names=NAMES)


def test_a_work_ends_with_its_commit(store):
    with store.work("AB", NOW) as work:
        work.practices.save(a_practice())
        work.commit()
        with pytest.raises(RuntimeError, match="begin another"):
            work.practices.save(a_practice("QUAY"))
    assert [row.practice.code for row in store.read.practices()] == ["MILL"]
    assert store.verify_chain().count == 1
