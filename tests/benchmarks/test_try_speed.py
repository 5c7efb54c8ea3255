"""How long a changed rule book takes to be tried on 50,000 stored cases, beside judging each of them twice."""

from datetime import timedelta
from time import perf_counter

import pytest
from sqlalchemy import insert, select

from intake.desk.try_rules import try_setup
from intake.domain.case import Case
from intake.domain.judging import judge
from intake.invented_lab import day_files
from intake.store import tables as t
from intake.store.opening import Store
from tests.desk.changed_rules import changed_lab
from tests.desk.desks import NOW, day_case, demo_lab, demo_practices, enter_practices, open_desk
from tests.store.samples import book

CASES, USUALLY = 50_000, 5_000
NAIVELY = 2_000
"""So many of them are judged twice, for the figure beside it."""
BUDGET = 10
MONTHS = 3


def fill(store, count):
    """The cases of the demo's day, many times over, through the last months."""
    enter_practices(store)
    book(store)
    files = [path.stem for path in day_files() if path.parent.name == "day"]
    cases = [case.model_copy(update={"arrived": None}) for case in map(day_case, files)]
    known = {practice.code for practice in demo_practices()}
    with store.engine.begin() as connection:
        row = connection.execute(select(t.CaseTable.__table__)).one()._asdict()
        for first in range(2, count + 2, 5_000):
            rows = []
            for n in range(first, min(first + 5_000, count + 2)):
                case = cases[n % len(cases)]
                code = case.practice if isinstance(case.practice, str) and case.practice in known else None
                booked = NOW - timedelta(minutes=n * 85 * 24 * 60 // count)
                appointment = (booked + timedelta(days=7 + n % 11)).date()
                said = case.model_copy(update={"appointment": appointment if case.appointment else None})
                rows.append(
                    row | {"id": n, "token": f"t{n}", "booked": booked, "practice_code": code, "prescription": said}
                )
            connection.execute(insert(t.CaseTable), rows)


@pytest.fixture(scope="module")
def many(strict):
    return CASES if strict else USUALLY


@pytest.fixture(scope="module")
def desk(tmp_path_factory, many):
    folder = tmp_path_factory.mktemp("try")
    store = Store.open(folder / "intake.sqlite")
    fill(store, many)
    yield open_desk(store, folder)
    store.close()


@pytest.mark.benchmark
@pytest.mark.timeout(600)
def test_a_changed_rule_book_is_tried_on_50_000_cases_within_10_s(desk, many, allowed, record_property):
    told = []
    begin = perf_counter()
    tried = try_setup(desk, changed_lab(), MONTHS, lambda done, of: told.append((done, of)))
    took = perf_counter() - begin
    assert tried.of == tried.looked_at >= many
    assert 0 < len(tried.changed) < many
    assert told[-1] == (tried.of, tried.of)
    record_property("cases", tried.of)
    record_property("seconds", round(took, 1))
    record_property("cases_a_second", round(many / took))
    record_property("would_change", len(tried.changed))
    assert took <= allowed(BUDGET * many / CASES)


@pytest.mark.benchmark
@pytest.mark.timeout(600)
def test_judging_each_case_twice_beside_it(desk, many, record_property):
    before, after = demo_lab(), changed_lab()
    practices = {practice.code: practice for practice in desk.practices()}
    begin, done = perf_counter(), 0
    for rows in desk.store.read.booked_cases(NOW.date() - timedelta(days=92), NOW.date()):
        for row in rows:
            case = Case.model_validate_json(row.prescription)
            for lab in (before, after):
                judge(case, lab, practices.get(row.practice_code), row.booked)
        done += len(rows)
        if done >= NAIVELY:
            break
    took = perf_counter() - begin
    record_property("cases_a_second", round(done / took))
    record_property("seconds_for_50_000", round(took / done * CASES))
