"""What a case is to others: the lines of its card, and where to go with a ticket that no longer counts."""

from collections.abc import Collection, Iterator
from datetime import datetime

from intake.desk.desk import Desk
from intake.domain.job_number import read_number
from intake.domain.wording import listed
from intake.domain.written_dates import shown_day
from intake.errors import IntakeError
from intake.store.link_rows import LinkRow
from intake.store.meanwhile import NotNow, NotThere
from intake.store.rows import CaseRow, JobRow


class AtTheBenches(IntakeError):
    """A box is at the benches, so that its case stays as it is."""


def standing_case(desk: Desk, case_id: int, wanted: str) -> CaseRow:
    """A case that stands. Raises NotThere and, with what was `wanted`, NotNow."""
    row = desk.store.read.case(case_id)
    if row is None:
        raise NotThere(f"There is no case {case_id}.")
    if row.state == "withdrawn":
        raise NotNow(f"This case is withdrawn. {wanted} Open it for change to take it up again.")
    return row


def refuse_handed_over(
    desk: Desk, case_id: int, appliances: Collection[int] | None = None, categories: Collection[str] | None = None
) -> None:
    """Refuses what must not happen to a box that is at the benches: of these appliances, these categories, or any.

    Raises AtTheBenches.
    """
    jobs = [job for job in desk.store.read.jobs_of(case_id) if job.state == "gone"]
    if appliances is not None:
        jobs = [job for job in jobs if set(job.appliances) & set(appliances)]
    if categories is not None:
        jobs = [job for job in jobs if job.category in categories]
    if jobs:
        numbers = listed([read_number(job.number).shown for job in jobs])
        have = "Job {} has" if len(jobs) == 1 else "Jobs {} have"
        back = "Have its box" if len(jobs) == 1 else "Have their boxes"
        raise AtTheBenches(f"{have.format(numbers)} been handed over. {back} back at reception first.")


def shown_numbers(desk: Desk, case_id: int) -> str:
    """The numbers of a case as they are shown: those of its jobs that stand, or of all where it is withdrawn."""
    jobs = desk.store.read.jobs_of(case_id)
    standing = [job for job in jobs if job.state != "withdrawn"]
    numbers = [read_number(job.number).shown for job in standing or jobs]
    return listed(numbers) if numbers else "a case without a number"


def link_lines(desk: Desk, case_id: int) -> tuple[str, ...]:
    """What a case is to others, a line each: `Remake of 26 000123 45: did not fit`."""
    return tuple(_line(desk, case_id, link) for link in desk.store.read.links_of(case_id))


def where_to_go(desk: Desk, case: CaseRow, job: JobRow) -> str:
    """What to do with a ticket whose job is withdrawn; empty where the job stands."""
    if job.state != "withdrawn":
        return ""
    stop = "Nothing of it goes to a bench."
    links = desk.store.read.links_of(case.case_id)
    into = merged_into(desk, case.case_id)
    if into:
        return f"It is the same as {into}, which stands. Go on with that one. {stop}"
    if case.state == "open":  # the case stands, and nothing of it is in this box any more
        return f"This box is made no more. What was in it is in {_left(desk, case)} now. {stop}"
    returned = desk.store.read.returned_of(case.case_id)
    if returned is not None:
        day, why = returned
        return f"It was sent back to the practice on {shown_day(day)}{f': {why}' if why else ''}. {stop}"
    split = next((link for link in links if link.kind == "split" and link.case_id == case.case_id), None)
    was = f" It was split off from {shown_numbers(desk, split.of_case_id)}." if split else ""
    return f"Its case is withdrawn.{was} {stop}"


def made_as(desk: Desk, case: CaseRow, job: JobRow) -> str:
    """The numbers under which what a withdrawn job asked for is made now; empty where nothing of it is."""
    if job.state != "withdrawn":
        return ""
    into = merged_into(desk, case.case_id)
    return into or (_left(desk, case) if case.state == "open" else "")


def merged_into(desk: Desk, case_id: int) -> str:
    """The numbers of the case that a withdrawn one is the same as; empty where there is none."""
    links = desk.store.read.links_of(case_id)
    into = (link.of_case_id for link in links if link.kind == "merged" and link.case_id == case_id)
    return next((shown_numbers(desk, other) for other in into), "")


def _left(desk: Desk, case: CaseRow) -> str:
    """The numbers of a case that stands, behind those of what was split off from it."""
    links = desk.store.read.links_of(case.case_id)
    off = [link.case_id for link in links if link.kind == "split" and link.of_case_id == case.case_id]
    return listed([shown_numbers(desk, each) for each in (*off, case.case_id)])


def came_of(desk: Desk, case_id: int) -> dict[int, datetime]:
    """The cases that one was split off from, or made anew of, in turn; each with when that was.

    What came for them, and was done to it until then, came for this one too.
    """
    found: dict[int, datetime] = {}
    wanted = [(case_id, datetime.max)]
    while wanted:
        each, until = wanted.pop()
        for link in desk.store.read.links_of(each):
            if link.case_id == each and link.kind != "merged" and link.of_case_id not in (case_id, *found):
                found[link.of_case_id] = min(until, link.at)
                wanted.append((link.of_case_id, found[link.of_case_id]))
    return found


def kin(desk: Desk, case_id: int) -> frozenset[int]:
    """The cases that are linked to one, directly: that they are alike is known."""
    return frozenset(_ends(desk.store.read.links_of(case_id))) - {case_id}


def _ends(links: Collection[LinkRow]) -> Iterator[int]:
    for link in links:
        yield from (link.case_id, link.of_case_id)


_LINES = {
    ("split", True): "Split off from {}",
    ("split", False): "Split off as {}",
    ("merged", True): "The same as {}, which stands",
    ("merged", False): "Merged with {}, the same case",
    ("remake", True): "Remake of {}",
    ("remake", False): "Made again as {}",
}


def _line(desk: Desk, case_id: int, link: LinkRow) -> str:
    is_new = link.case_id == case_id
    other = link.of_case_id if is_new else link.case_id
    reason = link.reason.strip().rstrip(".")
    return _LINES[link.kind, is_new].format(shown_numbers(desk, other)) + (f": {reason}" if reason else "")
