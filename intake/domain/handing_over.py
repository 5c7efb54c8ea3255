"""Whether a box may go to a bench, out of it, or back to reception; and if not, why, and what to do instead.

What is decided here is decided by what was scanned, never by a look at the work: the licensed technician at the bench
has the last word. Common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from intake.domain.bench_rules import HandOverRules
from intake.domain.box_moves import Move, Progress, Stop, progress, step_at
from intake.domain.calendar import WorkingCalendar
from intake.domain.wording import counted, listed
from intake.domain.written_dates import shown_day, shown_moment

Why = Literal[
    "unknown",
    "never-made",
    "replaced",
    "withdrawn",
    "held",
    "finished",
    "wrong-bench",
    "already",
    "earlier-first",
    "done-already",
    "to-disinfect",
    "too-early",
    "at-reception",
    "elsewhere",
    "question-missing",
]
"""The kinds of reasons that stop a box."""
BackFor = Literal["question", "wrong-bench", "damaged", "other"]
BACK_WORDS: dict[BackFor, str] = {
    "question": "a question for the practice",
    "wrong-bench": "wrong bench",
    "damaged": "damaged",
    "other": "another reason",
}
"""Why a box comes back to reception, in words."""


@dataclass(frozen=True)
class Yes:
    """A box may move. `note` is what is to be told with it, such as that it is late."""

    kind: Literal["handed-over", "in", "out", "back"]
    note: str = ""


@dataclass(frozen=True)
class No:
    """A box may not move.

    Attributes:
        why: The kind of reason.
        reason: The reason, in a sentence or two.
        way_on: What to do instead, in a sentence.
        key: The action of the window that does it; empty where none does.
    """

    why: Why
    reason: str
    way_on: str
    key: str = ""


@dataclass(frozen=True)
class TicketMade:
    """A copy of a job's ticket: since when it is there, by whom and why."""

    copy: int
    at: datetime
    by: str
    reason: str = ""


@dataclass(frozen=True)
class BoxToMove:
    """Everything about a job's box that decides where it may go.

    Attributes:
        state: The job's state; a job whose case is withdrawn is withdrawn.
        questions: What is open and stops it.
        copies: The copies of its ticket.
        scanned: The copy that was scanned; None when the number was typed.
        route: The benches in their order.
        moves: Those that were not taken back, oldest first.
        to_disinfect: Why it has to be disinfected first; empty where nothing of hygiene stops it.
    """

    state: Literal["held", "clear", "gone", "withdrawn"]
    questions: tuple[str, ...] = ()
    copies: tuple[TicketMade, ...] = ()
    scanned: int | None = None
    route: tuple[Stop, ...] = ()
    moves: tuple[Move, ...] = ()
    to_disinfect: str = ""

    @property
    def stands(self) -> Progress:
        """Where it stands on its route."""
        return progress(self.route, self.moves)


def may_hand_over(
    box: BoxToMove, bench: str, now: datetime, rules: HandOverRules, calendar: WorkingCalendar, taking_in: bool = False
) -> Yes | No:
    """Whether a box may go to a bench: from reception, where it is handed over, or on from another bench.

    Args:
        box: The box.
        bench: Where it is to go.
        now: The lab's wall clock.
        rules: The lab's rules for handing over; they hold for what leaves reception.
        calendar: The lab's working days.
        taking_in: Whether the bench itself takes it in: then one that was handed over to it, and that it has not taken
            in yet, may come in.

    Raises:
        IntakeError: The calendar does not know the days around the bench's day.
    """
    stands = box.stands
    refused = _wrong_ticket(box) or _stopped(box, stands) or _finished(stands) or _wrong_way(box, bench, stands)
    if refused is not None:
        if not (taking_in and refused.why == "already" and stands.last and stands.last.kind == "handed-over"):
            return refused
        return Yes("in")
    stop = box.route[step_at(box.route, bench, stands) or 0]
    if not stands.away:
        refused = _contaminated(box, rules) or _too_early(stop, now, rules, calendar)
    return refused or Yes("in" if stands.away else "handed-over", _late(stop, now, calendar))


def may_go_out(box: BoxToMove, bench: str, now: datetime, calendar: WorkingCalendar) -> Yes | No:
    """Whether a bench may say that it is done with a box: it is there, or it is the bench whose turn it is."""
    stands = box.stands
    refused = _wrong_ticket(box) or _stopped(box, stands) or _finished(stands)
    if refused is not None:
        return refused
    if not stands.away:
        return No(
            "at-reception",
            f"It is at reception: it was not handed over to {bench}.",
            "Hand it over first.",
            "hand-boxes-over",
        )
    last = stands.last
    if last is not None and last.kind == "out" and last.bench == bench:
        return No("already", f"{bench} is done with it already, since {_since(last, now)}.", "Nothing is to be done.")
    step = step_at(box.route, bench, stands)
    if step is None or step not in (stands.at, stands.following):
        where = last.bench if last is not None else "reception"
        at = f"out of {where}" if last is not None and last.kind == "out" else f"at {where}"
        return No("elsewhere", f"It is {at}, not at {bench}.", *_goes_to(box.route, stands))
    return Yes("out", _late(box.route[step], now, calendar))


def may_come_back(box: BoxToMove) -> Yes | No:
    """Whether a box may come back to reception: whatever it is, if only it is away. Any copy of its ticket will do."""
    stands = box.stands
    if stands.away or box.state == "gone":
        return Yes("back")
    back = stands.last
    when = f" since {shown_moment(back.at)}, brought back by {back.who}" if back is not None else ""
    return No("at-reception", f"It is at reception already{when}.", "Nothing is to be done.")


