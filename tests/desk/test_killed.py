"""A desk killed at any moment of booking loses nothing that it said was saved, and leaves nothing half."""

import os
import random
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from intake.desk.drafts import kept
from intake.desk.issue import issue_waiting
from intake.domain.job_number import read_number
from intake.domain.judging import split_into_jobs
from intake.store.backup import check
from intake.store.opening import Store
from tests.desk.desks import enter_practices, open_desk

ROOT = Path(__file__).parents[2]
DESKS = 2
KILLS = {"sqlite": 4, "postgresql": 2}
"""A server keeps what was committed whatever becomes of a desk: there a few are enough."""


def a_desk(place, folder, name):
    """A desk in a process of its own."""
    command = [sys.executable, str(Path(__file__).parent / "booker.py"), place, str(folder), name]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment, cwd=ROOT)


def killed_at_work(desks, chance):
    """Kills each desk after some lines, in the middle of whatever it does; the whole lines that it had said."""
    said = {name: [] for name in desks}
    for name, desk in desks.items():
        said[name] += [desk.stdout.readline() for _ in range(chance.randrange(1, 12))]
        for _ in range(chance.randrange(300_000)):
            pass  # some part of a booking, or of a printing, passes
        desk.kill()
    for name, desk in desks.items():
        said[name] += desk.stdout.readlines()
        desk.wait()
        desk.stdout.close()
    return {name: [line.split() for line in lines if line.endswith("\n")] for name, lines in said.items()}


def not_whole(store, case_id):
    """What of a case is not as its prescription says; empty where all of it is there."""
    row = store.read.case(case_id)
    jobs = store.read.jobs_of(case_id)
    desk_lab = open_desk(store, ".").lab
    documents = [document for job in jobs for document in store.read.documents_of(job.number)]
    verdict = open_desk(store, ".").judge(row.case)
    events = Counter(event.kind for event in store.read.history(case_id))
    parts = {
        "jobs": [job.category for job in jobs] == [category.id for category, _ in split_into_jobs(row.case, desk_lab)],
        "tickets": len(documents) == len(jobs),
        "drawn tickets": all(bool(store.read.pdf(d.document_id)) is (d.state != "waiting") for d in documents),
        "queries": len(store.read.queries_of(case_id)) == sum(f.level != "warns" for f in verdict.findings),
        "items": _items(store, case_id) == len(row.case.items),
        "booked once": events["case-booked"] == 1,
        "drawn and sent": events["ticket-drawn"] >= events["ticket-sent"] >= sum(d.state == "sent" for d in documents),
    }
    return [part for part, whole in parts.items() if not whole]


def _items(store, case_id):
    with store.engine.connect() as connection:
        return connection.exec_driver_sql(f"SELECT count(*) FROM items WHERE case_id = {int(case_id)}").scalar()  # noqa: S608


def cases_of(store):
    with store.engine.connect() as connection:
        return connection.exec_driver_sql("SELECT id FROM cases ORDER BY id").scalars().all()


@pytest.mark.slow
@pytest.mark.timeout(900)
def test_a_killed_desk_loses_nothing_that_it_said_was_saved_and_leaves_nothing_half(place, tmp_path, request, often):
    chance, numbers, drafts = random.Random(25112026), [], {}
    store = Store.open(place)
    enter_practices(store)
    kills = often(KILLS[request.node.callspec.params["place"]])
    for round_ in range(kills // DESKS):
        names = [f"{round_}-{desk}" for desk in range(DESKS)]
        for name, lines in killed_at_work({name: a_desk(place, tmp_path, name) for name in names}, chance).items():
            numbers += [number for line in lines if line[0] == "booked" for number in line[1:]]
            drafts[name] = max(int(line[1]) for line in lines if line[0] == "kept")

    found = check(store)
    assert found.problems == ()
    with store.engine.connect() as connection:
        there = connection.exec_driver_sql("SELECT number FROM jobs").scalars().all()
    assert len(numbers) > kills
    assert len(set(numbers)) == len(numbers)
    assert set(numbers) <= set(there)
    assert sorted(read_number(number).running for number in there) == list(range(1, len(there) + 1))
    assert {case: parts for case in cases_of(store) if (parts := not_whole(store, case))} == {}

    for name, turn in drafts.items():
        half = kept(open_desk(store, tmp_path, name=name))
        later = int(half.token.rpartition("-")[2])
        assert later in (turn, turn + 1)
        assert half.typed == {"notes": f"turn {later} " * 500}

    assert all(path.read_bytes().endswith(b"%%EOF\n") for path in (tmp_path / "printed").glob("*.pdf"))
    issue_waiting(open_desk(store, tmp_path))
    assert store.read.documents_waiting() == ()
    store.close()
