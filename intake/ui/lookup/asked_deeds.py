"""What the deeds of Look up ask of the desk, on the threads of the job runner."""

from collections.abc import Collection
from typing import TYPE_CHECKING

from intake.domain.case import Case, Patient
from intake.errors import IntakeError

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.likeness import Likely
    from intake.desk.merge import MergedCases, MergeLook
    from intake.desk.remake import Remade
    from intake.desk.split import SplitOff


class NotOne(IntakeError):
    """What was typed is of no case, or of several."""


def appliances(desk: "Desk", case: Case) -> tuple[str, ...]:
    """What a case asks for, each in words."""
    from intake.desk import split

    return tuple(split.appliances_to_choose(desk, case))


def split_off(
    desk: "Desk", case_id: int, version: int, chosen: Collection[int], reason: str, patient: Patient | None
) -> "SplitOff":
    """Some appliances of a case as a case of their own."""
    from intake.desk import split

    return split.split_off(desk, case_id, version, chosen, reason, patient)


def join_again(desk: "Desk", done: "SplitOff") -> tuple[int, ...]:
    """Undoes that; the tickets that wait."""
    from intake.desk import split

    return split.join_again(desk, done).tickets


def likely(desk: "Desk", case: Case, case_id: int) -> "tuple[Likely, ...]":
    """What a booked case may be the same as; none of those that are withdrawn."""
    from intake.desk import likeness

    found = likeness.likely_same(desk, case, case_id)
    states = {each.case_id: desk.store.read.case(each.case_id) for each in found}
    return tuple(each for each in found if (row := states[each.case_id]) is not None and row.state == "open")


def look_at_merge(desk: "Desk", case_id: int, words: str) -> "MergeLook":
    """What comes of merging the case that the words name into another one. Raises NotOne where they name none."""
    from intake.desk import look_up, merge

    found = look_up.look(desk, words, 5)
    cases = {row.case_id for each in found.found if (row := desk.store.read.job(each.number)) is not None}
    if not cases:
        raise NotOne(found.said or "No job here fits that. Type its number.")
    if len(cases) > 1:
        raise NotOne("Several cases fit that. Type more of the number.")
    return merge.look_at_merge(desk, case_id, cases.pop())


def merge(desk: "Desk", look: "MergeLook", reason: str, asks: bool) -> "MergedCases":
    """Two cases as one."""
    from intake.desk import merge as merging

    return merging.merge(desk, look, reason, asks)


def take_apart(desk: "Desk", done: "MergedCases") -> tuple[int, ...]:
    """Undoes that; the tickets that wait."""
    from intake.desk import merge as merging

    return merging.take_apart(desk, done)[1]


def remake(desk: "Desk", case_id: int, chosen: Collection[int], reason: str, models_here: bool, token: str) -> "Remade":
    """A case made again."""
    from intake.desk import remake as remaking

    return remaking.remake(desk, case_id, chosen, reason, models_here, token)


def take_back_remake(desk: "Desk", done: "Remade") -> int:
    """Undoes that."""
    from intake.desk import remake as remaking

    return remaking.take_back_remake(desk, done)


def items_to_send_back(case: Case) -> tuple[tuple[int, str], ...]:
    """The items of a case that can be put into a parcel."""
    from intake.desk import withdraw

    return withdraw.items_to_send_back(case)


def send_back(desk: "Desk", case_id: int, version: int, reason: str, items: Collection[int]) -> int:
    """The new version of a case that goes back to its practice."""
    from intake.desk import withdraw

    return withdraw.send_back(desk, case_id, version, reason, items)


def issue(desk: "Desk", tickets: Collection[int]) -> "tuple[Issued, ...]":
    """Tickets, handed to the printer."""
    from intake.desk.issue import issue_all

    return issue_all(desk, tuple(tickets))
