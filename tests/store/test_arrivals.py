import hashlib
from datetime import timedelta

import pytest

from intake.store.meanwhile import ChangedMeanwhile, NotThere
from intake.store.rows import NewArrival
from tests.store.samples import NOW, a_case, book

FILE = hashlib.sha256(b"a scan").hexdigest()


def an_arrival(label="J.T.", fingerprint=None, **said):
    written = {"typed": {"appliance": "hard splint upper 3mm"}, "notes": "“ragged” edge"}
    known = {
        "arrived": NOW,
        "practice": "MILL",
        "patient_label": label,
        "prescription": written,
        "fingerprint": fingerprint,
    }
    return NewArrival(stream="scan", **(known | said))


def does(store, act, who="AB"):
    with store.work(who, NOW) as work:
        result = act(work.arrivals)
        work.commit()
    return result


def test_what_came_waits_oldest_first_as_it_was_written(store):
    late = does(store, lambda arrivals: arrivals.add(an_arrival("late")))
    early = does(store, lambda arrivals: arrivals.add(an_arrival("early", arrived=NOW - timedelta(days=1))))
    rows = store.read.arrivals()
    assert [row.arrival_id for row in rows] == [early.arrival_id, late.arrival_id]
    assert rows[0].prescription == an_arrival().prescription
    assert (rows[0].state, rows[0].version, rows[0].case_id, rows[0].stream) == ("waiting", 1, None, "scan")


def test_the_same_file_is_not_taken_in_twice(store):
    first = does(store, lambda arrivals: arrivals.add(an_arrival(fingerprint=FILE)))
    second = does(store, lambda arrivals: arrivals.add(an_arrival(fingerprint=FILE)))
    assert (first.already, second.already) == (False, True)
    assert first.arrival_id == second.arrival_id
    assert len(store.read.arrivals()) == 1


def test_two_arrivals_typed_by_hand_have_no_fingerprint_to_share(store):
    does(store, lambda arrivals: [arrivals.add(an_arrival()), arrivals.add(an_arrival())])
    assert len(store.read.arrivals()) == 2


def test_a_file_that_could_not_be_read_waits_with_the_problem(store):
    problem = "“case.json” is not JSON: it ends in the middle."
    taken = does(store, lambda arrivals: arrivals.add(an_arrival(problem=problem, source_name="case.json")))
    row = store.read.arrival(taken.arrival_id)
    assert (row.problem, row.source_name) == (problem, "case.json")


def test_a_case_takes_its_arrival_off_the_list(store):
    taken = does(store, lambda arrivals: arrivals.add(an_arrival()))
    booked = book(store, arrival_id=taken.arrival_id)
    assert store.read.arrivals() == ()
    row = store.read.arrival(taken.arrival_id)
    assert (row.state, row.case_id, row.version) == ("booked", booked.case_id, 2)
    assert [event.kind for event in store.read.history(booked.case_id)] == ["case-booked", "arrival-booked"]


def test_booking_an_arrival_that_is_not_there_books_nothing(store):
    with pytest.raises(NotThere, match="no arrival 7"):
        book(store, arrival_id=7)
    assert store.read.case(1) is None


def test_an_arrival_can_be_set_aside_and_wait_again(store):
    taken = does(store, lambda arrivals: arrivals.add(an_arrival()))
    version = does(store, lambda arrivals: arrivals.set_state(taken.arrival_id, 1, "set-aside"))
    assert [row.arrival_id for row in store.read.arrivals("set-aside")] == [taken.arrival_id]
    does(store, lambda arrivals: arrivals.set_state(taken.arrival_id, version, "waiting"))
    assert len(store.read.arrivals()) == 1


def test_an_arrival_whose_case_was_undone_waits_again_without_it(store):
    taken = does(store, lambda arrivals: arrivals.add(an_arrival()))
    book(store, arrival_id=taken.arrival_id)
    does(store, lambda arrivals: arrivals.set_state(taken.arrival_id, 2, "waiting"))
    assert store.read.arrivals()[0].case_id is None


def test_two_desks_that_take_the_same_arrival_do_not_both_get_it(store):
    taken = does(store, lambda arrivals: arrivals.add(an_arrival()))
    does(store, lambda arrivals: arrivals.set_state(taken.arrival_id, 1, "set-aside"), who="CD")
    with pytest.raises(ChangedMeanwhile, match=r"changed by CD.*state is now “set-aside”, yours “waiting”"):
        does(store, lambda arrivals: arrivals.set_state(taken.arrival_id, 1, "dismissed"))


def test_what_is_written_of_an_arrival_can_be_replaced_and_the_history_has_both(store):
    taken = does(store, lambda arrivals: arrivals.add(an_arrival()))
    case = a_case().model_dump(mode="json")
    change = {"prescription": case, "practice": "MILL", "patient_label": "J. Thomas"}
    assert does(store, lambda arrivals: arrivals.change(taken.arrival_id, 1, **change)) == 2
    assert store.read.arrival(taken.arrival_id).prescription == case
    with pytest.raises(ChangedMeanwhile) as refused:
        does(store, lambda arrivals: arrivals.change(taken.arrival_id, 1, prescription={}, patient_label="J.X."))
    assert ("patient_label", "J.X.", "J. Thomas") in [(c.field, c.mine, c.theirs) for c in refused.value.changes]


def test_a_patient_is_only_in_the_part_of_an_event_that_may_be_erased(store):
    does(store, lambda arrivals: arrivals.add(an_arrival("Marked Name", source_name="Marked Name.stl")))
    with store.engine.connect() as connection:
        details, personal = connection.exec_driver_sql("SELECT details, personal FROM events").one()
    assert "Marked" not in details
    assert "Marked" in personal


def test_a_draft_is_replaced_in_place_and_tells_no_history(store):
    for typed in ("h", "hard", "hard splint"):
        with store.work("AB", NOW) as work:
            work.drafts.keep("desk-1", {"appliance": typed})
            work.commit()
    assert store.read.draft("desk-1").content == {"appliance": "hard splint"}
    assert store.read.draft("desk-1").saved == NOW
    assert store.read.draft("desk-2") is None
    with store.work("AB", NOW) as work:
        work.drafts.clear("desk-1")
        work.commit()
    assert store.read.draft("desk-1") is None
    assert store.verify_chain().count == 0
