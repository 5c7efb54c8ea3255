"""Stores of earlier releases with data: every one comes up to date with nothing lost.

`released/0001.sql` are the rows of a small store that the code of that schema wrote.
"""

import re
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from intake.store.backup import check, examine
from intake.store.chain import Head
from intake.store.complaints import StoreRefused
from intake.store.engine import WRITING, make_engine, url_of
from intake.store.opening import Store
from intake.store.upgrading import SCRIPTS, bring_up_to_date, revision_of
from tests.store.samples import NOW, book

ROWS = Path(__file__).parent / "released" / "0001.sql"
HEAD = Head(20, "acfc7e7121b3f36534702912de64e05897eb7b50424f78b49068337890de9a63")
"""Where the history of those rows ends."""
COUNTED = ("practices", "cases", "case_words", "jobs", "items", "documents", "document_files", "queries", "events")
LATER = NOW + timedelta(days=1)


@pytest.fixture
def old_place(empty_place):
    """A store of the first schema with data, on each database in turn."""
    engine = make_engine(url_of(empty_place))
    bring_up_to_date(engine, SCRIPTS, ("0001",))
    with engine.connect().execution_options(**{WRITING: True}) as connection, connection.begin():
        for statement in ROWS.read_text(encoding="utf-8").split(";\n")[:-1]:
            connection.exec_driver_sql(for_database(statement, engine.name))
        if engine.name == "postgresql":
            for table in ("cases", "jobs", "documents", "queries", "arrivals"):
                count = f"SELECT setval('{table}_id_seq', (SELECT max(id) FROM {table}))"  # noqa: S608 - names above
                connection.exec_driver_sql(count)
    engine.dispose()
    return empty_place


def for_database(statement, name):
    """Bytes are written otherwise in PostgreSQL."""
    return re.sub(r"X'([0-9a-f]*)'", r"'\\x\1'", statement) if name == "postgresql" else statement


def counts(place):
    engine = make_engine(url_of(place))
    with engine.connect() as connection:
        found = {table: connection.execute(text(f"SELECT count(*) FROM {table}")).scalar() for table in COUNTED}  # noqa: S608
    engine.dispose()
    return found


def test_a_store_of_the_first_schema_comes_up_to_date_with_nothing_lost(old_place):
    before = counts(old_place)
    store = Store.open(old_place)
    assert counts(old_place) == before
    assert check(store).problems == ()
    assert store.verify_chain() == HEAD
    if store.kept is not None:
        assert store.kept.name == "new.schema-0001-before-0002.sqlite"
        assert examine(store.kept, remembered=HEAD).problems == ()
    store.close()


def test_what_letters_asked_before_is_asked_by_them_still(old_place):
    store = Store.open(old_place)
    (letter,) = store.read.letters_to("MILL")
    assert (letter.state, letter.way, letter.address, letter.tries, letter.has_pdf) == ("done", "print", "", 0, True)
    assert store.read.pdf(letter.document_id) == b"%PDF-1.7 letter"
    assert store.read.letter_queries(letter.document_id) == ((1, 0), (2, 0))
    assert [query.requirement for query in store.read.queries_in(letter.document_id)] == ["bite-record", "shade"]
    (asked,) = store.read.ring_rows("MILL")
    assert (asked.letter_id, asked.letters, asked.letter_on) == (letter.document_id, 1, letter.created)
    assert [(row.key, row.letters) for row in store.read.ring_rows()] == [
        ("MILL", 1),
        ("QUAY", 0),
        ("~Harbour Rooms", 0),
    ]
    store.close()


def test_an_older_store_works_on_when_it_is_up_to_date(old_place):
    store = Store.open(old_place)
    assert book(store).case_id == 5
    with store.work("EF", LATER) as work:
        reminder = work.documents.add_letter([1], reminder=1)
        blank = work.documents.add_blank("MILL", way="print")
        work.commit()
    assert store.read.letter_queries(reminder) == ((1, 1),)
    assert store.read.document(blank).kind == "blank"
    with store.work("EF", LATER) as work:
        work.documents.cancel_letter(reminder)
        work.commit()
    assert store.read.query(1).letter_id == store.read.letters_to("MILL")[0].document_id
    assert isinstance(store.verify_chain(HEAD), Head)
    store.close()


def test_references_are_checked_again_after_the_upgrade(old_place):
    store = Store.open(old_place)
    for _ in range(3):  # whichever connection it is
        with pytest.raises(Exception, match=r"FOREIGN KEY|foreign key"), store.engine.begin() as connection:
            connection.execute(text("INSERT INTO letter_queries (letter_id, query_id, reminder) VALUES (99, 99, 0)"))
    store.close()


def test_an_upgrade_that_would_lose_what_others_refer_to_is_refused_and_nothing_is_changed(tmp_path):
    file = tmp_path / "damaged.sqlite"
    engine = make_engine(url_of(file))
    bring_up_to_date(engine, SCRIPTS, ("0001",))
    with engine.connect() as connection:
        connection.connection.driver_connection.execute("PRAGMA foreign_keys = OFF")
        with connection.begin():
            connection.exec_driver_sql("INSERT INTO case_words (case_id, word) VALUES (99, 'lost')")
    engine.dispose()
    with pytest.raises(StoreRefused, match="of case_words belongs to a row of cases that is not there"):
        Store.open(file)
    engine = make_engine(url_of(file))
    with engine.connect() as connection:
        assert revision_of(connection) == "0001"
    engine.dispose()
