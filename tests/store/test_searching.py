import pytest

from intake.domain.case import NewPractice
from intake.store.searching import search
from tests.store.samples import NAMES, NOW, a_case, a_practice, a_token, a_verdict, book, save_practices

WALKED = 20
"""Of the newest jobs, looked through before any index is asked; at the desk 2,000."""


@pytest.fixture
def day(store):
    """A small day: four jobs of three practices."""
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
