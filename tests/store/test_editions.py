"""Editions of the lab setup in the store, on both databases."""

from datetime import datetime, timedelta

import pytest

from intake.store.editions import digest_of

AT = datetime(2026, 11, 25, 9, 0)


def add(store, text, source="window", note="", of=None, at=AT):
    with store.work("AB", at) as work:
        edition = work.editions.add(text, source, note, of)
        work.commit()
    return edition


def test_the_newest_edition_is_in_force_and_every_text_stays(store):
    assert store.read.newest_edition() is None
    texts = ["a = 1\n", "# ä “ö” €\na = 2\n", "a = 1\n"]
    for number, text in enumerate(texts):
        assert add(store, text, note=f"note {number}", at=AT + timedelta(minutes=number)) == number + 1
    newest = store.read.newest_edition()
    assert (newest.edition, newest.note, newest.at) == (3, "note 2", AT + timedelta(minutes=2))
    assert [store.read.edition_text(number) for number in (1, 2, 3)] == texts
    assert store.read.edition_of(digest_of(texts[0])).edition == 3
    assert store.read.edition_of(digest_of("a = 3\n")) is None
    assert (store.read.edition(2).sha256, store.read.edition(9)) == (digest_of(texts[1]), None)
    assert [row.edition for row in store.read.editions()] == [3, 2, 1]


def test_an_edition_is_an_event_and_the_history_holds(store):
    add(store, "a = 1\n", "first")
    add(store, "a = 1\n", "put-back", "as it was", of=1)
    with store.work("AB", AT) as work:  # not committed
        work.editions.add("a = 2\n", "file")
    assert len(store.read.editions()) == 2
    assert store.verify_chain().count == 2


@pytest.mark.parametrize("source", ["elsewhere", ""])
def test_where_an_edition_comes_from_is_one_of_few_words(store, source):
    with pytest.raises(Exception, match="source"):
        add(store, "a = 1\n", source)


def test_a_store_without_work_under_way_counts_nothing(store):
    assert (store.read.open_jobs_by_category(), store.read.boxes_at_benches(), store.read.open_appliances()) == (
        {},
        {},
        {},
    )
    assert not store.read.has_cases()
