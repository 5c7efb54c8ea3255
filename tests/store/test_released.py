"""Stores of earlier releases with data: every one comes up to date with nothing lost.

`released/0001.sql` are the rows of a small store that the code of that schema wrote, and so on.
"""

import re
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from intake.store.backup import check, examine
from intake.store.chain import Head
from intake.store.complaints import StoreRefused
from intake.store.engine import WRITING, make_engine, url_of
from intake.store.opening import Store
from intake.store.scan_rows import NewFile
from intake.store.upgrading import REVISIONS, SCRIPTS, bring_up_to_date, revision_of
from tests.store.samples import NOW, book

LATER = NOW + timedelta(days=1)


@dataclass(frozen=True)
class Released:
    """A store of an earlier release."""

    revision: str
    head: Head
    """Where the history of its rows ends."""
    counted: tuple[str, ...]
    """The tables that it has rows in."""
    numbered: tuple[str, ...]
    """The tables whose rows have numbers, which go on after the last."""

    @property
    def revisions(self):
        return REVISIONS[: REVISIONS.index(self.revision) + 1]

    @property
    def rows(self):
        return (Path(__file__).parent / "released" / f"{self.revision}.sql").read_text(encoding="utf-8")


FIRST = Released(
    "0001",
    Head(20, "acfc7e7121b3f36534702912de64e05897eb7b50424f78b49068337890de9a63"),
    ("practices", "cases", "case_words", "jobs", "items", "documents", "document_files", "queries", "events"),
    ("cases", "jobs", "documents", "queries", "arrivals"),
)
SECOND = Released(
    "0002",
    Head(25, "096c4f6b370823b5785e8e26b9874300e9e3388aaffdae1ac738ef69eb02e7b0"),
    (*FIRST.counted, "arrivals", "answers", "attempts", "replies", "reply_files", "letter_queries"),
    (*FIRST.numbered, "answers", "attempts", "replies"),
)

PHYSICAL = ("parcels", "parcel_contents", "disinfections", "incidents", "moves", "closings")
"""What the fourth schema brought."""
THIRD = Released(
    "0003",
    Head(30, "09241da9fa8670764eb0354738ca5e66524c0595cb2b531da4713806b9bbcc84"),
    (*SECOND.counted, "scans", "arrival_files", "deliveries"),
    (*SECOND.numbered, "scans", "arrival_files"),
)

FOURTH = Released(
    "0004",
    Head(48, "e9ba5ade28aa7cc82a98c54e82aa832d6c18b8712cb99235b5b725d9ea1381e9"),
    (*THIRD.counted, *PHYSICAL, "parcel_files", "case_links", "pourings", "boxes"),
    (*THIRD.numbered, *PHYSICAL, "parcel_files", "case_links", "pourings"),
)


def made(place, release):
    """A store of an earlier release with data."""
    engine = make_engine(url_of(place))
    bring_up_to_date(engine, SCRIPTS, release.revisions)
    with engine.connect().execution_options(**{WRITING: True}) as connection, connection.begin():
        for statement in release.rows.split(";\n")[:-1]:
            connection.exec_driver_sql(for_database(statement, engine.name))
        if engine.name == "postgresql":
            for table in release.numbered:
                count = f"SELECT setval('{table}_id_seq', (SELECT max(id) FROM {table}))"  # noqa: S608 - names above
                connection.exec_driver_sql(count)
    engine.dispose()
    return place


@pytest.fixture
def old_place(empty_place):
    """A store of the first schema with data, on each database in turn."""
    return made(empty_place, FIRST)


@pytest.fixture
def second_place(empty_place):
    """A store of the second schema with data, on each database in turn."""
    return made(empty_place, SECOND)


def for_database(statement, name):
    """Bytes are written otherwise in PostgreSQL."""
    return re.sub(r"X'([0-9a-f]*)'", r"'\\x\1'", statement) if name == "postgresql" else statement


def counts(place, tables):
    engine = make_engine(url_of(place))
    with engine.connect() as connection:
        found = {table: connection.execute(text(f"SELECT count(*) FROM {table}")).scalar() for table in tables}  # noqa: S608
        # Since the fourth schema what is to be made is a word too, and the prescriber's surname.
        added = "SELECT count(*) FROM case_words WHERE word >= '@' AND word < 'A' OR word = 'ashdown'"
        found["case_words"] -= connection.execute(text(added)).scalar()
    engine.dispose()
    return found


def test_every_schema_that_was_released_has_its_rows_here():
    assert tuple(release.revision for release in (FIRST, SECOND, THIRD, FOURTH)) == REVISIONS[:-1]


@pytest.mark.parametrize("release", [FIRST, SECOND, THIRD, FOURTH], ids=["first", "second", "third", "fourth"])
def test_a_store_of_an_earlier_schema_comes_up_to_date_with_nothing_lost(empty_place, release):
    made(empty_place, release)
    before = counts(empty_place, release.counted)
    assert all(before.values())
    store = Store.open(empty_place)
    assert counts(empty_place, release.counted) == before
    assert check(store).problems == ()
    assert store.verify_chain() == release.head
    if store.kept is not None:
        assert store.kept.name == f"new.schema-{release.revision}-before-{REVISIONS[-1]}.sqlite"
        assert examine(store.kept, remembered=release.head).problems == ()
    store.close()


def test_what_was_answered_promised_and_sent_back_before_scans_came_stands_as_it_did(second_place):
    store = Store.open(second_place)
    promised, spoken = store.read.queries_of(1)
    assert (promised.state, promised.expected_on.day, spoken.state) == ("open", 27, "answered")
    assert [(row.says, row.spoken, row.counts) for row in store.read.answers_of(1)] == [
        ("2 mm", True, True),
        ("in the post", False, True),
    ]
    (reply,) = store.read.replies()
    assert store.read.reply_file(reply.reply_id).content == b"%PDF-1.7 filled"
    (call,) = store.read.attempts()
    assert (call.key, call.note) == ("QUAY", "asked for J.T.")
    (mailed,) = store.read.letters_to("QUAY")
    assert (mailed.way, mailed.tries, mailed.problem) == ("mail", 1, "The mail server does not answer.")
    assert [row.source_name for row in store.read.arrivals()] == ["M.S..json"]
    assert store.read.draft("desk-1").content == {"typed": "mill; jt"}
    store.close()


def test_a_store_from_before_scans_takes_scans_in_when_it_is_up_to_date(second_place):
    store = Store.open(second_place)
    (arrival,) = store.read.arrivals()
    with store.work("EF", LATER) as work:
        work.scans.delivered("folder:1", arrival.arrival_id)
        work.scans.add_files(arrival.arrival_id, [NewFile("scan", "upper.stl", "a" * 64, 1)])
        work.commit()
    assert [row.name for row in store.read.unchecked()] == ["upper.stl"]
    assert book(store).case_id == 4
    assert isinstance(store.verify_chain(SECOND.head), Head)
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
    assert isinstance(store.verify_chain(FIRST.head), Head)
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