def _wrong_ticket(box: BoxToMove) -> No | None:
    """A copy that was replaced, or that was never made."""
    newest = max(box.copies, key=lambda made: made.copy, default=None)
    if box.scanned is None or newest is None or box.scanned == newest.copy:
        return None
    if box.scanned > newest.copy:
        made = "only one was" if newest.copy == 1 else f"only {newest.copy} were"
        return No(
            "never-made",
            f"This ticket says copy {box.scanned}, but {made} made.",
            "Set the box apart, find out where this ticket comes from, and print the next copy in Look up.",
            "go-look-up",
        )
    why = f": {newest.reason.rstrip('.')}" if newest.reason else ""
    return No(
        "replaced",
        f"This is copy {box.scanned}; it no longer counts. Copy {newest.copy} counts, since {shown_moment(newest.at)}, "
        f"by {newest.by}{why}.",
        f"Put copy {newest.copy} on the box and scan that one. If it is lost too, print the next in Look up.",
        "go-look-up",
    )


def _stopped(box: BoxToMove, stands: Progress) -> No | None:
    """A case that is withdrawn, or a job that waits for an answer."""
    if box.state == "withdrawn":
        if stands.away:
            return No("withdrawn", "Its case is withdrawn: nothing more is made of it.", *_BRING_BACK)
        return No("withdrawn", "Its case is withdrawn: nothing is made of it.", "Look up says why.", "go-look-up")
    if box.state != "held":
        return None
    asked = listed([f"“{question}”" for question in box.questions]) if box.questions else "a question"
    open_one = "The practice has not answered yet" if len(box.questions) < 2 else "The practice has to answer"
    stop = "" if asked.endswith(("?”", ".”")) else "."
    return No("held", f"Held. {open_one}: {asked}{stop}", "Ring the practice: it stands in Waiting.", "go-waiting")


def _finished(stands: Progress) -> No | None:
    if not stands.finished or stands.last is None:
        return None
    last = stands.last
    done = f"Every bench is done with it: {last.bench} was the last, on {shown_moment(last.at)}, by {last.who}."
    return No("finished", done, "It goes to the practice. If it has to be worked on again, bring it back first.", _BACK)


def _wrong_way(box: BoxToMove, bench: str, stands: Progress) -> No | None:
    """A bench that is not on the route, or not next."""
    route, last = box.route, stands.last
    step = step_at(route, bench, stands)
    if step is None:
        benches = listed([stop.bench for stop in route]) if route else "none"
        return No("wrong-bench", f"{bench} is not on its route: {benches}.", *_goes_to(route, stands))
    if stands.away and step == stands.at and last is not None:
        return _there_already(last)
    if step > stands.following:
        missing = route[stands.following].bench
        return No("earlier-first", f"It has to go to {missing} first: that is not done.", *_goes_to(route, stands))
    if stands.away and step < stands.following:
        return No(
            "done-already",
            f"{bench} is done with it already.",
            f"{_goes_to(route, stands)[0]} To have it done again, bring it back first.",
            _BACK,
        )
    return None


def _there_already(last: Move) -> No:
    how = {"handed-over": "handed over", "in": "taken in"}.get(last.kind, last.kind)
    reason = f"It is at {last.bench} already, {how} on {shown_moment(last.at)} by {last.who}."
    return No("already", reason, "Nothing is to be done. If it lies at reception, bring it back first.", _BACK)


def _contaminated(box: BoxToMove, rules: HandOverRules) -> No | None:
    if not rules.disinfected or not box.to_disinfect:
        return None
    return No(
        "to-disinfect",
        box.to_disinfect,
        "Disinfect it by the local rules and enter that in Parcels, then scan it again.",
        "go-parcels",
    )


def _too_early(stop: Stop, now: datetime, rules: HandOverRules, calendar: WorkingCalendar) -> No | None:
    if rules.ahead_days is None or stop.by is None:
        return None
    first = calendar.back(stop.by, rules.ahead_days)
    if now.date() >= first:
        return None
    ahead = f"{counted(rules.ahead_days, 'working day')} ahead" if rules.ahead_days else "no day ahead"
    return No(
        "too-early",
        f"It is of another day: {stop.bench} does it by {shown_day(stop.by)}, and boxes go there {ahead}.",
        f"Keep it at reception until {shown_day(first)}.",
    )


def _late(stop: Stop, now: datetime, calendar: WorkingCalendar) -> str:
    if stop.by is None or now.date() <= stop.by:
        return ""
    days = calendar.days_between(stop.by, now.date())
    behind = f", {counted(days, 'working day')} ago" if days else ""
    return f"Late: {stop.bench} had it to do by {shown_day(stop.by)}{behind}."


def _goes_to(route: Sequence[Stop], stands: Progress) -> tuple[str, str]:
    """Where a box has to go instead."""
    if stands.following >= len(route):
        return "It has no further bench.", ""
    bench = route[stands.following].bench
    turn = "next" if stands.away else "first"
    return f"It goes to {bench} {turn}: choose {bench}, then scan it again.", "choose-bench"


def _since(move: Move, now: datetime) -> str:
    return f"{move.at:%H:%M}" if move.at.date() == now.date() else shown_moment(move.at)


_BACK = "bring-boxes-back"
_BRING_BACK = ("Bring it back to reception.", _BACK)
