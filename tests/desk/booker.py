"""A desk at work until it is killed: `booker.py PLACE FOLDER NAME`.

It keeps each form half typed, books it, prints its tickets. It says `kept N` and `booked NUMBERS` only once the desk
has said so.
"""

import sys
from itertools import count

from intake.desk.book_in import book
from intake.desk.drafts import keep
from intake.desk.issue import issue_all
from intake.domain.half_typed import HalfTyped
from intake.resources import demo
from intake.store.opening import Store
from tests.desk.desks import day_case, open_desk

place, folder, name = sys.argv[1:]
desk = open_desk(Store.open(place), folder, person=name[:3], name=name)
cases = [day_case(path.stem) for path in sorted(demo("day").glob("*.json"))]
for turn in count():
    keep(desk, HalfTyped(f"{name}-{turn}", {"notes": f"turn {turn} " * 500}))
    print("kept", turn, flush=True)
    booked = book(desk, cases[turn % len(cases)], f"{name}-{turn}")
    print("booked", *(job.number for job in booked.jobs), flush=True)
    issue_all(desk, booked.tickets)
