from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import update

from intake.domain.case import NewPractice, Patient
from intake.domain.look_up_words import LookUpWords
from intake.domain.slips import Slip
from intake.domain.wanted import At, Came, Late, Leaves, Made, Mended, Part, Sent, Standing, Wanted
from intake.store.opening import Store
from intake.store.parcel_rows import ParcelFacts
from intake.store.rows import NewArrival
from intake.store.searching import search
from intake.store.tables import JobTable
from tests.desk.desks import demo_lab
from tests.store.samples import (
    DATES,
    NAMES,
    NOW,
    a_case,
    a_finding,
    a_practice,
    a_token,
    a_verdict,
    book,
    save_practices,
)

WALKED = 20
"""Of the newest jobs, looked through before any index is asked; at the desk 2,000."""


@pytest.fixture(scope="module")
def day(another_store):
    """A small day: four jobs of three practices."""
    store = another_store()
    save_practices(store, a_practice(), a_practice("QUAY", "Quay Street Śmigiel"))
    book(store, case=a_case(label="J.T.", reference="20418"))
    book(store, case=a_case(label="Zoë O’Brien", reference="X-77", practice="QUAY"))
    book(store, "splints", "retainers", case=a_case("splints", "retainers", label="Łukasz W.", practice="QUAY"))
    book(store, case=a_case(label="K.K.", reference="", practice=NewPractice(name="Harbour Rooms")))
    return store


def running(rows):
    return [int(row.number[2:-2]) for row in rows]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("20418", [4, 3, 1]),
        ("jt", [1]),
        ("j.t.", [1]),
        ("zoe", [2]),
        ("ZOË obrien", [2]),
        ("brien", [2]),
        ("x77", [2]),
        ("lukasz", [4, 3]),
        ("quay", [4, 3, 2]),
        ("smig", [4, 3, 2]),
        ("quay luk", [4, 3]),
        ("street zoe", [2]),
        ("mill", [1]),
        ("harbour", [5]),
        ("harb kk", [5]),
        ("mill zoe", []),
        ("treet", []),
        ("nobody", []),
        ("26", [5, 4, 3, 2, 1]),
        ("?!", []),
        ("", []),
    ],
)
def test_every_word_must_fit_somewhere(day, words, found):
    assert running(day.read.find(words)) == found


def test_a_job_is_found_by_its_number_its_groups_and_its_last_digits(day):
    number = day.read.find("zoe")[0].number
    grouped = f"{number[:2]} {number[2:-2]} {number[-2:]}"
    for typed in (number, grouped, number[-4:], number[-6:]):
        assert [row.number for row in day.read.find(typed)] == [number]


def test_a_job_is_found_by_its_running_number_as_a_caller_reads_it_out(day):
    assert running(day.read.find("000002")) == [2]
    assert running(day.read.find("000002 quay")) == [2]


def test_the_newest_come_first_and_no_more_than_asked_for(day):
    assert running(day.read.find("26", limit=2)) == [5, 4]
    assert day.read.find("26", limit=0) == ()


def test_what_was_amended_is_found_by_its_new_words_only(store):
    booked = book(store, case=a_case(label="Old Name", practice=None))
    with store.work("AB", NOW) as work:
        work.cases.amend(booked.case_id, 1, a_case(label="New Name", practice=None), a_verdict(), names=NAMES)
        work.commit()
    assert store.read.find("old") == ()
    assert len(store.read.find("new")) == 1


def test_what_is_older_than_the_walk_is_found_by_index(store):
    save_practices(store, a_practice(), a_practice("QUAY", "Quay Street"))
    with store.work("AB", NOW) as work:
        old = a_case(label="Rare Bird", reference="R-1", practice="QUAY")
        number = work.cases.book(old, a_verdict(), token=a_token(), names=NAMES).jobs[0].number
        for _ in range(WALKED):
            work.cases.book(a_case(reference=""), a_verdict(), token=a_token(), names=NAMES)
        work.commit()
    with store.engine.connect() as connection:
        for typed in ("rare", "quay", "street bird", "r1 quay", number, "26 bird"):
            assert [row.number for row in search(connection, typed, 50, WALKED)] == [number]


