"""A desk that asks and takes answers down until it is killed: prints each answer only after its commit.

`answerer.py PLACE DESK`.
"""

import sys
from itertools import count

from intake.store.opening import Store
from tests.store.samples import NAMES, NOW, OSTERBY, a_case, a_finding, a_token, a_verdict, an_answer

STOPS, ASKS = a_finding("bite-record", "stops"), a_finding("thickness")

store = Store.open(sys.argv[1])
for _turn in count():
    with store.work(sys.argv[2], NOW) as work:
        asked = a_verdict(findings=[STOPS, ASKS])
        booked = work.cases.book(a_case(), asked, token=f"{sys.argv[2]}-{a_token()}", names=NAMES)
        work.commit()
    first, second = (query.query_id for query in store.read.queries_of(booked.case_id))
    with store.work(sys.argv[2], NOW) as work:
        work.documents.add_letter([first, second])
        work.calls.attempt(key="~MILL", name="MILL", outcome="spoke", telephone="", case_ids=[booked.case_id])
        promised = work.answers.add(first, an_answer("promise"), OSTERBY, counts=True, spoken=False)
        said = work.answers.add(second, an_answer(), OSTERBY, counts=True, spoken=True)
        left = a_verdict(findings=[STOPS])
        work.cases.amend(booked.case_id, booked.version, a_case(shade="A3"), left, names=NAMES, answered=[second])
        work.commit()
    print(promised, said, flush=True)
