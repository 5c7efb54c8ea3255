"""A day's numbers counted from the history's events alone.

The store counts its tables; this knows nothing of them and follows what happened, event by event. Where the two differ,
one of them is wrong: that is what the second count is for.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Protocol

from intake.domain.day_figures import MADE_HERE, UNSENT, Came, DayCounts, Made, Standing, day_counts


class Happened(Protocol):
    """One event of the history."""

    @property
    def at(self) -> datetime:
        """When it happened."""

    @property
    def kind(self) -> str:
        """What happened."""

    @property
    def case_id(self) -> int | None:
        """The case that it is about."""

    @property
    def job(self) -> str | None:
        """The number of the job that it is about."""

    @property
    def arrival_id(self) -> int | None:
        """The arrival that it is about."""

    @property
    def details(self) -> dict[str, Any]:
        """What is told of it."""


def count_events(events: Iterable[Happened], day: date) -> DayCounts:
    """The numbers of a day from the whole history, oldest event first, as everything stands after the last."""
    history = _History()
    for event in events:
        history.follow(event)
    return history.counts(day)


@dataclass
class _Arrival:
    at: datetime
    stream: str
    state: str
    case_id: int | None = None


@dataclass
class _Job:
    category: str = ""
    state: str = ""
    before: str = ""
    """Its state before its case was withdrawn."""
    tickets: dict[int, str] = field(default_factory=dict)
    """The state of each copy of its ticket."""
    handed_over: dict[int, datetime] = field(default_factory=dict)
    """When it was handed over, by the move; what was taken back is not here."""

    def become(self, state: str) -> None:
        """Take a state. What is not printed of a withdrawn job is cancelled; it waits again when the job stands."""
        if state == "withdrawn":
            self.cancel_tickets()
        elif self.state == "withdrawn" and self.tickets.get(max(self.tickets, default=0)) == "cancelled":
            self.tickets[max(self.tickets)] = "waiting"
        self.state = state

    def cancel_tickets(self) -> None:
        """Cancel what is not printed."""
        self.tickets |= {copy: "cancelled" for copy, state in self.tickets.items() if state in UNSENT}


@dataclass
class _Case:
    booked: datetime
    stands: bool = True
    made_here: bool = False
    """Whether it was made of another case and brought by nobody."""
    arrived: datetime | None = None
    items: dict[str, str] = field(default_factory=dict)
    jobs: dict[str, _Job] = field(default_factory=lambda: defaultdict(_Job))

    @property
    def stream(self) -> str:
        """A scan when nothing of it can be held in the hand; see `intake.domain.case.Case.stream`."""
        kinds = {path: what for path, what in self.items.items() if path.endswith(".item")}
        sources = {path.removesuffix(".source"): of for path, of in self.items.items() if path.endswith(".source")}
        in_hand = [
            path
            for path, kind in kinds.items()
            if kind not in ("scan", "photo") and sources.get(path.removesuffix(".item")) != "scan"
        ]
        return "scan" if "scan" in kinds.values() and not in_hand else "post"


class _History:
    """Everything that the events say, as it stands after those that were followed."""

    def __init__(self) -> None:
        self._arrivals: dict[int, _Arrival] = {}
        self._cases: dict[int, _Case] = {}
        self._letters: dict[int, str] = {}
        self._parcels: dict[int, str] = {}

    def follow(self, event: Happened) -> None:
        """Take one event in; kinds that change no number are passed over."""
        kind, _, what = event.kind.partition("-")
        follow = _FOLLOWED.get(event.kind) or _FOLLOWED.get(kind)
        if follow is not None:
            follow(self, event, what)

    def counts(self, day: date) -> DayCounts:
        """The numbers of a day."""
        booked = [case for case in self._cases.values() if case.stands and case.booked.date() == day]
        jobs = [(case, job) for case in self._cases.values() for job in case.jobs.values()]
        handed = [(case, job, _first_on(day, job)) for case, job in jobs]
        return day_counts(
            day,
            arrived=[Came(stream, at.hour) for at, stream in self._came() if at.date() == day],
            booked=[Came(case.stream, case.booked.hour) for case in booked],
            jobs=[
                Made(case.stream, job.category, case.booked.hour, job.state)
                for case in booked
                for job in case.jobs.values()
                if job.state != "withdrawn"
            ],
            handed_over=[Made(case.stream, job.category, at.hour, "gone") for case, job, at in handed if at],
            standing=self._standing([job for _, job in jobs]),
        )

    def _came(self) -> Iterable[tuple[datetime, str]]:
        """What came, with its stream: arrivals, and cases that none of theirs had brought when they were booked."""
        brought = defaultdict(list)
        for arrival in self._arrivals.values():
            brought[arrival.case_id].append(arrival.at)
            if arrival.state != "dismissed":
                yield arrival.at, arrival.stream
        for case_id, case in self._cases.items():
            if case.stands and not case.made_here and not any(at <= case.booked for at in brought[case_id]):
                yield case.arrived or case.booked, case.stream

    def _standing(self, jobs: list[_Job]) -> Standing:
        return Standing(
            arrivals=sum(arrival.state == "waiting" for arrival in self._arrivals.values()),
            parcels=sum(state in ("open", "stopped") for state in self._parcels.values()),
            held=sum(job.state == "held" for job in jobs),
            tickets=sum(state in UNSENT for job in jobs for state in job.tickets.values()),
            letters=sum(state in UNSENT for state in self._letters.values()),
        )

    def arrival(self, event: Happened, what: str) -> None:
        """An arrival came, was changed, booked, set aside or taken off the list."""
        changes: Mapping[str, list[Any]] = event.details.get("changes", {})
        if event.arrival_id is None:
            return
        if what == "added":
            came = datetime.fromisoformat(changes["arrived"][1])
            self._arrivals[event.arrival_id] = _Arrival(came, changes["stream"][1], "waiting")
        arrival = self._arrivals[event.arrival_id]
        arrival.state = changes.get("state", [None, arrival.state])[1]
        arrival.case_id = changes.get("case_id", [None, arrival.case_id])[1]

    def case(self, event: Happened, what: str) -> None:
        """A case was booked, changed, withdrawn or taken up again."""
        if event.case_id is None or what not in ("booked", "amended", "withdrawn", "reinstated"):
            return
        if what == "booked":
            self._cases[event.case_id] = _Case(event.at)
        case = self._cases[event.case_id]
        if what in ("withdrawn", "reinstated"):
            self._stand(case, what == "reinstated", event.details.get("jobs", []))
            return
        for path, (_, now) in event.details.get("changes", {}).items():
            if path == "arrived":
                case.arrived = datetime.fromisoformat(now) if now else case.arrived
            elif path.startswith("items["):
                case.items[path] = now
        for number, changed in event.details.get("jobs", {}).items():
            _change_job(case.jobs[number], changed)

    @staticmethod
    def _stand(case: _Case, stands: bool, numbers: list[str]) -> None:
        case.stands = stands
        for job in (case.jobs[number] for number in numbers):
            if stands:
                job.become(job.before)
            else:
                job.before = job.state
                job.become("withdrawn")

    def ticket(self, event: Happened, what: str) -> None:
        """A copy of a ticket was asked for, drawn, printed or not."""
        if event.case_id is None or event.job is None:
            return
        job = self._cases[event.case_id].jobs[event.job]
        if what == "copied":
            job.cancel_tickets()
        job.tickets[event.details["copy"]] = event.details.get("state", ["", "waiting"])[1]

    def letter(self, event: Happened, what: str) -> None:
        """A letter was asked for, drawn, sent, or cancelled."""
        self._letters[event.details["document"]] = event.details.get("state", ["", "waiting"])[1]

    def link(self, event: Happened, what: str) -> None:
        """A case was made of another one, or that was taken back."""
        if event.case_id is not None and event.details.get("is_new") and event.details.get("link_kind") in MADE_HERE:
            self._cases[event.case_id].made_here = what != "taken-back"

    def move(self, event: Happened, what: str) -> None:
        """A job's box was handed over, went in, out or back, or a move was taken back."""
        if event.case_id is None or event.job is None:
            return
        job, move = self._cases[event.case_id].jobs[event.job], event.details["move"]
        if what == "handed-over":
            job.handed_over[move] = event.at
        elif what == "taken-back":
            job.handed_over.pop(move, None)
        if "state" in event.details:
            job.become(event.details["state"][1])

    def parcel(self, event: Happened, what: str) -> None:
        """A parcel was opened, stopped or refused, finished, or is open again."""
        changes = event.details.get("changes", {})
        state = _PARCELS.get(what) or changes.get("state", [None, None])[1]
        if state is not None:
            self._parcels[event.details["parcel"]] = state


_PARCELS = {"done": "done", "open-again": "open"}
"""The state in which a parcel is left by what follows from its contents; other events say it themselves."""
_FOLLOWED: dict[str, Callable[[_History, Happened, str], None]] = {
    "arrival": _History.arrival,
    "case": _History.case,
    "ticket": _History.ticket,
    "letter": _History.letter,
    "case-split": _History.link,
    "case-remade": _History.link,
    "link-taken-back": _History.link,
    "job": _History.move,
    "move-taken-back": _History.move,
    "parcel": _History.parcel,
}
"""What is done with each event, by its whole kind or the word that its kind begins with."""


def _change_job(job: _Job, changed: Mapping[str, list[Any]]) -> None:
    job.category = changed.get("category_name", [None, job.category])[1]
    if "state" not in changed:
        return
    before, state = changed["state"]
    if before is None:
        job.tickets[1] = "waiting"
    job.become(state)


def _first_on(day: date, job: _Job) -> datetime | None:
    """When a job was first handed over on a day, by what was not taken back."""
    return min((at for at in job.handed_over.values() if at.date() == day), default=None)
