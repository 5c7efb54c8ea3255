"""A copy of the data that holds, the way back, and the check of both."""

from pathlib import Path

import pytest

from intake.desk.book_in import book
from intake.desk.issue import issue_all
from intake.desk.safekeeping import back_up, put_back, verify
from intake.errors import IntakeError
from intake.store.opening import Store
from tests.desk.desks import NOW, day_case, enter_practices, open_desk


@pytest.fixture
def file_desk(sqlite_place, tmp_path):
    """A desk whose store is a file."""
    store = Store.open(sqlite_place)
    enter_practices(store)
    yield open_desk(store, tmp_path)
    store.close()


def book_some(desk, names=("01", "02", "18")):
    for name in names:
        issue_all(desk, book(desk, day_case(name), f"form-{name}").tickets)


def test_a_sound_store_is_said_to_be_sound_with_what_it_holds(desk):
    book_some(desk)
    found = verify(desk)
    assert found.sound
    assert (found.cases, found.jobs, found.documents) == (3, 4, 4)


def test_a_changed_history_shows(desk):
    book_some(desk)
    with desk.store.engine.begin() as connection:
        if connection.dialect.name == "sqlite":
            connection.exec_driver_sql("DROP TRIGGER events_keep")
        else:
            connection.exec_driver_sql("ALTER TABLE events DISABLE TRIGGER USER")
        connection.exec_driver_sql("UPDATE events SET who = 'XY' WHERE seq = 15")
    found = verify(desk)
    assert not found.sound
    assert "Event 15 was changed" in found.problems[0]


def test_a_copy_made_at_work_brings_every_case_back(file_desk, sqlite_place, tmp_path):
    book_some(file_desk)
    copy = tmp_path / "copies" / "monday.db"
    copy.parent.mkdir()
    made = back_up(file_desk, copy)
    assert (made.sound, made.cases) == (True, 3)
    book_some(file_desk, ["03"])
    file_desk.store.close()
    kept = put_back(copy, Path(sqlite_place), NOW)
    assert kept is not None
    assert kept.exists()
    again = Store.open(sqlite_place)
    assert again.read.counts(NOW.date()).booked == 3
    again.close()
    before = Store.open(kept)
    assert before.read.counts(NOW.date()).booked == 4
    before.close()


def test_data_that_a_desk_has_open_are_not_replaced(file_desk, sqlite_place, tmp_path):
    book_some(file_desk)
    copy = tmp_path / "copy.db"
    back_up(file_desk, copy)
    with file_desk.work(), pytest.raises(IntakeError, match="open in another window"):
        put_back(copy, Path(sqlite_place), NOW)
    assert verify(file_desk).cases == 3
