"""A store that has been in use for long: one booked case many times over, under other names.

The newest cases wait on their practices: most were asked in a letter, many practices were rung, some have promised.
"""

import random
from datetime import timedelta

from sqlalchemy import insert, select, update

from intake.domain.answer import Answer, Promise, Speaker
from intake.domain.job_number import JobNumber
from intake.store import tables as t
from intake.store import waiting_tables as w
from intake.store.chain import event_hash
from intake.store.folding import words_of
from tests.store.samples import NOW, a_case, a_finding, a_practice, book, save_practices

PARTS = ("an", "ber", "cor", "dal", "el", "fen", "gar", "hol", "is", "jon", "kel", "lor", "mar", "nor", "os", "vel")
PRACTICES, BATCH = 600, 5_000
UNPRINTED = 500
"""The newest cases, whose tickets wait."""
OPEN = 5_000
"""The newest cases, whose queries are open."""
IN_A_LETTER = 5
"""Queries that one letter asks."""
PROMISED, SPOKEN = 10, 25
"""Of so many open queries one is promised; of so many answered ones of the last weeks one waits to be confirmed."""
CALLS = 6
"""Tries to reach each practice."""
OUTCOMES = ("no-answer", "engaged", "message-left", "spoke")
SPEAKER = Speaker(name="Ms Osterby", authority="on-behalf", route="telephone")
POSTED = Promise(by=(NOW + timedelta(days=1)).date(), way="post", items=("bite-record",))
PROMISE = Answer(kind="promise", says="in tonight’s post", written="tonight", promise=POSTED)
MEASURE = Answer(kind="value", says="2 mm", written="2", sets=(("appliances[0].options.thickness_mm", "2"),))


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
        letters = _letters(connection, pattern, cases)
        _answers(connection, cases)
        _calls(connection, chance)
        _finish(connection, pattern[t.EventTable], cases, letters)


def code_of(case_id):
    """The practice of a case."""
    return f"P{case_id * 7 % PRACTICES:03}"


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
        digits, booked = JobNumber.make(NOW.year, n).digits, NOW - timedelta(minutes=cases - n)
        who = {"patient_label": label, "patient_reference": reference, "practice_code": code_of(n)}
        hung = {"case_id": n, "job_id": n}
        new = {
            t.CaseTable: who | {"id": n, "token": f"old-{n}", "booked": booked},
            t.JobTable: {"id": n, "number": digits, "backward": digits[::-1], "case_id": n},
            t.DocumentTable: {"id": n, "job_id": n, "state": "waiting" if n > cases - UNPRINTED else "done"},
            t.QueryTable: hung | _query(n, cases) | {"opened": booked},
            t.ItemTable: {"case_id": n},
        }
        for table, changed in new.items():
            rows[table].append(pattern[table] | changed)
        rows[t.CaseWordTable] += [{"case_id": n, "word": word} for word in words_of(label) | words_of(reference)]
        events.append(_next_event(pattern, n))
    for table, values in (*rows.items(), (t.EventTable, events)):
        connection.execute(insert(table), values)


def _query(n, cases):
    """A query's state, and what is promised."""
    is_open = n > cases - OPEN
    promised = is_open and n % PROMISED == 0
    return {
        "id": n,
        "state": "open" if is_open else "answered",
        "expected_on": POSTED.by if promised else None,
        "expected": PROMISE.says if promised else None,
        "promise": POSTED if promised else None,
    }


def _letters(connection, pattern, cases):
    """Letters for all but the newest queries of each practice, a few in each; the last letter's id."""
    asked = {}
    for n in range(1, cases - OPEN // 3):
        asked.setdefault(code_of(n), []).append(n)
    letters, of_query = [], {}
    for code, queries in asked.items():
        for first in range(0, len(queries), IN_A_LETTER):
            letter = cases + 1 + len(letters)
            of_query |= dict.fromkeys(queries[first : first + IN_A_LETTER], letter)
            made = {"id": letter, "kind": "letter", "job_id": None, "state": "done", "practice_code": code}
            written = NOW - timedelta(minutes=cases - queries[first])
            letters.append(pattern[t.DocumentTable] | made | {"practice_name": code, "created": written})
    connection.execute(insert(t.DocumentTable), letters)
    rows = [{"letter_id": letter, "query_id": query, "reminder": 0} for query, letter in of_query.items()]
    connection.execute(insert(w.LetterQueryTable), rows)
    newest = select(w.LetterQueryTable.letter_id).where(w.LetterQueryTable.query_id == t.QueryTable.id)
    asks = t.QueryTable.__table__.update().where(t.QueryTable.id.in_(select(w.LetterQueryTable.query_id)))
    connection.execute(asks.values(letter_id=newest.scalar_subquery(), letters=1))
    return cases + len(letters)


def _answers(connection, cases):
    """Promises for what is expected, and answers to most of what is answered."""
    promised = [_answer(n, PROMISE, False) for n in range(cases - OPEN + 1, cases + 1) if n % PROMISED == 0]
    recent = range(max(1, cases - 2 * OPEN), cases - OPEN + 1)
    answered = [_answer(n, MEASURE, n % SPOKEN == 0 and n in recent) for n in range(1, cases - OPEN + 1)]
    connection.execute(insert(w.AnswerTable), answered + promised)


def _answer(n, answer, spoken):
    said = {"query_id": n, "case_id": n, "at": NOW, "who": "AB", "kind": answer.kind, "says": answer.says}
    said |= {"written": answer.written, "answer": answer, "speaker": SPEAKER.name, "authority": SPEAKER.authority}
    said |= {"route": SPEAKER.route, "counts": True, "spoken": spoken, "confirmed_how": "", "taken_back": False}
    return said


def _calls(connection, chance):
    rows = [
        {
            "practice_key": f"P{n:03}",
            "practice_name": "A practice",
            "at": NOW - timedelta(minutes=60 * turn + chance.randrange(60)),
            "who": "AB",
            "outcome": chance.choice(OUTCOMES),
            "telephone": "01632 960000",
            "note": "",
        }
        for turn in reversed(range(CALLS))
        for n in range(PRACTICES)
    ]
    connection.execute(insert(w.AttemptTable), rows)


def _next_event(pattern, case_id):
    last = pattern[t.EventTable]
    event = last | {"seq": last["seq"] + 1, "case_id": case_id, "previous": last["hash"]}
    event["hash"] = event_hash(event)
    pattern[t.EventTable] = event
    return event


def _finish(connection, event, cases, letters):
    connection.execute(update(t.ChainHeadTable).values(seq=event["seq"], hash=event["hash"]))
    connection.execute(update(t.CounterTable).values(value=cases))
    if connection.dialect.name == "postgresql":
        for table, last in (("cases", cases), ("jobs", cases), ("documents", letters), ("queries", cases)):
            connection.exec_driver_sql(f"SELECT setval('{table}_id_seq', {last})")
    connection.exec_driver_sql("ANALYZE")
