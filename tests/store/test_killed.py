"""A desk killed at any moment loses no case that was said saved, and leaves no half one."""

import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

from intake.domain.job_number import read_number
from intake.store.chain import Head
from intake.store.opening import Store

ROOT = Path(__file__).parents[2]
KILLS, DESKS = 4, 2


def a_desk(place, name, does="booker.py"):
    """A desk in a process of its own."""
    command = [sys.executable, str(Path(__file__).parent / does), place, name]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment, cwd=ROOT)


def killed_at_work(desks, chance):
    """Kills each desk after some bookings, in the middle of whatever it does; what they had said."""
    said = []
    for desk in desks:
        said += [desk.stdout.readline() for _ in range(chance.randrange(1, 9))]
        for _ in range(chance.randrange(200_000)):
            pass  # some part of a booking passes
        desk.kill()
    for desk in desks:
        said += desk.stdout.readlines()
        desk.wait()
        desk.stdout.close()
    return [number for line in said if line.endswith("\n") for number in line.split()]


WHOLE = {
    "SELECT count(*) FROM items WHERE case_id = cases.id": 3,
    "SELECT count(*) FROM queries WHERE case_id = cases.id": 1,
    "SELECT count(*) FROM events WHERE case_id = cases.id": 2,
    "SELECT count(*) > 0 FROM case_words WHERE case_id = cases.id": True,
    "SELECT count(*) > 0 FROM jobs WHERE case_id = cases.id": True,
    "SELECT count(*) FROM jobs JOIN document_files ON case_id = cases.id AND document_id = "
    "(SELECT id FROM documents WHERE job_id = jobs.id)": 1,
    "SELECT count(*) FROM jobs WHERE case_id = cases.id AND id NOT IN "
    "(SELECT job_id FROM documents WHERE job_id IS NOT NULL)": 0,
}
"""What hangs on every case that is there at all."""


ANSWERED = {
    "SELECT count(*) FROM answers WHERE case_id = cases.id": 2,
    "SELECT count(*) FROM queries WHERE case_id = cases.id AND state = 'answered'": 1,
    "SELECT count(*) FROM queries WHERE case_id = cases.id AND state = 'open' AND expected_on IS NOT NULL": 1,
    "SELECT count(*) FROM letter_queries JOIN queries ON queries.id = query_id WHERE case_id = cases.id": 2,
    "SELECT count(*) FROM queries WHERE case_id = cases.id AND letters = 1 AND letter_id IS NOT NULL": 2,
    "SELECT count(*) FROM events WHERE case_id = cases.id AND kind = 'practice-rung'": 1,
    "SELECT count(*) FROM events WHERE case_id = cases.id AND kind = 'query-answered'": 2,
    "SELECT count(*) FROM events WHERE case_id = cases.id": 6,
}
"""What hangs on every case that anything was answered about."""


def kept_by(store, column="number", table="jobs", whole=WHOLE, of="SELECT id FROM cases"):
    """What a store has kept, and every count by which its cases are not whole."""
    cases = f"FROM cases WHERE id IN ({of})"
    with store.engine.connect() as connection:
        kept = connection.exec_driver_sql(f"SELECT {column} FROM {table}").scalars().all()  # noqa: S608 - names of a test
        found = {part: connection.exec_driver_sql(f"SELECT DISTINCT ({part}) {cases}") for part in whole}
        return kept, {part: counts for part, rows in found.items() if (counts := rows.scalars().all()) != [whole[part]]}


@pytest.mark.slow
@pytest.mark.timeout(900)
def test_a_killed_desk_loses_nothing_that_it_said_was_saved_and_leaves_nothing_half(place, often):
    chance, said = random.Random(2026), []
    for round_ in range(often(KILLS) // DESKS):
        said += killed_at_work([a_desk(place, f"{round_}-{desk}") for desk in range(DESKS)], chance)
    store = Store.open(place)
    kept, half = kept_by(store)
    assert len(said) >= KILLS
    assert len(set(said)) == len(said)
    assert set(said) <= set(kept)
    assert half == {}
    assert sorted(read_number(number).running for number in kept) == list(range(1, len(kept) + 1))
    assert isinstance(store.verify_chain(), Head)
    store.close()


@pytest.mark.slow
@pytest.mark.timeout(900)
def test_a_killed_desk_loses_no_answer_that_it_said_was_taken_down_and_leaves_none_half(place, often):
    chance, said = random.Random(2027), []
    for round_ in range(often(KILLS) // DESKS):
        desks = [a_desk(place, f"{round_}-{desk}", "answerer.py") for desk in range(DESKS)]
        said += killed_at_work(desks, chance)
    store = Store.open(place)
    kept, half = kept_by(store, "id", "answers", ANSWERED, "SELECT case_id FROM answers")
    assert len(said) >= KILLS
    assert {int(answer) for answer in said} <= set(kept)
    assert half == {}
    assert len(store.read.spoken()) == len(kept) // 2 == len(store.read.expected())
    assert isinstance(store.verify_chain(), Head)
    store.close()
