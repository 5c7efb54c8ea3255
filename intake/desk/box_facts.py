"""What is known of a job's box: its ticket, its route, its moves and what stops it, gathered for who decides."""

from dataclasses import dataclass
from typing import Literal

from intake.desk.desk import Desk
from intake.desk.hygiene import hygiene_of
from intake.domain.box_moves import Move, Stop, bench_of, progress
from intake.domain.handing_over import BoxToMove, TicketMade
from intake.store.move_rows import StandsAt
from intake.store.rows import JobRow

State = Literal["held", "clear", "gone", "withdrawn"]


def route_of(desk: Desk, job: JobRow) -> tuple[Stop, ...]:
    """The benches of a job, with their days where it has any; without, those of its category as the setup has them."""
    if job.deadlines is not None:
        return tuple(Stop(dated.bench, dated.by) for dated in job.deadlines.route)
    category = desk.lab.category_by_id.get(job.category)
    return tuple(Stop(step.bench) for step in category.route) if category is not None else ()


def state_of(job: JobRow) -> State:
    """A job's state; that of a withdrawn case is withdrawn, wherever its box is."""
    return "withdrawn" if job.case_state == "withdrawn" else job.state


def stopping(desk: Desk, job: JobRow) -> tuple[str, ...]:
    """The open questions that stop a job."""
    return tuple(
        query.question
        for query in desk.store.read.queries_of(job.case_id)
        if query.state == "open" and query.level == "stops" and query.appliance in (None, *job.appliances)
    )


@dataclass(frozen=True)
class BoxFacts:
    """A job with everything that decides where its box may go."""

    job: JobRow
    route: tuple[Stop, ...]
    moves: tuple[Move, ...]
    box: BoxToMove

    def stands_after(self, moves: tuple[Move, ...], waiting: State) -> StandsAt:
        """Where these moves leave the job; `waiting` is its state where its box is at reception."""
        stands = progress(self.route, moves)
        state: State = "gone" if stands.away else waiting
        return StandsAt(state, bench_of(self.route, stands), stands.finished)

    def waiting_state(self) -> State:
        """The job's state once its box is at reception."""
        if self.job.case_state == "withdrawn":
            return "withdrawn"
        return "held" if self.box.questions else "clear"


def box_facts(desk: Desk, job: JobRow, scanned: int | None) -> BoxFacts:
    """Gathers what decides where a job's box may go; `scanned` is the copy of its ticket."""
    read = desk.store.read
    route, moves = route_of(desk, job), read.moves_of(job.job_id)
    copies = tuple(
        TicketMade(ticket.copy, ticket.created, ticket.created_by, ticket.reason)
        for ticket in read.documents_of(job.number)
    )
    to_disinfect = ""
    if job.state == "clear" and desk.lab.hand_over.disinfected:
        hygiene = hygiene_of(desk, job.case_id)
        to_disinfect = "" if hygiene.may_be_handed_on else hygiene.says
    box = BoxToMove(state_of(job), stopping(desk, job), copies, scanned, route, moves, to_disinfect)
    return BoxFacts(job, route, moves, box)
