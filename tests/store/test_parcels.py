"""Parcels in the store: what is said of them, what lay in them, when they are finished, what is told of it."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.store.chain import Head
from intake.store.meanwhile import ChangedMeanwhile, NotNow, NotThere
from intake.store.parcel_rows import ParcelFacts
from intake.store.rows import NewArrival
from intake.store.tables import EventTable
from tests.store.samples import NAMES, NOW, a_case, a_verdict, does, save_practices

PATIENT = "Thornley"
"""Whatever names the patient, in every place where it could."""
FACTS = ParcelFacts(
    label="RA473124829GB", label_kind="s10", service="Signed-for", practice_name="A surgery", seen=("wet",)
)
ARRIVAL = NewArrival("post", NOW, patient_label=PATIENT)


def opened(store, *kinds, facts=FACTS, at=NOW, again_of=None):
    """A parcel with things of these kinds in it; its id, their ids and those of their arrivals."""

    def open_it(work):
        parcel = work.parcels.open(facts, at, again_of)
        books = ("case", "part", "repair")
        added = [
            work.parcels.add_content(parcel, kind, found=PATIENT, arrival=ARRIVAL if kind in books else None)
            for kind in kinds or ("case",)
        ]
        return parcel, [content for content, _ in added], [arrival for _, arrival in added]

    return does(store, open_it)


def book(store, arrival_id, token="t-1"):
    def book_it(work):
        return work.cases.book(
            a_case(practice=None), a_verdict("splints"), token=token, names=NAMES, arrival_id=arrival_id
        )

    return does(store, book_it)


def kinds_of(store, *beginnings):
    events = store.read._events(EventTable.seq > 0)
    return [row.kind for row in events if row.kind.startswith(beginnings)]


def state(store, parcel):
    return store.read.parcel(parcel).state


def test_a_parcel_is_read_as_it_was_written(store):
    save_practices(store)
    facts = replace(FACTS, practice_code="MILL", practice_name="as written", seen=("wet", "blood"), note="soaked")
    parcel, contents, arrivals = opened(store, "case", "other", facts=facts)
    row = store.read.parcel(parcel)
    assert (row.at, row.who, row.state, row.why, row.again_of) == (NOW, "CD", "open", "", None)
    assert row.facts == replace(facts, practice_name="Mill Lane Dental")
    (case, other) = store.read.contents_of([parcel])[parcel]
    assert (case.content_id, case.position, case.kind, case.arrival_id) == (contents[0], 1, "case", arrivals[0])
    assert (case.arrival_state, case.case_id, other.arrival_state) == ("waiting", None, None)
    assert store.read.contents_of([parcel + 1]) == {}
    assert store.read.parcel(parcel + 1) is None


def test_it_is_finished_when_its_arrival_is_booked_and_open_again_when_that_is_taken_back(store):
    parcel, _, (arrival,) = opened(store)
    booked = book(store, arrival)
    assert state(store, parcel) == "done"
    assert [row.case_id for row in store.read.contents_of_case(booked.case_id)] == [booked.case_id]

    def wait_again(work):
        work.cases.withdraw(booked.case_id, booked.version, "taken back")
        work.arrivals.set_state(arrival, store.read.arrival(arrival).version, "waiting")

    does(store, wait_again)
    assert state(store, parcel) == "open"
    assert store.read.contents_of_case(booked.case_id) == ()
    assert kinds_of(store, "parcel-") == ["parcel-opened", "parcel-done", "parcel-open-again"]


def test_the_history_of_the_case_tells_of_its_parcel(store):
    parcel, _, (arrival,) = opened(store)
    case = book(store, arrival).case_id
    (came,) = [row for row in store.read.history(case) if row.kind == "came-in-parcel"]
    assert came.details["parcel"] == parcel
    assert came.details["seen"] == ["wet"]


def test_a_reason_settles_a_thing_and_dismisses_what_waits(store):
    parcel, (case, other), (arrival, _) = opened(store, "case", "other")
    does(store, lambda work: work.parcels.set_reason(case, f"{PATIENT} has moved"))
    assert (store.read.arrival(arrival).state, state(store, parcel)) == ("dismissed", "open")
    does(store, lambda work: work.parcels.set_reason(other, "a leaflet"))
    assert state(store, parcel) == "done"
    does(store, lambda work: work.parcels.set_reason(case, ""))
    assert (store.read.arrival(arrival).state, state(store, parcel)) == ("waiting", "open")


def test_what_is_booked_gets_no_reason_and_is_not_taken_out(store):
    _, (content,), (arrival,) = opened(store)
    book(store, arrival)
    for act in (lambda work: work.parcels.set_reason(content, "why"), lambda work: work.parcels.take_out(content)):
        with pytest.raises(NotNow):
            does(store, act)
    assert store.read.content(content).reason == ""


def test_a_wrong_entry_is_taken_out_and_put_back(store):
    parcel, (first, second), (_, arrival) = opened(store, "nothing", "case")
    does(store, lambda work: work.parcels.set_reason(first, "nothing lay in it"))
    does(store, lambda work: work.parcels.take_out(second))
    assert (state(store, parcel), store.read.arrival(arrival).state) == ("done", "dismissed")
    assert len(store.read.contents_of([parcel])[parcel]) == 1
    does(store, lambda work: work.parcels.put_back(second))
    assert (state(store, parcel), store.read.arrival(arrival).state) == ("open", "waiting")


def test_two_things_follow_their_arrivals_into_one_and_back(store):
    parcel, (whole, part), (first, second) = opened(store, "case", "part")
    moved = does(store, lambda work: work.parcels.follow(second, first))
    assert moved == (part,)
    assert [row.arrival_id for row in store.read.contents_of([parcel])[parcel]] == [first, first]
    does(store, lambda work: work.parcels.set_reason(part, "belongs to the case"))
    assert store.read.arrival(first).state == "waiting"  # the whole case still waits there
    does(store, lambda work: work.parcels.set_reason(part, ""))
    does(store, lambda work: work.parcels.follow_back(moved, second))
    assert [row.arrival_id for row in store.read.contents_of([parcel])[parcel]] == [first, second]
    assert whole != part


def test_a_refused_or_stopped_parcel_stays_so_whatever_becomes_of_what_lay_in_it(store):
    parcel, _, (arrival,) = opened(store)
    does(store, lambda work: work.parcels.set_state(parcel, "parcel-stopped", "stopped", "a needle"))
    book(store, arrival)
    assert state(store, parcel) == "stopped"
    does(store, lambda work: work.parcels.set_state(parcel, "parcel-gone-on", "open"))
    assert (state(store, parcel), store.read.parcel(parcel).why) == ("done", "")


def test_a_save_that_comes_too_late_is_refused_with_what_changed(store):
    parcel, _, _ = opened(store)
    other, _, _ = opened(store)
    version = store.read.parcel(parcel).version
    right = replace(FACTS, hygiene="declared")
    newer = does(store, lambda work: work.parcels.change(parcel, version, right))
    assert newer > version
    with pytest.raises(ChangedMeanwhile, match="hygiene is now “declared”, yours “not-declared”"):
        does(store, lambda work: work.parcels.change(parcel, version, FACTS))
    unchanged = store.read.parcel(other).version
    assert does(store, lambda work: work.parcels.change(other, unchanged, FACTS)) == unchanged


def test_parcels_are_found_by_state_by_label_by_day_and_by_arrival(store):
    first, _, (arrival,) = opened(store, at=NOW - timedelta(days=2))
    second, _, _ = opened(store, again_of=first)
    third, _, _ = opened(store, facts=replace(FACTS, label="OTHER"), at=NOW - timedelta(days=1))
    assert [row.parcel_id for row in store.read.parcels_in(("open",))] == [first, third, second]
    assert [row.parcel_id for row in store.read.latest_parcels(("open",), 2)] == [second, third]
    assert [row.parcel_id for row in store.read.parcels_labelled("RA473124829GB")] == [second, first]
    day = store.read.parcels_between(NOW - timedelta(days=1), NOW)
    assert [row.parcel_id for row in day] == [third]
    assert [row.parcel_id for row in store.read.contents_of_arrivals([arrival])] == [first]
    assert set(store.read.parcels([first, second, 999])) == {first, second}


def test_a_photograph_is_kept_once_and_its_name_is_personal(store):
    parcel, _, _ = opened(store)
    file = does(store, lambda work: work.parcels.add_file(parcel, f"{PATIENT}.jpg", "a" * 64, 1_000))
    assert does(store, lambda work: work.parcels.add_file(parcel, "again.jpg", "a" * 64, 1_000)) == file
    does(store, lambda work: work.parcels.show_file(file, shown=False))
    assert store.read.parcel_files(parcel) == ()
    does(store, lambda work: work.parcels.show_file(file, shown=True))
    assert [row.name for row in store.read.parcel_files(parcel)] == [f"{PATIENT}.jpg"]
    for act in (
        lambda work: work.parcels.add_file(999, "x", "b" * 64, 1),
        lambda work: work.parcels.show_file(999, shown=True),
    ):
        with pytest.raises(NotThere):
            does(store, act)


def test_a_disinfection_counts_until_it_is_taken_back(store):
    parcel, _, (arrival,) = opened(store)
    case = book(store, arrival).case_id
    of_parcel = does(
        store, lambda work: work.parcels.hygiene.disinfected("agent", 10, "CD", parcel_id=parcel, case_ids=[case])
    )
    of_case = does(store, lambda work: work.parcels.hygiene.disinfected("agent", 5, "AB", case_id=case))
    assert [row.disinfection_id for row in store.read.disinfections([parcel], [case])] == [of_parcel, of_case]
    assert store.read.disinfections([parcel])[0].who == "CD"
    assert [row.kind for row in store.read.history(case)].count("disinfected") == 2
    does(store, lambda work: work.parcels.hygiene.take_back(of_parcel, [case]))
    assert [row.disinfection_id for row in store.read.disinfections([parcel], [case])] == [of_case]
    assert store.read.disinfection(of_parcel) is None
    with pytest.raises(NotNow):
        does(store, lambda work: work.parcels.hygiene.take_back(of_parcel))


def test_an_incident_is_written_down_closed_and_opened_again(store):
    parcel, _, _ = opened(store)
    add = lambda work: work.parcels.hygiene.add_incident("sharps", parcel, "a needle", "", "")  # noqa: E731
    incident = does(store, add)
    does(store, lambda work: work.parcels.hygiene.change_incident(incident, "a needle", "boxed", "the practice"))
    does(store, lambda work: work.parcels.hygiene.close_incident(incident, "CD"))
    row = store.read.incident(incident)
    assert (row.done, row.told, row.closed_by, row.parcel_id) == ("boxed", "the practice", "CD", parcel)
    assert store.read.incidents_open() == ()
    with pytest.raises(NotNow):
        does(store, lambda work: work.parcels.hygiene.change_incident(incident, "b", "", ""))
    does(store, lambda work: work.parcels.hygiene.reopen_incident(incident))
    assert [each.incident_id for each in store.read.incidents_of(parcel)] == [incident]
    assert store.read.incidents_open()[0].closed is None


def test_nothing_personal_is_told_in_the_open_and_the_history_holds(store):
    parcel, (content,), _ = opened(store, facts=replace(FACTS, note=f"{PATIENT} wrote it"))
    does(store, lambda work: work.parcels.set_reason(content, f"{PATIENT} has moved"))
    does(store, lambda work: work.parcels.set_state(parcel, "parcel-refused", "refused", f"{PATIENT}’s is broken"))
    does(store, lambda work: work.parcels.add_file(parcel, f"{PATIENT}.jpg", "a" * 64, 1))
    events = store.read._events(EventTable.seq > 0)
    assert not any(PATIENT in str(row.details) for row in events)
    assert sum(PATIENT in str(row.personal) for row in events) >= 5
    assert isinstance(store.verify_chain(), Head)


def test_what_is_not_there_is_told(store):
    for act in (
        lambda work: work.parcels.change(999, 1, FACTS),
        lambda work: work.parcels.set_state(999, "parcel-refused", "refused"),
        lambda work: work.parcels.add_content(999, "case"),
        lambda work: work.parcels.take_out(999),
        lambda work: work.parcels.hygiene.take_back(999),
        lambda work: work.parcels.hygiene.close_incident(999, "AB"),
    ):
        with pytest.raises(NotThere):
            does(store, act)


def test_nothing_of_a_parcel_is_kept_that_was_not_committed(store):
    with store.work("AB", NOW) as work:
        parcel = work.parcels.open(FACTS, NOW)
        work.parcels.add_content(parcel, "case", arrival=ARRIVAL)
    assert store.read.parcels_in(("open",)) == ()
    assert store.read.arrivals() == ()
