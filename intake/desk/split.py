"""Splits some appliances of a case off as a case of their own, and joins the two again while nobody changed them."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from intake.desk.amending import bring_in_line, category_names
from intake.desk.book_in import Booked
from intake.desk.desk import Desk
from intake.desk.linked import refuse_handed_over, shown_numbers, standing_case
from intake.domain.case import Case, Patient
from intake.domain.judging import judge
from intake.domain.splitting import CannotSplit, split
from intake.store.question_moving import Exchanged, Placed

SPLIT_OFF = "part of it was split off"
"""Why the ticket of what stays gets its next copy."""


@dataclass(frozen=True)
class SplitOff:
    """A case that was split."""

    rest: Booked
    """What stayed."""
    new: Booked
    """What is a case of its own now."""
    before: Case
    """The case as it was."""
    link_id: int
    exchanged: tuple[Exchanged, ...]
    placed: tuple[Placed, ...]


def split_off(
    desk: Desk, case_id: int, version: int, chosen: Collection[int], reason: str, patient: Patient | None = None
) -> SplitOff:
    """Makes some appliances of a case a case of their own, with a number and a ticket for each of its boxes.

    What came is kept with both, bar what only one of them needs. Questions that the practice was asked already follow
    their appliance. The ticket of what stays gets its next copy.

    Args:
        desk: The desk.
        case_id: The case.
        version: Its version when it was read.
        chosen: The places of the appliances that leave.
        reason: Why.
        patient: Label and reference of the new case's patient, where it is another one.

    Raises:
        CannotSplit: nothing is chosen, or all, or the reason is missing.
        AtTheBenches: the box of one of them has been handed over.
        NotNow: the case is withdrawn.
        ChangedMeanwhile: it was changed since it was read.
    """
    if not reason.strip():
        raise CannotSplit("Say why it is split: it stands in the history of both.")
    row = standing_case(desk, case_id, "It cannot be split.")
    refuse_handed_over(desk, case_id, chosen)
    parts = split(row.case, chosen, desk.lab, patient)
    practice = desk.practice_of(row.case)
    verdict = judge(parts.leaves, desk.lab, practice, desk.now(), room=desk.room)
    with desk.work() as work:
        token = f"split-{case_id}-{version}"
        made = work.cases.book(parts.leaves, verdict, token=token, names=category_names(desk))
        exchanged = work.links.exchange_questions(case_id, made.case_id, parts.places_leave)
        placed = work.links.renumber_questions(case_id, parts.places_stay)
        rest = bring_in_line(desk, work, case_id, version, parts.stays, practice, why=SPLIT_OFF)
        link_id = work.links.add("split", made.case_id, case_id, reason.strip())
        work.commit()
    tickets = tuple(job.document_id for job in made.jobs if job.document_id is not None)
    return SplitOff(
        rest=Booked(case_id, rest.version, rest.jobs, rest.verdict, rest.tickets),
        new=Booked(made.case_id, made.version, made.jobs, verdict, tickets),
        before=row.case,
        link_id=link_id,
        exchanged=exchanged,
        placed=placed,
    )


def join_again(desk: Desk, done: SplitOff) -> Booked:
    """Undoes `split_off`: the case is as it was, with its numbers; the one that was split off is withdrawn.

    Raises:
        AtTheBenches: a box of the new case has been handed over, or one that its appliances would come back to.
        ChangedMeanwhile: one of the two was changed since.
    """
    refuse_handed_over(desk, done.new.case_id)
    refuse_handed_over(desk, done.rest.case_id, categories=[job.category for job in done.new.jobs])
    case_id, practice = done.rest.case_id, desk.practice_of(done.before)
    with desk.work() as work:
        numbers = shown_numbers(desk, case_id)
        work.cases.withdraw(done.new.case_id, done.new.version, f"taken back: it is part of {numbers} again")
        work.links.put_questions_back(done.placed)
        work.links.exchange_questions_back(done.exchanged)
        case = bring_in_line(
            desk, work, case_id, done.rest.version, done.before, practice, why="what was split off is back"
        )
        work.links.take_back(done.link_id)
        work.commit()
    return Booked(case_id, case.version, case.jobs, case.verdict, case.tickets)


def appliances_to_choose(desk: Desk, case: Case) -> Sequence[str]:
    """The appliances of a case as they are chosen from, each in words."""
    from intake.desk.ticket_words import appliance_words

    practice = desk.practice_of(case)
    return [appliance_words(appliance, practice, desk.lab) for appliance in case.appliances]
