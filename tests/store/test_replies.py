"""Returned forms: kept once with the file, taken, set aside."""

import pytest

from intake.store.meanwhile import NotNow, NotThere
from intake.store.rows import NewReply
from tests.store.samples import NOW, a_case, a_finding, book, does, save_practices

FORM = NewReply(
    "sha-1", "form", "reply of Thomas.pdf", None, "MILL", "", {"fields": {"q1.choice": "0"}}, b"%PDF-1.7 filled"
)


def keep(store, reply=FORM):
    return does(store, lambda work: work.replies.add(reply))


def set_state(store, reply_id, state):
    does(store, lambda work: work.replies.set_state(reply_id, state))


def test_a_returned_form_waits_with_what_was_read_and_the_file_itself(store):
    kept = keep(store)
    (row,) = store.read.replies()
    assert (row.reply_id, row.state, row.kind, row.key, row.at) == (kept.reply_id, "waiting", "form", "MILL", NOW)
    assert row.content == {"fields": {"q1.choice": "0"}}
    assert store.read.reply(kept.reply_id) == store.read.reply_of("sha-1") == row
    file = store.read.reply_file(kept.reply_id)
    assert (file.name, file.content) == ("reply of Thomas.pdf", b"%PDF-1.7 filled")
    assert store.read.reply(99) is store.read.reply_of("sha-2") is store.read.reply_file(99) is None


def test_the_same_file_is_not_taken_in_twice(store):
    first, again = keep(store), keep(store)
    assert (again.reply_id, first.already, again.already) == (first.reply_id, False, True)
    assert len(store.read.replies()) == 1
    assert store.verify_chain().count == 1


def test_a_form_is_found_by_its_letter_and_told_in_the_history_of_its_cases(store):
    save_practices(store)
    book(store, findings=[a_finding()])
    book(store, case=a_case(reference="777"), findings=[a_finding()])
    letter = does(store, lambda work: work.documents.add_letter([1, 2]))
    reply = keep(store, NewReply("x", "altered", "Thomas.pdf", letter, "MILL", "A question was changed.")).reply_id
    set_state(store, reply, "set-aside")
    assert [row.reply_id for row in store.read.replies_to(letter)] == [reply]
    assert store.read.replies_to(99) == ()
    for case_id in (1, 2):
        added, aside = store.read.history(case_id)[-2:]
        assert (added.kind, aside.kind) == ("reply-added", "reply-set-aside")
        assert (added.details["letter"], added.details["kind"]) == (letter, "altered")
        assert added.personal == {"source_name": "Thomas.pdf", "problem": "A question was changed."}
        assert "Thomas" not in str(added.details)


def test_a_form_that_is_taken_leaves_what_waits_and_is_not_taken_again(store):
    reply = keep(store).reply_id
    set_state(store, reply, "taken")
    assert store.read.replies() == ()
    assert [row.reply_id for row in store.read.replies("taken")] == [reply]
    with pytest.raises(NotNow, match="taken already"):
        set_state(store, reply, "taken")
    set_state(store, reply, "waiting")
    assert [row.reply_id for row in store.read.replies()] == [reply]
    with pytest.raises(NotThere, match="no returned form 99"):
        set_state(store, 99, "taken")
