"""Makes a case again: a new one with the same prescription, linked, with the reason and nothing typed twice."""

from collections.abc import Collection
from dataclasses import dataclass

from intake.desk.amending import category_names
from intake.desk.book_in import Booked
from intake.desk.desk import Desk
from intake.desk.linked import refuse_handed_over, standing_case
from intake.domain.job_number import read_number
from intake.domain.judging import judge
from intake.domain.remaking import remade
from intake.errors import IntakeError


class CannotRemake(IntakeError):
    """Something that cannot be made again so."""


@dataclass(frozen=True)
class Remade:
    """A case that is made again."""

    new: Booked
    of_case_id: int
    link_id: int


def remake(desk: Desk, case_id: int, chosen: Collection[int], reason: str, models_here: bool, token: str) -> Remade:
    """Books some appliances of a case in again, with their prescription and what of it is still here.

    The appointment is another one, and is asked for. Where the models are here no more, whatever is needed is asked
    for too.

    Args:
        desk: The desk.
        case_id: The case that was made before, whatever has become of its boxes.
        chosen: The places of the appliances that are made again.
        reason: Why; it stands on the ticket.
        models_here: Whether the models and whatever else came are still here.
        token: Made once for each remake: the same token again is the same case.

    Raises:
        CannotRemake: nothing is chosen, or the reason is missing.
        NotThere: there is no such case.
        NotNow: it is withdrawn: it is to be taken up again instead.
    """
    if not reason.strip():
        raise CannotRemake("Say why it is made again: it stands on the ticket and in the history of both.")
    row = standing_case(desk, case_id, "It was not made, so it is not made again.")
    places = sorted(set(chosen) & set(range(len(row.case.appliances))))
    if not places:
        raise CannotRemake("Choose what is made again.")
    jobs = [job for job in desk.store.read.jobs_of(case_id) if set(job.appliances) & set(places)]
    before = read_number(jobs[0].number).shown if jobs else "an earlier case"
    case = remade(row.case, places, desk.lab, before, reason, models_here)
    case = case.model_copy(update={"arrived": desk.now().replace(second=0, microsecond=0)})
    verdict = judge(case, desk.lab, desk.practice_of(case), desk.now(), room=desk.room)
    with desk.work() as work:
        made = work.cases.book(case, verdict, token=f"remake-{token}", names=category_names(desk))
        link_id = 0 if made.again else work.links.add("remake", made.case_id, case_id, reason.strip())
        work.commit()
    tickets = tuple(job.document_id for job in made.jobs if job.document_id is not None)
    if made.again:
        link_id = next(link.link_id for link in desk.store.read.links_of(made.case_id) if link.kind == "remake")
    return Remade(Booked(made.case_id, made.version, made.jobs, verdict, tickets, again=made.again), case_id, link_id)


def take_back_remake(desk: Desk, done: Remade) -> int:
    """Undoes `remake`: the new case is withdrawn; its new version.

    Raises:
        AtTheBenches: a box of it has been handed over.
        ChangedMeanwhile: it was changed since.
    """
    refuse_handed_over(desk, done.new.case_id)
    with desk.work() as work:
        version = work.cases.withdraw(done.new.case_id, done.new.version, "taken back at the desk")
        work.links.take_back(done.link_id)
        work.commit()
    return version
