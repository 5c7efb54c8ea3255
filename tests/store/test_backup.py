import sqlite3
import threading
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from intake.store import backup as backups
from intake.store.backup import backup, check, examine, restore
from intake.store.complaints import StoreRefused
from intake.store.engine import make_engine, url_of
from intake.store.opening import Store
from tests.store.samples import NOW, a_finding, book


@pytest.fixture
def file_store(sqlite_place):
    store = Store.open(sqlite_place)
    yield store
    store.close()


def test_a_sound_store_is_sound(store):
    book(store, "splints", "retainers", findings=[a_finding()])
    found = check(store)
    assert (found.sound, found.cases, found.jobs, found.documents) == (True, 1, 2, 2)
    assert found.head == store.verify_chain()


def test_a_backup_holds_everything_and_the_way_back_works(file_store, sqlite_place, tmp_path):
    booked = book(file_store)
    copied = backup(file_store, tmp_path / "backup.sqlite")
    assert copied == check(file_store)
    lost = book(file_store)
    file_store.close()
    kept = restore(tmp_path / "backup.sqlite", Path(sqlite_place), NOW)
    store = Store.open(sqlite_place)
    assert store.read.case(booked.case_id) is not None
    assert store.read.case(lost.case_id) is None
    store.close()
    before = Store.open(kept)
    assert before.read.case(lost.case_id) is not None
    before.close()
    assert kept.name == "intake.before-restore-20261125-093000.sqlite"


def test_a_restored_store_that_lost_events_shows_against_a_remembered_head(file_store, sqlite_place, tmp_path):
    book(file_store)
    backup(file_store, tmp_path / "backup.sqlite")
    book(file_store)
    remembered = file_store.verify_chain()
    file_store.close()
    restore(tmp_path / "backup.sqlite", Path(sqlite_place), NOW)
    store = Store.open(sqlite_place)
    assert "was remembered" in check(store, remembered).problems[0]
    store.close()


def test_a_backup_is_made_where_nothing_was_and_on_a_new_machine_it_comes_back(file_store, tmp_path):
    book(file_store)
    backup(file_store, tmp_path / "backup.sqlite")
    assert restore(tmp_path / "backup.sqlite", tmp_path / "new.sqlite", NOW) is None
    assert examine(tmp_path / "new.sqlite").cases == 1


def test_a_backup_made_while_desks_write_is_whole(file_store, sqlite_place, tmp_path):
    stop = threading.Event()

    def write():
        while not stop.is_set():
            book(file_store)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        found = [backup(file_store, tmp_path / f"{n}.sqlite") for n in range(5)]
    finally:
        stop.set()
        writer.join()
    assert all(each.sound and each.head.count == each.cases == each.jobs for each in found)


def test_a_copy_that_cannot_be_written_leaves_the_old_one(file_store, tmp_path):
    with pytest.raises(StoreRefused):
        backup(file_store, tmp_path / "nowhere" / "backup.sqlite")


def test_an_old_backup_stays_until_the_new_one_is_proved(file_store, tmp_path, monkeypatch):
    target = tmp_path / "backup.sqlite"
    backup(file_store, target)
    old = target.read_bytes()
    book(file_store)
    bad = backups.Check(0, 0, 0, None, ("The file is damaged: page 3",))
    monkeypatch.setattr(backups, "examine", lambda _: bad)
    with pytest.raises(StoreRefused, match="is as it was: The file is damaged"):
        backup(file_store, target)
    assert target.read_bytes() == old
    assert sorted(path.name for path in tmp_path.glob("backup*")) == ["backup.sqlite"]


def test_what_is_no_backup_is_not_restored(file_store, sqlite_place, tmp_path):
    book(file_store)
    file_store.close()
    (tmp_path / "letter.sqlite").write_bytes(b"Dear practice, " * 500)
    (tmp_path / "empty.sqlite").touch()
    for name in ("letter.sqlite", "empty.sqlite", "nowhere.sqlite"):
        with pytest.raises(StoreRefused):
            restore(tmp_path / name, Path(sqlite_place), NOW)
    assert examine(Path(sqlite_place)).cases == 1


def test_a_tampered_backup_is_not_restored(file_store, sqlite_place, tmp_path):
    book(file_store)
    backup(file_store, tmp_path / "backup.sqlite")
    engine = make_engine(url_of(tmp_path / "backup.sqlite"))
    with engine.begin() as connection:
        connection.execute(text("DROP TRIGGER events_keep"))
        connection.execute(text("UPDATE events SET who = 'ZZ'"))
    engine.dispose()
    with pytest.raises(StoreRefused, match="Event 1 was changed"):
        restore(tmp_path / "backup.sqlite", Path(sqlite_place), NOW)


def test_a_store_that_is_open_is_not_replaced(file_store, sqlite_place, tmp_path, monkeypatch):
    monkeypatch.setattr(backups, "PATIENCE_SECONDS", 0.05)
    backup(file_store, tmp_path / "backup.sqlite")
    with file_store.work("AB", NOW), pytest.raises(StoreRefused, match="Close Intake everywhere"):
        restore(tmp_path / "backup.sqlite", Path(sqlite_place), NOW + timedelta(days=1))
    assert book(file_store).case_id == 1


def test_a_damaged_store_is_set_aside_and_replaced(file_store, sqlite_place, tmp_path):
    book(file_store)
    backup(file_store, tmp_path / "backup.sqlite")
    file_store.close()
    Path(sqlite_place).write_bytes(b"\x00\x01damaged" * 1000)
    kept = restore(tmp_path / "backup.sqlite", Path(sqlite_place), NOW)
    assert kept.read_bytes() == b"\x00\x01damaged" * 1000
    assert examine(Path(sqlite_place)).cases == 1


def test_a_row_whose_job_is_gone_is_found(file_store, sqlite_place):
    book(file_store)
    careless = sqlite3.connect(sqlite_place)
    careless.execute("DELETE FROM jobs")
    careless.commit()
    careless.close()
    assert any("belongs to a row of jobs" in problem for problem in check(file_store).problems)


def test_a_postgresql_store_is_backed_up_by_its_server(postgres_place, tmp_path):
    store = Store.open(postgres_place)
    with pytest.raises(StoreRefused, match="pg_dump"):
        backup(store, tmp_path / "backup.sqlite")
    store.close()
