"""How far a job has come on its route, told from the moves of its box."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

MoveKind = Literal["handed-over", "in", "out", "back"]
"""handed-over: from reception to a bench; in, out: at a bench on the way; back: returned to reception."""


@dataclass(frozen=True)
class Move:
    """One move of a job's box that was not taken back.

    Attributes:
        move_id: Its id in the store.
        kind: What was done.
        bench: Where the box went, came in or came from.
        at: When, on the lab's wall clock.
        who: Initials of who moved it.
        copy: The copy of the ticket that was scanned; 0 when the number was typed.
        reason: Why it came back.
    """

    move_id: int
    kind: MoveKind
    bench: str
    at: datetime
    who: str
    copy: int = 0
    reason: str = ""


@dataclass(frozen=True)
class Stop:
    """A bench of a job's route, and the day by which it has done its part; None where no appointment gives one."""

    bench: str
    by: date | None = None


@dataclass(frozen=True)
class Progress:
    """Where a job stands on its route.

    Attributes:
        done: So many benches of the route are done with it.
        at: The bench where its box is, by its place in the route; None at reception, between two benches, at the end.
        away: Whether its box has left reception.
        end: How many benches the route has.
        last: Its newest move.
    """

    done: int = 0
    at: int | None = None
    away: bool = False
    end: int = 0
    last: Move | None = None

    @property
    def following(self) -> int:
        """The bench that is next, by its place in the route; the route's length where none is."""
        return self.done if self.at is None else self.at + 1

    @property
    def finished(self) -> bool:
        """Whether the last bench is done with it."""
        return self.away and self.at is None and 0 < self.end <= self.done


def progress(route: Sequence[Stop], moves: Sequence[Move]) -> Progress:
    """Where a job stands after its moves, oldest first.

    A box that comes in at a bench is done at those before it. What comes back to reception keeps what was done before
    the bench that it came from.
    """
    stands = Progress(end=len(route))
    for move in moves:
        stands = _after(route, stands, move)
    return stands


def step_at(route: Sequence[Stop], bench: str, stands: Progress) -> int | None:
    """The place of a bench in the route: the first that is not done yet, else the last that is; None for a stranger."""
    places = [index for index, stop in enumerate(route) if stop.bench == bench]
    ahead = [index for index in places if index >= stands.done]
    return next(iter(ahead or places[-1:]), None)


def bench_of(route: Sequence[Stop], stands: Progress) -> str | None:
    """The bench that has the box, or gets it next; None at reception and once the route is done."""
    if not stands.away or stands.finished:
        return None
    if stands.at is not None:
        return route[stands.at].bench
    last = stands.last
    if last is not None and last.kind != "out":
        return last.bench
    return route[stands.done].bench if stands.done < len(route) else None


def _after(route: Sequence[Stop], stands: Progress, move: Move) -> Progress:
    step = step_at(route, move.bench, stands)
    match move.kind:
        case "back":
            return Progress(stands.done, None, False, stands.end, move)
        case "out":
            return Progress(stands.done if step is None else step + 1, None, True, stands.end, move)
        case _:
            return Progress(stands.done if step is None else step, step, True, stands.end, move)
