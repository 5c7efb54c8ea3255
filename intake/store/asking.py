"""The queries of a case brought in line with a verdict: one for each finding that has to be asked."""

from collections.abc import Collection
from dataclasses import dataclass, field
from itertools import chain

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.domain.verdict import Finding, Verdict
from intake.store.boxing import Boxed
from intake.store.chain import Journal
from intake.store.tables import QueryTable


@dataclass
class Asked:
    """The queries that were opened, answered and withdrawn, and how many are open."""

    opened: list[QueryTable] = field(default_factory=list)
    answered: list[QueryTable] = field(default_factory=list)
    withdrawn: list[QueryTable] = field(default_factory=list)
    reworded: list[QueryTable] = field(default_factory=list)
    open: int = 0

    def told(self) -> dict[str, list[str]]:
        """What an event says of it."""
        lists = {"opened": self.opened, "answered": self.answered, "withdrawn": self.withdrawn}
        lists["reworded"] = self.reworded
        return {name: [query_name(query) for query in queries] for name, queries in lists.items() if queries}


def query_name(query: QueryTable) -> str:
    """A query as an event names it: `shade`, or `thickness[1]` of the second appliance."""
    return query.requirement if query.appliance is None else f"{query.requirement}[{query.appliance}]"


def match_queries(
    session: Session,
    journal: Journal,
    standing: list[QueryTable],
    case_id: int,
    verdict: Verdict,
    boxed: Boxed,
    answered: Collection[int] = (),
) -> Asked:
    """Open a query for each new finding that stops or asks; close those whose finding is no more.

    Of these the `answered` ones become answered, the others withdrawn.
    """
    asked = Asked()
    known: dict[tuple[str, int | None], list[QueryTable]] = {}
    for query in standing:
        known.setdefault((query.requirement, query.appliance), []).append(query)
    for finding in verdict.findings:
        if finding.level == "warns":
            continue
        asked.open += 1
        same = known.get((finding.requirement, finding.appliance))
        if same:
            query = same.pop(0)
            if (query.question, query.level) != (finding.question, finding.level):
                asked.reworded.append(query)
        else:
            query = QueryTable(case_id=case_id, state="open", opened=journal.at)
            session.add(query)
            asked.opened.append(query)
        _describe(query, finding, boxed)
    for query in chain.from_iterable(known.values()):
        query.state, closed = ("answered", asked.answered) if query.id in answered else ("withdrawn", asked.withdrawn)
        closed.append(query)
    return asked


def open_queries(session: Session, case_id: int) -> list[QueryTable]:
    """The case's open queries in the order to ask them."""
    found = select(QueryTable).where(QueryTable.case_id == case_id, QueryTable.state == "open").order_by(QueryTable.id)
    return list(session.scalars(found))


def _describe(query: QueryTable, finding: Finding, boxed: Boxed) -> None:
    job = boxed.job_of(finding.appliance)
    query.job_id = job.id if job else None
    query.requirement, query.level, query.appliance = finding.requirement, finding.level, finding.appliance
    query.question, query.because, query.place = finding.question, finding.because, finding.place
