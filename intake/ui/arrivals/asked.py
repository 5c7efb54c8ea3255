"""What Arrivals asks of the desk, on the threads of the job runner.

The desk brings the database with it, which is slow to import: that happens in the jobs, behind the painted window.
"""

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from intake.domain.bench_room import BenchRoom
from intake.domain.case import Case
from intake.domain.form import FormRead
from intake.domain.half_typed import HalfTyped
from intake.domain.practice import Practice
from intake.errors import IntakeError
from intake.ui.scans import asked as scans_asked

if TYPE_CHECKING:
    from intake.desk.arrivals import Waiting
    from intake.desk.book_in import Booked
    from intake.desk.desk import Desk
    from intake.desk.expected import Match
    from intake.desk.joining import Together
    from intake.desk.likeness import Likely
    from intake.desk.partners import Partner
    from intake.desk.receive import Received
    from intake.desk.rescanning import Between, Rescanned

Made = TypeVar("Made")


@dataclass(frozen=True)
class Known:
    """What the place shows of the store: the directory, and what waits."""

    practices: tuple[Practice, ...]
    waiting: "tuple[Waiting, ...]"


def known(desk: "Desk") -> Known:
    """The directory, and what waits."""
    from intake.desk import arrivals

    return Known(desk.practices(), arrivals.waiting(desk))


def room_on_benches(desk: "Desk") -> BenchRoom | None:
    """The days on which the benches are full; None where the promise does not count them."""
    return desk.room


def directory(desk: "Desk") -> tuple[Practice, ...]:
    """The directory alone, which is there sooner."""
    return desk.practices()


def kept(desk: "Desk") -> HalfTyped | None:
    """What was half typed when the program ended."""
    from intake.desk import drafts

    return drafts.kept(desk)


def keep(desk: "Desk", half: HalfTyped | None) -> None:
    """Keeps a form, or nothing when there is none."""
    from intake.desk import drafts

    if half is None:
        drafts.clear(desk)
    else:
        drafts.keep(desk, half)


def arrival_form(desk: "Desk", arrival_id: int) -> HalfTyped:
    """The form of an arrival."""
    from intake.desk import open_form

    return open_form.arrival_form(desk, arrival_id)


def case_form(desk: "Desk", case_id: int) -> HalfTyped:
    """The form of a booked case."""
    from intake.desk import open_form

    return open_form.case_form(desk, case_id)


def set_down(desk: "Desk", half: HalfTyped) -> int:
    """Lets a half-typed form wait; gives its arrival."""
    from intake.desk import arrivals

    return arrivals.set_down(desk, half)


def receive(desk: "Desk", paths: Iterable[Path]) -> "tuple[Received, ...]":
    """Takes files in, each by what it is."""
    from intake.desk import receive as receiving

    return receiving.receive(desk, paths)


def dismiss(desk: "Desk", arrival_id: int) -> None:
    """Takes an arrival off the list."""
    from intake.desk import arrivals

    arrivals.dismiss(desk, arrival_id)


def bring_back(desk: "Desk", arrival_id: int) -> None:
    """Lets an arrival wait again."""
    from intake.desk import arrivals

    arrivals.bring_back(desk, arrival_id)


def offers(desk: "Desk", case: Case, arrival_id: int | None) -> "tuple[Match | Partner, ...]":
    """The cases that wait for what this one may bring, and the arrivals that may belong to it."""
    from intake.desk import partners

    return partners.offers(desk, case, arrival_id)


def likely(desk: "Desk", case: Case, case_id: int | None) -> "tuple[Likely, ...]":
    """What a case may be the same as; `case_id` where it is booked."""
    from intake.desk import likeness

    return likeness.likely_same(desk, case, case_id)


def save(desk: "Desk", half: HalfTyped, form: FormRead) -> "Booked":
    """Saves a form: books its case in, or amends the one that it belongs to."""
    from intake.desk import book_in

    return _saved(desk, half, lambda: book_in.save_form(desk, half, form))


def join(desk: "Desk", half: HalfTyped, case: Case, match: "Match") -> "Booked":
    """Puts the case in a form to the one that waits for it."""
    from intake.desk import expected

    return _saved(desk, half, lambda: expected.join(desk, match, case, half.arrival_id))


def take_apart(desk: "Desk", match: "Match", booked: "Booked") -> "Booked":
    """Undoes a join."""
    from intake.desk import expected

    return expected.take_apart(desk, match, booked)


def put_together(desk: "Desk", half: HalfTyped, partner: "Partner") -> "Together":
    """Puts a form together with an arrival that waits."""
    from intake.desk import joining

    return _saved(desk, half, lambda: joining.put_together(desk, half, partner.id))


def part_again(desk: "Desk", together: "Together") -> HalfTyped:
    """Undoes that; gives the form as it was."""
    from intake.desk import joining

    return joining.part_again(desk, together)


def measure_together(desk: "Desk", half: HalfTyped, partner: "Partner") -> "Between | None":
    """How the arches of a case stand with the scans of a form’s arrival; in a process of its own, which then ends."""
    from intake.desk import rescanning

    worker = scans_asked.worker()
    try:
        return rescanning.measure_together(desk, worker, _arrival_of(half), partner.id)
    finally:
        worker.close()


def join_scans(
    desk: "Desk", half: HalfTyped, case: Case, partner: "Partner", measured: "Between | None"
) -> "Rescanned":
    """Adds the scans of a form’s arrival to the case that waits for them."""
    from intake.desk import rescanning

    to = _arrival_of(half), partner.id, partner.version
    return _saved(desk, half, lambda: rescanning.join_scans_to_case(desk, *to, measured, case))


def _arrival_of(half: HalfTyped) -> int:
    assert half.arrival_id is not None, "a case is offered to an arrival with scans alone"
    return half.arrival_id


def part_scans(desk: "Desk", rescanned: "Rescanned") -> "Booked":
    """Undoes that."""
    from intake.desk import rescanning

    return rescanning.part_scans(desk, rescanned)


def _saved(desk: "Desk", half: HalfTyped, act: "Callable[[], Made]") -> "Made":
    """Saves by an act. The form is no longer kept for a restart then; where it cannot be saved, it is kept."""
    from intake.desk import drafts

    try:
        made = act()
    except Exception:
        with suppress(IntakeError):
            drafts.keep(desk, half)
        raise
    with suppress(IntakeError):
        drafts.clear(desk, half.token)
    return made


def take_back(desk: "Desk", booked: "Booked") -> int:
    """Undoes a booking; the case's new version."""
    from intake.desk import book_in

    return book_in.take_back(desk, booked)


def amend_back(desk: "Desk", booked: "Booked", before: Case) -> "Booked":
    """Undoes an amendment: the case is again as it was before."""
    from intake.desk import book_in

    return book_in.amend(desk, booked.case_id, booked.version, before)
