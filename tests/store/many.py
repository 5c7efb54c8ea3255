"""A store that has been in use for long: one booked case many times over, under other names."""

import random
from datetime import timedelta

from sqlalchemy import insert, select, update

from intake.domain.job_number import JobNumber
from intake.store import tables as t
from intake.store.chain import event_hash
from intake.store.folding import words_of
from tests.store.samples import NOW, a_case, a_finding, a_practice, book, save_practices

PARTS = ("an", "ber", "cor", "dal", "el", "fen", "gar", "hol", "is", "jon", "kel", "lor", "mar", "nor", "os", "vel")
PRACTICES, BATCH = 300, 5_000
STILL_OPEN = 500
"""The newest cases, whose queries are open and whose tickets wait."""


def a_name(chance):
    return "".join(chance.choices(PARTS, k=chance.choice((2, 2, 3)))).title()


def fill(store, cases, seed=1):
    """Makes an empty store one of so many cases, each with a job, a ticket, a query, words and an event."""
    chance = random.Random(seed)
    names = (f"{a_name(chance)} Dental {a_name(chance)}" for _ in range(PRACTICES))
    save_practices(store, *(a_practice(f"P{n:03}", name) for n, name in enumerate(names)))
    book(store, case=a_case(practice="P000"), findings=[a_finding()], at=NOW - timedelta(minutes=cases))
    with store.engine.begin() as connection:
        pattern = _pattern(connection)
        for first in range(2, cases + 1, BATCH):
            _copy(connection, pattern, range(first, min(first + BATCH, cases + 1)), cases, chance)
        _finish(connection, pattern[t.EventTable], cases)


def _pattern(connection):
    """The rows of the one case; of the events the last, which the copies follow."""
    once = (t.CaseTable, t.JobTable, t.DocumentTable, t.QueryTable)
    rows = {table: connection.execute(select(table.__table__)).one()._asdict() for table in once}
    items = connection.execute(select(t.ItemTable.__table__)).all()
    last = select(t.EventTable.__table__).order_by(t.EventTable.seq.desc()).limit(1)
    event = connection.execute(last).one()._asdict()
    return {**rows, t.ItemTable: items[0]._asdict(), t.EventTable: event}


def _copy(connection, pattern, numbers, cases, chance):
    rows = {
        table: [] for table in (t.CaseTable, t.JobTable, t.DocumentTable, t.QueryTable, t.ItemTable, t.CaseWordTable)
    }
    events = []
    for n in numbers:
        label, reference = f"{a_name(chance)} {a_name(chance)}", str(chance.randrange(10_000, 99_999))
        digits, is_open = JobNumber.make(NOW.year, n).digits, n > cases - STILL_OPEN
        who = {"patient_label": label, "patient_reference": reference, "practice_code": f"P{n * 7 % PRACTICES:03}"}
        hung = {"case_id": n, "job_id": n}
        new = {
            t.CaseTable: who | {"id": n, "token": f"old-{n}", "booked": NOW - timedelta(minutes=cases - n)},
            t.JobTable: {"id": n, "number": digits, "backward": digits[::-1], "case_id": n},
            t.DocumentTable: {"id": n, "job_id": n, "state": "waiting" if is_open else "done"},
            t.QueryTable: hung | {"id": n, "state": "open" if is_open else "answered"},
            t.ItemTable: {"case_id": n},
        }
        for table, changed in new.items():
            rows[table].append(pattern[table] | changed)
        rows[t.CaseWordTable] += [{"case_id": n, "word": word} for word in words_of(label) | words_of(reference)]
        events.append(_next_event(pattern, n))
    for table, values in (*rows.items(), (t.EventTable, events)):
        connection.execute(insert(table), values)


def _next_event(pattern, case_id):
    last = pattern[t.EventTable]
    event = last | {"seq": last["seq"] + 1, "case_id": case_id, "previous": last["hash"]}
    event["hash"] = event_hash(event)
    pattern[t.EventTable] = event
    return event


def _finish(connection, event, cases):
    connection.execute(update(t.ChainHeadTable).values(seq=event["seq"], hash=event["hash"]))
    connection.execute(update(t.CounterTable).values(value=cases))
    if connection.dialect.name == "postgresql":
        for table in ("cases", "jobs", "documents", "queries"):
            connection.exec_driver_sql(f"SELECT setval('{table}_id_seq', {cases})")
    connection.exec_driver_sql("ANALYZE")