def test_a_row_says_what_a_list_needs(day):
    (row,) = day.read.find("zoe")
    assert (row.practice_code, row.practice_name, row.patient_label) == ("QUAY", "Quay Street Śmigiel", "Zoë O’Brien")
    assert (row.category_name, row.box_colour, row.state, row.copy) == ("Splints", "Blue", "clear", 1)
    assert (row.case_state, row.outlook, row.appliances, row.version) == ("open", "comfortable", (0,), 1)


@pytest.fixture(scope="module")
def found_on_bags(another_store):
    """Three jobs: with a name on the bag that is not the prescription's, with another prescriber, in a parcel."""
    store = another_store()
    save_practices(store, a_practice(), a_practice("QUAY", "Held & Son"))
    patient = Patient(label="May Post", reference="4711", found="Thornley, J.")
    book(store, case=a_case(prescriber="Dr S. Nkemelu-Hart").model_copy(update={"patient": patient}))
    book(store, case=a_case(practice="QUAY", label="K.K.", reference="4712", prescriber="Brzęk, Ł."))
    with store.work("AB", NOW) as work:
        parcel = work.parcels.open(ParcelFacts(way="post", label="RR123456785GB", label_kind="s10"), NOW)
        _, arrival = work.parcels.add_content(parcel, "case", arrival=NewArrival("post", NOW))
        work.commit()
    book(store, case=a_case(label="L.L.", reference="4713"), arrival_id=arrival)
    return store


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("thornley", [1]),
        ("hart", [1]),
        ("nkemeluhart", [1]),
        ("brzek", [2]),
        ("rr123456785gb", [3]),
        ("rr1234", [3]),
        ("6785", [3]),
        ("456785", [3]),
        ("1234", []),
        ("6785 ll", [3]),
        ("6785 kk", []),
    ],
)
def test_the_name_on_the_bag_the_prescriber_and_the_parcel_find_a_job(found_on_bags, words, found):
    assert running(found_on_bags.read.find(words)) == found


def test_a_whole_word_comes_before_a_beginning_and_what_is_to_be_made_before_what_is_done(store):
    save_practices(store)
    for reference in ("123", "1234", "12345"):
        book(store, case=a_case(reference=reference))
    book(store, case=a_case(reference="123"))
    with store.engine.begin() as connection:
        connection.execute(update(JobTable).where(JobTable.id == 4).values(finished=NOW))
    assert running(store.read.find("123 jt")) == [1, 4, 3, 2]
    assert running(store.read.find("123 jt", limit=1)) == [1]


TODAY = NOW.date()


def looked_up(store, *parts, mended=()):
    hits = store.read.look_up(Wanted(parts), lambda: mended)
    return running(hits.jobs), [(*running([each.job]), each.read) for each in hits.near], hits.left_out


def named(word):
    return Part(word, (word,))


@pytest.fixture(scope="module")
def three_kinds(another_store):
    """Three jobs: finished, held, and of another category."""
    store = another_store()
    save_practices(store)
    book(store, case=a_case(arrived=NOW - timedelta(9)))
    book(store, findings=[a_finding(level="stops")])
    book(store, "whitening")
    with store.engine.begin() as connection:
        connection.execute(update(JobTable).where(JobTable.id == 1).values(state="gone", finished=NOW))
    return store


@pytest.mark.parametrize(
    ("reading", "found"),
    [
        (Made(("whitening-tray",), "Whitening"), [3]),
        (Made(("whitening-tray", "occlusal-splint-hard"), "Both"), [3, 2, 1]),
        (Standing("held"), [2]),
        (Standing("clear"), [3]),
        (Standing("gone"), [1]),
        (Standing("open"), [3, 2]),
        (Standing("finished"), [1]),
        (Standing("withdrawn"), []),
        (Late(TODAY, TODAY), []),
        (Late(DATES.latest_start, DATES.latest_start + timedelta(1)), [3, 2]),
        (Came(((TODAY, TODAY),)), [3, 2]),
        (Came(((TODAY - timedelta(9), TODAY - timedelta(9)),)), [1]),
        (Leaves(((DATES.must_leave, DATES.must_leave),)), [3, 2, 1]),
        (At("Casting"), []),
        (At(None), [3, 2]),
        (Sent("post"), [3, 2, 1]),
        (Sent("scan"), []),
    ],
    ids=str,
)
def test_a_job_is_found_by_what_else_is_said_of_it(three_kinds, reading, found):
    assert looked_up(three_kinds, Part("said", (), (reading,)))[0] == found
    assert looked_up(three_kinds, Part("said", (), (reading,)), named("jt"))[0] == found
    assert looked_up(three_kinds, Part("said", (), (reading,)), named("nobody"))[0] == []


