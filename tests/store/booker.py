"""A desk that books until it is killed: prints a case's numbers only after the commit. `booker.py PLACE DESK`."""

import sys
from itertools import count

from intake.store.opening import Store
from tests.store.samples import NAMES, NOW, a_case, a_finding, a_verdict

store = Store.open(sys.argv[1])
for turn in count():
    with store.work(sys.argv[2], NOW) as work:
        categories = ("splints", "retainers")[: 1 + turn % 2]
        verdict = a_verdict(*categories, findings=[a_finding("bite-record", "stops")])
        token = f"{sys.argv[2]}-{turn}"
        booked = work.cases.book(a_case(*categories), verdict, token=token, names=NAMES)
        work.documents.keep_pdf(booked.jobs[0].document_id, b"%PDF" * 5000)
        work.commit()
    print(*(job.number for job in booked.jobs), flush=True)
