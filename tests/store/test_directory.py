from datetime import date

import pytest

from intake.domain.practice import StandingInstruction
from intake.store.meanwhile import ChangedMeanwhile, NotNow
from tests.store.samples import NOW, a_practice, book, save_practices

STANDING = StandingInstruction(requirement="thickness", says="1.0 mm unless stated", since=date(2026, 1, 5))


def save(store, practice, version=None, who="AB"):
    with store.work(who, NOW) as work:
        new = work.practices.save(practice, version)
        work.commit()
    return new


def test_a_practice_is_read_back_as_it_was_saved(store):
    practice = a_practice(address=("1 Mill Lane", "Brynford"), standing=(STANDING,), open_weekdays=(1, 5))
    save(store, practice)
    assert store.read.practice("MILL").practice == practice
    assert store.read.practice("mill") is None


def test_practices_are_listed_by_name(store):
    save_practices(store, a_practice("A1", "Quay Street"), a_practice("Z9", "Abbey Dental"))
    assert [row.practice.name for row in store.read.practices()] == ["Abbey Dental", "Quay Street"]


def test_a_code_that_is_taken_is_refused_for_a_new_practice(store):
    save(store, a_practice())
    with pytest.raises(NotNow, match="“MILL” is Mill Lane Dental’s already"):
        save(store, a_practice(name="Millstone Dental"))


def test_saving_the_same_practice_again_writes_nothing(store):
    assert save(store, a_practice()) == save(store, a_practice()) == 1
    assert store.verify_chain().count == 1


def test_a_stale_save_of_a_practice_is_refused_with_what_changed(store):
    save(store, a_practice())
    assert save(store, a_practice(telephone="01632 960001"), 1, who="CD") == 2
    with pytest.raises(ChangedMeanwhile, match="Mill Lane Dental was changed by CD") as refused:
        save(store, a_practice(telephone="01632 960999"), 1)
    (change,) = refused.value.changes
    assert (change.field, change.mine, change.theirs) == ("telephone", "01632 960999", "01632 960001")


def test_every_change_of_a_practice_is_in_its_history(store):
    save(store, a_practice())
    save(store, a_practice(name="Mill Lane Dental Care"), 1)
    first, second = store.read.history_of_practice("MILL")
    assert first.details["changes"]["name"] == [None, "Mill Lane Dental"]
    assert second.details["changes"] == {"name": ["Mill Lane Dental", "Mill Lane Dental Care"]}


def test_a_practice_that_is_renamed_has_its_new_name_on_its_cases(store):
    save(store, a_practice())
    booked = book(store)
    save(store, a_practice(name="The Old Mill"), 1)
    assert store.read.case(booked.case_id).practice_name == "The Old Mill"
    assert [job.practice_name for job in store.read.find("old")] == ["The Old Mill"]


def test_the_prescribers_follow_the_practice(store):
    save(store, a_practice())
    save(store, a_practice(prescribers=("Dr N. New",)), 1)
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT name FROM prescribers").scalars().all() == ["Dr N. New"]
