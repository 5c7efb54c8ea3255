"""A made-up day at the desk, of some sixty cases: files, bags, parcels, tickets, calls, letters and boxes."""

from datetime import datetime, timedelta

from intake.desk.arrivals import dismiss, take_in
from intake.desk.book_in import book, take_back
from intake.desk.hand_over import bring_back, hand_over
from intake.desk.hand_over import take_back as take_move_back
from intake.desk.hygiene import disinfect
from intake.desk.issue import issue_all
from intake.desk.letters import write_to
from intake.desk.parcels import NewContent, settle
from intake.desk.reprint import reprint
from intake.desk.ring_list import ring_list
from intake.desk.tries import note_try
from intake.desk.withdraw import take_up_again, withdraw
from intake.domain.day_counts import count_events
from intake.domain.job_number import read_number
from intake.domain.scan_codes import ScanCode
from intake.resources import demo
from intake.store.tables import EventTable
from tests.desk.desks import day_case, open_desk
from tests.desk.opened import CASE, PART, parcel
from tests.desk.opened import booked as booked_by_form

MORNING = datetime(2026, 11, 25, 8, 5)
TAKEN_IN = 12
"""So many of the day's files are taken in first; the others are typed as they come out of the bag."""
UNREADABLE = 3


class Clock:
    """The lab's wall clock, which the day moves."""

    def __init__(self, at=MORNING):
        self.at = at

    def __call__(self):
        return self.at

    def wait(self, minutes=4):
        self.at += timedelta(minutes=minutes)


def clocked_desk(store, folder, at=MORNING):
    clock = Clock(at)
    return open_desk(store, folder, now=clock), clock


def history(desk):
    return desk.store.read._events(EventTable.seq > 0)


def counts_agree(desk, day=None):
    """The day from the tables, which the events have to give as well."""
    day = day or desk.now().date()
    counts = desk.store.read.day_counts(day)
    assert count_events(history(desk), day) == counts
    return counts


def scan(job, copy=1):
    return ScanCode("ticket", job.number, copy)


def first_bench(desk, job):
    return desk.lab.category_by_id[job.category].route[0].bench


def a_day(desk, clock):
    """Works the day through; gives what was booked."""
    files = sorted(demo("day").glob("*.json"))
    take_in(desk, files[:TAKEN_IN])
    made = []
    for file in files[:60]:
        clock.wait()
        made.append(book(desk, day_case(file.stem), f"form-{file.stem}"))
        if len(made) % 4:
            issue_all(desk, made[-1].tickets)
    _parcels(desk, clock)
    _changes(desk, clock, made)
    _boxes(desk, clock, made)
    _practices(desk, clock)
    return made


def _parcels(desk, clock):
    """One parcel is finished, one is half booked, one held nothing but an advertisement."""
    whole = parcel(desk, CASE, CASE, label="RA 4731 2482 9 GB")
    for at, arrival_id in enumerate(whole.arrivals):
        clock.wait(1)
        booked_by_form(desk, arrival_id, **{"patient.reference": str(30_000 + at)})
    half = parcel(desk, CASE, PART, label="half")
    booked_by_form(desk, half.arrivals[0], **{"patient.reference": "40000"})
    other = parcel(desk, CASE, NewContent("other", note="a calendar"), label="other")
    for content_id in other.contents:
        settle(desk, content_id, "an advertisement")


def _changes(desk, clock, made):
    """What is withdrawn, taken up again, taken back, printed once more, or was no case at all."""
    clock.wait()
    withdraw(desk, made[0].case_id, made[0].version, "sent by mistake")
    version = withdraw(desk, made[1].case_id, made[1].version, "cancelled")
    take_up_again(desk, made[1].case_id, version)
    take_back(desk, made[2])
    reprint(desk, read_number(made[3].jobs[0].number), "lost")
    waiting = desk.store.read.waiting_arrivals()
    if waiting:
        dismiss(desk, waiting[-1].arrival_id)


def _boxes(desk, clock, made):
    """Every other clear job goes to its bench; one comes back with a question, one move was a slip of the hand."""
    over = []
    for booked in made:
        for job in desk.store.read.jobs_of(booked.case_id):
            if job.state != "clear" or int(job.number) % 2:
                continue
            clock.wait(1)
            disinfect(desk, desk.lab.parcels.agents[0].name, desk.lab.parcels.agents[0].minutes, case_id=booked.case_id)
            newest = max(ticket.copy for ticket in desk.store.read.documents_of(job.number))
            answer = hand_over(desk, first_bench(desk, job), scan(job, newest))
            over += [answer] if answer.yes else []
    assert len(over) > 5, "a day without boxes proves nothing"
    clock.wait()
    take_move_back(desk, over[0])
    bring_back(desk, ScanCode("ticket", over[1].number, None), "question", "Which side?")


def _practices(desk, clock):
    """Some practices are rung, some are written to."""
    clock.wait()
    keys = [line.key for line in ring_list(desk) if not line.key.startswith("~") and line.questions]
    for at, key in enumerate(keys[:6]):
        if at % 2:
            note_try(desk, key, "no-answer")
        else:
            write_to(desk, key)
