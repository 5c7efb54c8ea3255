"""A day's numbers from the events alone: held against a small model of reception that keeps the state itself."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from intake.domain.day_counts import count_events
from intake.domain.day_figures import UNSENT, Came, Made, Share, Standing, day_counts

DAY = date(2026, 11, 25)
BEGIN = datetime(2026, 11, 24, 20)
CATEGORIES = ("Splints", "Retainers", "Whitening")
STREAMS = ("post", "scan")


@dataclass
class Event:
    """An event in the words of the history."""

    at: datetime
    kind: str
    case_id: int | None = None
    job: str | None = None
    arrival_id: int | None = None
    details: dict = field(default_factory=dict)


@dataclass
class Job:
    case: "Case"
    number: str
    category: str
    state: str
    before: str = ""
    left_out: bool = False
    tickets: list = field(default_factory=lambda: ["waiting"])
    moves: dict = field(default_factory=dict)


@dataclass
class Case:
    case_id: int
    stream: str
    booked: datetime
    stands: bool = True
    brought: bool = False
    jobs: list = field(default_factory=list)


@dataclass
class Arrival:
    arrival_id: int
    stream: str
    at: datetime
    state: str = "waiting"


class Reception:
    """Does what a desk does, keeps how everything stands, and writes the events that the store would."""

    def __init__(self):
        self.now, self.events = BEGIN, []
        self.arrivals, self.cases, self.letters, self.parcels, self.moves = [], [], [], [], 0

    def wait(self, minutes):
        self.now += timedelta(minutes=minutes)

    def tell(self, kind, **said):
        self.events.append(Event(self.now, kind, **said))

    def arrive(self, choice):
        arrival = Arrival(len(self.arrivals) + 1, STREAMS[choice % 2], self.now)
        self.arrivals.append(arrival)
        changes = {"arrived": [None, self.now.isoformat()], "stream": [None, arrival.stream]}
        changes["state"] = [None, "waiting"]
        self.tell("arrival-added", arrival_id=arrival.arrival_id, details={"changes": changes})

    def dismiss(self, choice):
        self._set_arrival(choice, "waiting", "dismissed")

    def bring_back(self, choice):
        self._set_arrival(choice, "dismissed", "waiting")

    def _set_arrival(self, choice, before, state):
        if arrival := self.pick(self.arrivals, choice, lambda each: each.state == before):
            arrival.state = state
            details = {"changes": {"state": [before, state]}}
            self.tell(f"arrival-{state}", arrival_id=arrival.arrival_id, details=details)

    def book(self, choice):
        """Books what waits longest, or a bag that nobody logged as an arrival."""
        arrival = self.pick(self.arrivals, 0, lambda each: each.state == "waiting") if choice % 3 else None
        stream = arrival.stream if arrival else STREAMS[choice % 2]
        case = Case(len(self.cases) + 1, stream, self.now, brought=arrival is not None)
        self.cases.append(case)
        told = {}
        for category in CATEGORIES[: 1 + choice % 2]:
            state = ("clear", "held")[choice // 2 % 2]
            job = Job(case, f"26{case.case_id:04}{len(case.jobs)}", category, state)
            case.jobs.append(job)
            told[job.number] = {"state": [None, state], "category_name": [None, category]}
        items = {"items[0].item": [None, "scan" if stream == "scan" else "impression"]}
        self.tell("case-booked", case_id=case.case_id, details={"changes": items, "jobs": told})
        if arrival:
            arrival.state = "booked"
            changes = {"state": ["waiting", "booked"], "case_id": [None, case.case_id]}
            self.tell("arrival-booked", arrival_id=arrival.arrival_id, details={"changes": changes})

    def answer(self, choice):
        self._judge_anew(choice, "held", "clear")

    def ask(self, choice):
        self._judge_anew(choice, "clear", "held")

    def _judge_anew(self, choice, before, state):
        if job := self.pick(self.jobs, choice, lambda each: each.state == before and each.case.stands):
            job.state = state
            details = {"changes": {}, "jobs": {job.number: {"state": [before, state]}}}
            self.tell("case-amended", case_id=job.case.case_id, details=details)

    def leave_out(self, choice):
        """An appliance is taken off a prescription, and its job with it; what it was is remembered nowhere."""
        if job := self.pick(self.jobs, choice, lambda each: each.state in ("held", "clear") and each.case.stands):
            before, job.state = job.state, "withdrawn"
            job.left_out = True
            job.tickets = ["cancelled" if state in UNSENT else state for state in job.tickets]
            details = {"changes": {}, "jobs": {job.number: {"state": [before, "withdrawn"]}}}
            self.tell("case-amended", case_id=job.case.case_id, details=details)

    def put_in_again(self, choice):
        if job := self.pick(self.jobs, choice, lambda each: each.left_out and each.case.stands):
            job.state, job.left_out = "held", False
            if job.tickets[-1] == "cancelled":
                job.tickets[-1] = "waiting"
            details = {"changes": {}, "jobs": {job.number: {"state": ["withdrawn", "held"]}}}
            self.tell("case-amended", case_id=job.case.case_id, details=details)

    def withdraw(self, choice):
        if case := self.pick(self.cases, choice, lambda each: each.stands):
            case.stands = False
            jobs = [job for job in case.jobs if job.state in ("held", "clear")]
            for job in jobs:
                job.before, job.state = job.state, "withdrawn"
                job.tickets = ["cancelled" if state in UNSENT else state for state in job.tickets]
            self.tell("case-withdrawn", case_id=case.case_id, details={"jobs": [job.number for job in jobs]})

    def take_up_again(self, choice):
        if case := self.pick(self.cases, choice, lambda each: not each.stands):
            case.stands = True
            jobs = [job for job in case.jobs if job.state == "withdrawn" and not job.left_out]
            for job in jobs:
                job.state = job.before
                if job.tickets[-1] == "cancelled":
                    job.tickets[-1] = "waiting"
            self.tell("case-reinstated", case_id=case.case_id, details={"jobs": [job.number for job in jobs]})

    def print_ticket(self, choice):
        if job := self.pick(self.jobs, choice, lambda each: each.tickets[-1] in UNSENT):
            state = ("sent", "failed")[choice % 2]
            job.tickets[-1] = state
            details = {"copy": len(job.tickets), "state": ["drawn", state]}
            self.tell(f"ticket-{state}", case_id=job.case.case_id, job=job.number, details=details)

    def copy(self, choice):
        if job := self.pick(self.jobs, choice, lambda each: each.state != "withdrawn"):
            job.tickets = ["cancelled" if state in UNSENT else state for state in job.tickets] + ["waiting"]
            details = {"copy": len(job.tickets), "cancelled": []}
            self.tell("ticket-copied", case_id=job.case.case_id, job=job.number, details=details)

    def write(self, choice):
        if case := self.pick(self.cases, choice, lambda each: each.stands):
            self.letters.append("waiting")
            self.tell("letter-added", case_id=case.case_id, details={"document": len(self.letters)})

    def send(self, choice):
        waiting = [at for at, state in enumerate(self.letters) if state in UNSENT]
        if waiting:
            at, state = waiting[choice % len(waiting)], ("sent", "failed", "cancelled")[choice % 3]
            self.letters[at] = state
            self.tell(f"letter-{state}", details={"document": at + 1, "state": ["waiting", state]})

    def hand_over(self, choice):
        if job := self.pick(self.jobs, choice, lambda each: each.state == "clear" and each.case.stands):
            self.moves += 1
            job.state, job.moves[self.moves] = "gone", self.now
            details = {"move": self.moves, "bench": "Casting", "state": ["clear", "gone"]}
            self.tell("job-handed-over", case_id=job.case.case_id, job=job.number, details=details)

    def take_hand_over_back(self, choice):
        if job := self.pick(self.jobs, choice, lambda each: each.state == "gone"):
            move = max(job.moves)
            del job.moves[move]
            job.state = "clear"
            details = {"move": move, "kind": "handed-over", "state": ["gone", "clear"]}
            self.tell("move-taken-back", case_id=job.case.case_id, job=job.number, details=details)

    def bring_box_back(self, choice):
        """A box comes back to reception: it was handed over all the same."""
        if job := self.pick(self.jobs, choice, lambda each: each.state == "gone"):
            self.moves += 1
            job.state = "held"
            details = {"move": self.moves, "bench": "Casting", "state": ["gone", "held"]}
            self.tell("job-back", case_id=job.case.case_id, job=job.number, details=details)

    def open_parcel(self, choice):
        self.parcels.append("open")
        changes = {"state": [None, "open"]}
        self.tell("parcel-opened", details={"parcel": len(self.parcels), "changes": changes})

    def finish_parcel(self, choice):
        waiting = [at for at, state in enumerate(self.parcels) if state == "open"]
        if waiting:
            at = waiting[choice % len(waiting)]
            self.parcels[at] = ("done", "refused", "stopped")[choice % 3]
            state = self.parcels[at]
            changes = {} if state == "done" else {"changes": {"state": ["open", state]}}
            self.tell(f"parcel-{state}", details={"parcel": at + 1} | changes)

    @property
    def jobs(self):
        return [job for case in self.cases for job in case.jobs]

    @staticmethod
    def pick(rows, choice, fits):
        found = [row for row in rows if fits(row)]
        return found[choice % len(found)] if found else None

    def counts(self, day):
        """The day by what is kept, and not by the events."""
        booked = [case for case in self.cases if case.stands and case.booked.date() == day]
        came = [Came(a.stream, a.at.hour) for a in self.arrivals if a.state != "dismissed" and a.at.date() == day]
        came += [Came(case.stream, case.booked.hour) for case in booked if not case.brought]
        handed = []
        for job in self.jobs:
            hours = [at for at in job.moves.values() if at.date() == day]
            handed += [Made(job.case.stream, job.category, min(hours).hour, "gone")] if hours else []
        stand = [job for case in booked for job in case.jobs if job.state != "withdrawn"]
        made = [Made(job.case.stream, job.category, job.case.booked.hour, job.state) for job in stand]
        standing = Standing(
            arrivals=sum(arrival.state == "waiting" for arrival in self.arrivals),
            parcels=sum(state in ("open", "stopped") for state in self.parcels),
            held=sum(job.state == "held" for job in self.jobs),
            tickets=sum(state in UNSENT for job in self.jobs for state in job.tickets),
            letters=sum(state in UNSENT for state in self.letters),
        )
        return day_counts(day, came, [Came(case.stream, case.booked.hour) for case in booked], made, handed, standing)


ACTS = [
    name
    for name in vars(Reception)
    if not name.startswith("_") and name not in ("wait", "tell", "jobs", "pick", "counts")
]
OFTEN = ("arrive", "book", "book", "hand_over", "hand_over", "answer", "bring_box_back")
"""What makes something to act on: without it most steps would find nothing."""
STEPS = st.lists(
    st.tuples(st.sampled_from((*ACTS, *OFTEN)), st.integers(0, 30), st.integers(0, 25)), min_size=60, max_size=160
)


@given(STEPS)
def test_whatever_happens_the_events_alone_give_the_numbers_of_the_day(steps):
    reception = Reception()
    for act, choice, minutes in steps:
        getattr(reception, act)(choice)
        reception.wait(minutes)
    for day in (DAY - timedelta(days=1), DAY, DAY + timedelta(days=1)):
        assert count_events(reception.events, day) == reception.counts(day)


@given(STEPS)
def test_the_shares_of_a_day_add_up_to_the_whole(steps):
    reception = Reception()
    for act, choice, minutes in steps:
        getattr(reception, act)(choice)
        reception.wait(minutes)
    counts = count_events(reception.events, DAY)
    assert sum((share for _, share in counts.streams), Share()) == counts.whole
    assert sum(counts.hours, Share()) == counts.whole
    of_categories = sum((share for _, share in counts.categories), Share())
    assert (of_categories.jobs, of_categories.handed_over) == (counts.whole.jobs, counts.whole.handed_over)
    assert counts.whole.jobs == counts.whole.clear + counts.whole.held + counts.whole.gone


def a_booking(*, arrived=None, at=datetime(2026, 11, 25, 9), item="impression", source=None):
    changes = {"items[0].item": [None, item]}
    changes |= {"arrived": [None, arrived.isoformat()]} if arrived else {}
    changes |= {"items[0].source": [None, source]} if source else {}
    jobs = {"2600000123": {"state": [None, "clear"], "category_name": [None, "Splints"]}}
    return Event(at, "case-booked", 1, details={"changes": changes, "jobs": jobs})


def test_a_case_without_an_arrival_arrived_when_its_prescription_says():
    counts = count_events([a_booking(arrived=datetime(2026, 11, 24, 16))], DAY)
    assert (counts.whole.arrived, counts.whole.booked) == (0, 1)
    assert count_events([a_booking(arrived=datetime(2026, 11, 24, 16))], date(2026, 11, 24)).hours[16].arrived == 1


def test_a_part_that_joins_a_case_later_is_an_arrival_more():
    joined = Event(
        datetime(2026, 11, 25, 14),
        "arrival-added",
        arrival_id=7,
        details={
            "changes": {
                "arrived": [None, "2026-11-25T13:50:00"],
                "stream": [None, "post"],
                "state": [None, "booked"],
                "case_id": [None, 1],
            }
        },
    )
    assert count_events([a_booking(), joined], DAY).whole.arrived == 2


def test_a_case_that_is_split_off_was_brought_by_nobody():
    made = Event(datetime(2026, 11, 25, 10), "case-split", 1, details={"is_new": True, "link_kind": "split"})
    back = Event(datetime(2026, 11, 25, 11), "link-taken-back", 1, details={"is_new": True, "link_kind": "split"})
    assert count_events([a_booking(), made], DAY).whole == Share(booked=1, jobs=1, clear=1)
    assert count_events([a_booking(), made, back], DAY).whole.arrived == 1


def test_what_is_scanned_and_what_is_held_in_the_hand_are_told_apart_as_the_case_does():
    streams = [
        ("impression", None, "post"),
        ("scan", None, "scan"),
        ("bite-record", "scan", "post"),
        ("photo", None, "post"),
    ]
    for item, source, stream in streams:
        counts = dict(count_events([a_booking(item=item, source=source)], DAY).streams)
        assert counts[stream].booked == 1, (item, source)


def test_a_kind_of_event_that_is_not_known_changes_no_number():
    odd = Event(datetime(2026, 11, 25, 10), "practice-rung", 1, details={"outcome": "spoke"})
    assert count_events([a_booking(), odd], DAY) == count_events([a_booking()], DAY)
