"""Numbers under desks that book at once: none twice, none left out, on either database."""

import random
from concurrent.futures import ThreadPoolExecutor

import pytest

from intake.domain.job_number import read_number
from intake.store.opening import Store
from tests.store.samples import NAMES, NOW, a_case, a_token, a_verdict

DESKS, TURNS = 8, 15


def a_desk(place, desk):
    """Books in turn, and gives up one booking in ten before it commits; the numbers that were committed."""
    chance, numbers = random.Random(desk), []
    store = Store.open(place)
    for turn in range(TURNS):
        with store.work(f"D{desk}", NOW) as work:
            booked = work.cases.book(a_case(), a_verdict(), token=f"{desk}-{turn}", names=NAMES)
            if chance.random() < 0.1:
                continue
            work.commit()
        numbers += [read_number(job.number).running for job in booked.jobs]
    store.close()
    return numbers


def test_desks_that_book_at_once_get_every_number_once_and_leave_none_out(place):
    with ThreadPoolExecutor(DESKS) as pool:
        numbers = [number for desk in pool.map(lambda desk: a_desk(place, desk), range(DESKS)) for number in desk]
    assert len(numbers) < DESKS * TURNS
    assert sorted(numbers) == list(range(1, len(numbers) + 1))
    store = Store.open(place)
    assert store.verify_chain().count == len(numbers)
    store.close()


def test_desks_that_ask_for_copies_at_once_get_every_copy_once(place):
    store = Store.open(place)
    with store.work("AB", NOW) as work:
        number = work.cases.book(a_case(), a_verdict(), token=a_token(), names=NAMES).jobs[0].number
        work.commit()

    def copy(_):
        with store.work("AB", NOW) as work:
            made = work.documents.next_copy(number, "lost")
            work.commit()
        return made.copy

    with ThreadPoolExecutor(DESKS) as pool:
        assert sorted(pool.map(copy, range(24))) == list(range(2, 26))
    assert [d.copy for d in store.read.documents_waiting()] == [25]
    store.close()


@pytest.mark.parametrize("year", [2026, 2027])
def test_each_year_counts_from_one(store, year):
    numbers = []
    for at in (NOW, NOW.replace(year=year), NOW.replace(year=year)):
        with store.work("AB", at) as work:
            numbers += work.cases.book(a_case(), a_verdict(), token=a_token(), names=NAMES).jobs
            work.commit()
    read = [(read_number(job.number).year, read_number(job.number).running) for job in numbers]
    assert read == ([(26, 1), (26, 2), (26, 3)] if year == 2026 else [(26, 1), (27, 1), (27, 2)])


def test_one_token_booked_by_two_desks_at_once_is_one_case(place):
    store = Store.open(place)

    def book(_):
        with store.work("AB", NOW) as work:
            booked = work.cases.book(a_case(), a_verdict(), token="same", names=NAMES)
            work.commit()
        return booked.case_id, booked.again

    with ThreadPoolExecutor(DESKS) as pool:
        results = list(pool.map(book, range(DESKS)))
    assert {case_id for case_id, _ in results} == {1}
    assert [again for _, again in results].count(False) == 1
    store.close()
