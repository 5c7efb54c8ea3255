"""The history's chain: what was tampered with shows."""

import hashlib
import shutil

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import create_engine, exc, text

from intake.store.chain import Broken, Head, event_hash, personal_digest, verify
from intake.store.opening import Store
from intake.store.tables import Table
from tests.store.samples import a_finding, book, save_practices

EVENTS = 12
COLUMNS = (
    "at",
    "who",
    "kind",
    "case_id",
    "job",
    "practice",
    "details",
    "personal",
    "salt",
    "digest",
    "previous",
    "hash",
)


@pytest.fixture(scope="module")
def history(tmp_path_factory, empty_file):
    """The rows of a real history and its head."""
    store = Store.open(shutil.copy(empty_file, tmp_path_factory.mktemp("chain") / "intake.sqlite"))
    save_practices(store)
    for _ in range(EVENTS - 1):
        book(store, findings=[a_finding()])
    with store.engine.connect() as connection:
        rows = [dict(row._mapping) for row in connection.execute(Table.metadata.tables["events"].select())]
    head = store.verify_chain()
    store.close()
    return rows, head


def verified(rows, head, remembered=None):
    """Verifies these rows in a database that has no guards."""
    engine = create_engine("sqlite://")
    events, ends = (Table.metadata.tables[name] for name in ("events", "chain_head"))
    Table.metadata.create_all(engine, [events, ends])
    with engine.begin() as connection:
        connection.execute(events.insert(), rows)
        connection.execute(ends.insert(), {"id": 1, "seq": head.count, "hash": head.hash})
        found = verify(connection, remembered)
    engine.dispose()
    return found


def another(value, column):
    """Another value of the same kind."""
    if isinstance(value, str):
        return value[:-1] + ("0" if value[-1:] != "0" else "1")
    return value.replace(year=2025) if hasattr(value, "year") else (value or 0) + 1 if column == "case_id" else "x"


@given(st.integers(0, EVENTS - 1), st.sampled_from(COLUMNS))
def test_an_event_that_was_changed_shows(history, index, column):
    rows, head = history
    changed = {**rows[index], column: another(rows[index][column], column)}
    found = verified([*rows[:index], changed, *rows[index + 1 :]], head)
    assert isinstance(found, Broken)
    assert found.seq in (index + 1, index + 2)


@given(st.integers(0, EVENTS - 1))
def test_an_event_that_was_dropped_shows(history, index):
    rows, head = history
    found = verified([*rows[:index], *rows[index + 1 :]], head)
    assert found == Broken(index + 1, found.why)


@given(st.integers(0, EVENTS - 2))
def test_two_events_that_were_swapped_show(history, index):
    rows, head = history
    one, other = rows[index], rows[index + 1]
    swapped = [{**other, "seq": one["seq"]}, {**one, "seq": other["seq"]}]
    assert verified([*rows[:index], *swapped, *rows[index + 2 :]], head).seq == index + 1


@given(st.integers(0, EVENTS - 1))
def test_an_event_that_was_slipped_in_shows(history, index):
    rows, head = history
    later = [{**row, "seq": row["seq"] + 1} for row in rows[index:]]
    found = verified([*rows[:index], {**rows[index], "who": "ZZ"}, *later], Head(head.count + 1, head.hash))
    assert isinstance(found, Broken)


@given(st.integers(1, EVENTS - 1))
def test_a_tail_that_was_cut_off_shows(history, kept):
    rows, head = history
    assert verified(rows[:kept], head) == Broken(kept + 1, f"The history ends at event {kept}, which is not its last.")


@given(st.integers(1, EVENTS - 1))
def test_a_tail_cut_off_with_its_head_put_right_shows_against_a_head_kept_elsewhere(history, kept):
    rows, head = history
    shorter = Head(kept, rows[kept - 1]["hash"])
    assert verified(rows[:kept], shorter) == shorter
    assert verified(rows[:kept], shorter, remembered=head).seq == kept + 1


def test_a_history_written_anew_shows_against_a_head_kept_elsewhere(history):
    rows, head = history
    anew = rewritten(rows, "ZZ")
    other = Head(head.count, anew[-1]["hash"])
    assert verified(anew, other) == other
    assert verified(anew, other, remembered=head) == Broken(
        EVENTS, f"Event {EVENTS} is not the one that was remembered."
    )


def rewritten(rows, who):
    """The whole history as somebody with every right would write it anew."""
    previous, anew = "0" * 64, []
    for row in rows:
        changed = {**row, "who": who, "previous": previous}
        anew.append({**changed, "hash": event_hash(changed)})
        previous = anew[-1]["hash"]
    return anew


def test_the_history_as_it_is_holds(history):
    rows, head = history
    assert verified(rows, head) == head == Head(EVENTS, rows[-1]["hash"])
    assert verified(rows, head, remembered=Head(3, rows[2]["hash"])) == head


def test_an_empty_history_holds(store):
    assert store.verify_chain() == Head(0, "0" * 64)


def test_the_hash_is_sha256_of_the_canonical_json(history):
    # RFC 8785 canonicalisation agrees with this form for the values that events hold: strings, whole numbers, null.
    row = history[0][1]
    written = (
        f'[{row["seq"]},"2026-11-25T09:30:00.000000","AB","case-booked",{row["case_id"]},null,null,null,'
        f'"{row["details"].replace(chr(34), chr(92) + chr(34))}","{row["digest"]}","{row["previous"]}"]'
    )
    assert hashlib.sha256(written.encode()).hexdigest() == row["hash"]


@pytest.mark.parametrize(
    "tampering",
    [
        "UPDATE events SET who = 'ZZ' WHERE seq = 1",
        "UPDATE events SET details = '{}'",
        "UPDATE events SET personal = 'x' WHERE seq = 1",
        "UPDATE events SET personal = NULL WHERE seq = 1",
        "UPDATE events SET seq = 99 WHERE seq = 1",
        "DELETE FROM events",
    ],
)
def test_the_database_itself_refuses_to_change_the_history(store, tampering):
    book(store)
    with pytest.raises(exc.DBAPIError, match="the history is never"), store.engine.begin() as connection:
        connection.execute(text(tampering))
    assert isinstance(store.verify_chain(), Head)


def test_replacing_an_event_is_refused(sqlite_place):
    store = Store.open(sqlite_place)
    book(store)
    replacing = text("INSERT OR REPLACE INTO events SELECT * FROM events")
    with pytest.raises(exc.DBAPIError, match="never replaced"), store.engine.begin() as connection:
        connection.execute(replacing)
    store.close()


def test_what_names_a_patient_can_be_erased_and_the_chain_still_holds(store):
    booked = book(store)
    head = store.verify_chain()
    with store.engine.begin() as connection:
        connection.execute(text("UPDATE events SET personal = NULL, salt = NULL WHERE seq = 1"))
    assert store.verify_chain() == head
    assert store.read.history(booked.case_id)[0].personal is None


def test_the_digest_of_a_patient_cannot_be_guessed_without_its_salt(store):
    book(store)
    book(store)
    with store.engine.connect() as connection:
        rows = connection.execute(text("SELECT personal, salt, digest FROM events ORDER BY seq")).all()
    assert rows[0].personal == rows[1].personal
    assert rows[0].digest != rows[1].digest
    assert rows[0].digest == personal_digest(rows[0].salt, rows[0].personal)
