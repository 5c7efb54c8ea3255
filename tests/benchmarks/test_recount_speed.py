"""How long the dates of 5,000 open jobs take to be counted anew and kept, beside the count alone."""

import random
from dataclasses import replace
from datetime import date
from time import perf_counter

import pytest
from sqlalchemy import insert, select

from intake.desk.recounting import recount, would_change
from intake.domain.job_number import JobNumber
from intake.domain.lab import Closure
from intake.store import tables as t
from intake.store.opening import Store
from tests.benchmarks.test_load_speed import _columns
from tests.desk.desks import demo_lab, open_desk
from tests.desk.labs import lab_with
from tests.store.samples import book, save_practices

JOBS = 5_000
BUDGET = 10.0


def fill(store, lab):
    """Open jobs with an appointment each, at reception, over some sixty days."""
    chance = random.Random(5)
    save_practices(store)
    book(store)
    kinds = [_columns(chance, lab)[0] for _ in range(JOBS)]
    with store.engine.begin() as connection:
        case = connection.execute(select(t.CaseTable.__table__)).one()._asdict()
        job = connection.execute(select(t.JobTable.__table__)).one()._asdict()
        cases, jobs = [], []
        for n, said in enumerate(kinds, start=2):
            digits, dates = JobNumber.make(2026, n).digits, said["deadlines"]
            given = {"reply_by": dates.reply_by, "outlook": dates.outlook}
            jobs.append(job | {"id": n, "number": digits, "backward": digits[::-1], "case_id": n} | said | given)
            cases.append(case | {"id": n, "token": f"t{n}", "appointment": dates.appointment})
        connection.execute(insert(t.CaseTable), cases)
        connection.execute(insert(t.JobTable), jobs)


@pytest.mark.benchmark
@pytest.mark.timeout(300)
def test_5_000_open_jobs_are_counted_anew_within_10_s(empty_file, tmp_path, allowed, record_property):
    store = Store.open(tmp_path / "intake.sqlite")
    lab = demo_lab()
    fill(store, lab)
    shut = Closure(first=date(2026, 11, 30), last=date(2027, 1, 22), name="moving house")
    calendar = lab.calendar.model_copy(update={"closures": (*lab.calendar.closures, shut)})
    desk = replace(open_desk(store, tmp_path, lab=lab), edition=2)
    changed = replace(desk, lab=lab_with(lab, calendar=calendar))
    begun = perf_counter()
    shown = would_change(desk, changed.lab)
    counted = perf_counter() - begun
    begun = perf_counter()
    done = recount(changed)
    took = perf_counter() - begun
    store.close()
    assert len(done.changed) == len(shown.changed) > JOBS / 2
    record_property("changed", len(done.changed))
    record_property("would_change_ms", round(counted * 1000))
    record_property("recount_ms", round(took * 1000))
    assert took <= allowed(BUDGET)
