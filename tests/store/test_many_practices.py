"""Many practices in one unit of work: as if each were saved by itself, all of them or none."""

import shutil

import pytest

from intake.store.chain import Head
from intake.store.meanwhile import NotNow
from intake.store.opening import Store
from intake.store.rows import PracticeRow
from tests.store.samples import NOW, a_practice, book, does, save_practices

MILL, QUAY, ELM = a_practice(), a_practice("QUAY", "Quay Street", former=("Q9",)), a_practice("ELM", "Elm House")


def prescribers(store):
    with store.engine.connect() as connection:
        rows = connection.exec_driver_sql("SELECT practice_code, position, name FROM prescribers ORDER BY 1, 2")
        return [tuple(row) for row in rows]


def test_many_are_written_as_if_each_were_saved_by_itself(store, empty_file, tmp_path):
    other = Store.open(shutil.copy(empty_file, tmp_path / "other.sqlite"))
    save_practices(store, MILL, QUAY)
    save_practices(other, MILL, QUAY)
    changed = MILL.model_copy(update={"name": "The Old Mill", "prescribers": ("Dr N. New",)})
    wanted = [(changed, 1), (QUAY, 1), (ELM, None)]
    ticks = []
    written = does(store, lambda work: work.practices.save_many(wanted, lambda *so_far: ticks.append(so_far)), who="AB")
    assert ticks == [(3, 3)]
    assert [row.version for row in written] == [2, 1, 1]
    with other.work("AB", NOW) as work:
        for practice, version in wanted:
            work.practices.save(practice, version)
        work.commit()
    assert store.read.practices() == other.read.practices()
    assert prescribers(store) == prescribers(other)
    assert store.verify_chain() == other.verify_chain(), "the events are the same, word for word"
    other.close()
    booked = book(store)
    assert [job.case_id for job in store.read.find("old")] == [booked.case_id], "a new name is searched"


def test_one_that_is_stale_or_taken_leaves_none_of_them(store):
    save_practices(store, MILL)
    before = store.read.practices(), store.verify_chain()
    for wanted in ([(ELM, None), (MILL, None)], [(ELM, None), (MILL, 2)], [(QUAY, 1)]):
        with pytest.raises(NotNow, match="was changed meanwhile"):
            does(store, lambda work, wanted=wanted: work.practices.save_many(wanted))
    assert (store.read.practices(), store.verify_chain()) == before


def test_what_is_taken_out_is_gone_from_the_directory_and_told_in_the_history(store):
    save_practices(store, MILL, QUAY)
    booked = book(store)
    assert does(store, lambda work: work.practices.used(["MILL", "QUAY"])) == {"MILL"}
    with pytest.raises(NotNow):
        does(store, lambda work: work.practices.take_out([PracticeRow(QUAY, 2)]))
    does(store, lambda work: (work.practices.take_out([]), work.practices.save_many([])))
    assert does(store, lambda work: work.practices.used([])) == frozenset()
    does(store, lambda work: work.practices.take_out([PracticeRow(QUAY, 1)]))
    assert [row.practice for row in store.read.practices()] == [MILL]
    assert store.read.history_of_practice("QUAY")[-1].kind == "practice-taken-out"
    assert store.read.case(booked.case_id).practice_name == "Mill Lane Dental"
    assert isinstance(store.verify_chain(), Head)