def test_of_a_case_in_two_boxes_what_is_made_finds_the_one_that_it_lies_in(store):
    save_practices(store)
    book(store, "splints", "retainers")
    retainers = ("vacuum-formed-retainer",)
    assert looked_up(store, Part("retainer", (), (Made(retainers, "Retainer", ("retainers",)),)))[0] == [2]
    assert looked_up(store, Part("retainer", (), (Made(retainers, "Retainer", ("renamed",)),)))[0] == [2, 1]


def test_a_word_that_is_a_name_and_means_something_finds_both_the_rarer_first(found_on_bags):
    held = Part("held", ("held",), (Standing("clear"),))
    may = Part("may", ("may",), (Came(((TODAY, TODAY),)),))
    assert looked_up(found_on_bags, held)[0] == [2, 3, 1]
    assert looked_up(found_on_bags, may)[0] == [1, 3, 2]
    assert looked_up(found_on_bags, may, held)[0] == [2, 1, 3]


@pytest.mark.parametrize(
    ("typed", "meant", "read"),
    [
        (("thornely",), 1, "thornley"),
        (("mya", "psot"), 1, "may"),
        (("hedl",), 2, "held"),
        (("quai", "kk"), 2, "quay"),
        (("4721",), 2, "4712"),
        (("rr132456785gb",), 3, "rr123456785gb"),
    ],
)
def test_a_job_is_found_in_spite_of_a_slip_and_it_is_said_what_was_read(found_on_bags, typed, meant, read):
    found, near, left_out = looked_up(found_on_bags, *map(named, typed))
    assert (found, left_out) == ([], ())
    assert near[0][0] == meant
    assert (typed[0], read) in near[0][1]


def test_a_job_number_with_a_wrong_digit_is_near_beside_a_name(found_on_bags):
    (number,) = [row.number for row in found_on_bags.read.find("4713")]
    wrong = f"{number[:5]}{(int(number[5]) + 1) % 10}{number[6:]}"
    assert looked_up(found_on_bags, named(wrong), named("ll"))[1][0][0] == 3


def test_what_fits_exactly_stands_alone_and_near_ones_only_where_nothing_does(found_on_bags):
    assert looked_up(found_on_bags, named("4711"))[:2] == ([1], [])
    assert [job for job, _ in looked_up(found_on_bags, named("4710"))[1]] == [3, 2, 1]


def test_a_mended_word_of_the_lab_finds_what_it_means(found_on_bags):
    wanted = Wanted((Part("held", (), (Standing("clear"),)), named("kk")))
    mended = Mended(wanted, "hedl", "held", Slip(1))
    assert looked_up(found_on_bags, named("hedl"), named("kk"), mended=[mended])[1] == [(2, (("hedl", "held"),))]


def test_a_word_too_many_is_left_out_and_named(found_on_bags):
    assert looked_up(found_on_bags, named("urgently"), named("hart")) == ([], [(1, ())], ("urgently",))
    assert looked_up(found_on_bags, named("nobody"), named("here")) == ([], [], ())
    assert looked_up(found_on_bags, named("hart"), named("ll")) == ([], [(1, ())], ("ll",))


label_words = st.sampled_from(["May", "Held", "Post", "Clear", "Open", "March", "Monday", "Thornley", "Łukasz", "J.T."])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=15)
@given(st.lists(st.lists(label_words, min_size=1, max_size=3), min_size=1, max_size=4))
def test_every_word_of_every_label_finds_its_job_whatever_else_it_means(sqlite_place, labels):
    store = Store.open(sqlite_place)
    words = LookUpWords(demo_lab(), TODAY, TODAY)
    booked = {book(store, case=a_case(practice=None, label=" ".join(label))).jobs[0].number: label for label in labels}
    for number, label in booked.items():
        for word in label:
            assert number in [job.number for job in store.read.look_up(words.read(word)).jobs]
    store.close()
