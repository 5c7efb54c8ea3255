"""A day of a thousand cases: half of them in parcels, half scans, from the prescriptions of the demo's day."""

import json
import random
from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from intake.desk.arrivals import take_in_content
from intake.desk.book_in import book, book_arrival
from intake.desk.hand_over import hand_over
from intake.desk.hygiene import disinfect
from intake.desk.issue import issue_all
from intake.desk.letters import write_due
from intake.desk.parcels import NewContent, NewParcel, open_parcel, refuse
from intake.domain.judging import judge
from intake.domain.reading import find_practice, read_case
from intake.domain.scan_codes import ScanCode
from intake.invented_lab import day_files
from intake.morning_post import with_the_parcels_facts
from tests.desk.desks import demo_lab, demo_practices

BEGINS = datetime(2026, 11, 25, 7, 30)
HELD_OF_TEN = 1
"""So many of ten prescriptions lack something that keeps them from the bench."""
TWO_IN_A_PARCEL = 5
"""Every so-manieth parcel has two cases in it, and as often one has nothing, or is refused."""
PRINTED = 10
"""Every so-manieth ticket is printed: for the others the printer is out of order, and they wait in the evening."""
FOR_THE_GUN = 6
"""Jobs that are handed over in the window."""


@dataclass
class Clock:
    """The lab's wall clock, which the day moves on."""

    at: datetime = BEGINS

    def now(self):
        return self.at

    def goes_on(self, **by):
        self.at += timedelta(**by)


@dataclass
class Done:
    """What the day itself knows of what it did, to be held against what is counted."""

    parcels: int = 0
    arrived: Counter = field(default_factory=Counter)
    """Arrivals by stream."""
    cases: Counter = field(default_factory=Counter)
    """Cases by stream."""
    jobs: dict[str, str] = field(default_factory=dict)
    """The state of each job by its number when it was booked."""
    handed_over: list[str] = field(default_factory=list)
    for_the_gun: list[str] = field(default_factory=list)
    unprinted: int = 0
    refused: Counter = field(default_factory=Counter)
    """Why boxes did not go to their bench."""


def prescriptions(count, seed=7):
    """So many prescriptions of each stream, each of a patient of its own: most of them complete."""
    chance, lab, practices = random.Random(seed), demo_lab(), demo_practices()
    named = [read_case(path.read_bytes(), lab, practices) for path in day_files() if path.parent.name == "day"]
    named = [case for case in named if isinstance(case.practice, str) and find_practice(case.practice, practices)]
    state = {id(case): judge(case, lab, find_practice(case.practice, practices), BEGINS).state for case in named}
    streams = {}
    for stream in ("post", "scan"):
        of_stream = [case for case in named if case.stream == stream]
        sorts = {sort: [case for case in of_stream if state[id(case)] == sort] for sort in ("held", "clear")}
        drawn = [chance.choice(sorts["held" if chance.random() * 10 < HELD_OF_TEN else "clear"]) for _ in range(count)]
        streams[stream] = [_of_somebody(case, f"{stream[0].upper()}-{n:05}", chance) for n, case in enumerate(drawn)]
    return streams


def _of_somebody(case, reference, chance):
    initials = ".".join(chance.sample("ABCDEFGHJKLMNOPRSTVW", 2)) + "."
    patient = case.patient.model_copy(update={"label": initials, "reference": reference})
    return case.model_copy(update={"patient": patient, "arrived": None, "posted": None})


def open_the_post(desk, clock, done, cases):
    """Opens parcels until all the cases are booked; what is not declared disinfected is disinfected."""
    waiting = list(cases)
    while waiting:
        done.parcels += 1
        clock.goes_on(seconds=20)
        first = waiting.pop()
        bags = [first]
        if done.parcels % TWO_IN_A_PARCEL == 0:
            bags += [waiting.pop() for other in waiting[-1:] if other.practice == first.practice]
        declared = first.hygiene == "disinfected"
        contents = tuple(NewContent("case", found=case.patient.label) for case in bags)
        if done.parcels % TWO_IN_A_PARCEL == 1:
            contents += (NewContent("nothing", reason="an empty bag"),)
        opened = open_parcel(
            desk,
            NewParcel(
                label=f"TR-{done.parcels:06}",
                practice=first.practice,
                hygiene="declared" if declared else "not-declared",
                seen=("dry",),
                contents=contents,
            ),
        )
        if not declared:
            disinfect(desk, "Sodium hypochlorite 0.5 %", 10, parcel_id=opened.parcel_id)
        for arrival_id, case in zip(opened.arrivals, bags, strict=True):
            done.arrived["post"] += 1
            told = with_the_parcels_facts(desk, arrival_id, case)
            _booked(desk, done, "post", book(desk, told, f"parcel-{arrival_id}", arrival_id))


def take_the_scans_in(desk, clock, done, cases):
    """Takes prescriptions of scans in as files and books them."""
    for case in cases:
        clock.goes_on(seconds=20)
        content = json.dumps(case.model_dump(mode="json", exclude_none=True)).encode()
        taken = take_in_content(desk, content, f"{case.patient.reference}.json")
        done.arrived["scan"] += 1
        _booked(desk, done, "scan", book_arrival(desk, taken.arrival_id))


def _booked(desk, done, stream, booked):
    done.cases[stream] += 1
    done.jobs |= {job.number: job.state for job in booked.jobs}
    if done.cases.total() % PRINTED:
        done.unprinted += len(booked.tickets)
    else:
        assert all(issued.sent for issued in issue_all(desk, booked.tickets))


def hand_boxes_over(desk, clock, done):
    """Hands every clear job over to the first bench of its route, but for the few that the gun has in the window."""
    clear = [number for number, state in done.jobs.items() if state == "clear"]
    done.for_the_gun, rest = clear[:FOR_THE_GUN], clear[FOR_THE_GUN:]
    for number in rest:
        clock.goes_on(seconds=1)
        job = desk.store.read.job(number)
        bench = desk.lab.category_by_id[job.category].route[0].bench
        answer = hand_over(desk, bench, ScanCode("ticket", number, copy=job.copy))
        if answer.yes:
            done.handed_over.append(number)
        else:
            done.refused[answer.why] += 1


def write_the_letters(desk, clock):
    """Asks every practice in writing for what is missing."""
    clock.goes_on(minutes=30)
    assert all(issued.sent for issued in write_due(desk))


def leave_a_parcel_open_and_refuse_another(desk, done):
    """Two parcels of the evening: what lies in one is booked tomorrow, the other goes back."""
    open_parcel(desk, NewParcel(label="TR-LATE-1", practice="FERNHAL", contents=(NewContent("case", found="R.O."),)))
    crushed = open_parcel(desk, NewParcel(label="TR-LATE-2", practice="THISTLE", seen=("crushed",)))
    done.parcels += 2
    done.arrived["post"] += 1
    (issued,) = issue_all(desk, [refuse(desk, crushed.parcel_id, "crushed flat")])
    assert issued.sent
