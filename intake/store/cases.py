"""Book a case in, amend it, withdraw it, take it up again."""

from collections.abc import Collection, Mapping
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session
from sqlalchemy.orm.attributes import flag_modified

from intake.domain.case import Case
from intake.domain.verdict import Verdict
from intake.store.arrivals import Arrivals
from intake.store.asking import Asked, match_queries, open_queries
from intake.store.boxing import Boxed, booked_jobs, cancel_tickets, jobs_of, match_jobs, newest_tickets, wait_again
from intake.store.chain import Journal, Subject
from intake.store.describing import describe, forget, write_items, write_words
from intake.store.differences import changes, flat, parted
from intake.store.meanwhile import NotNow, NotThere, refuse_stale
from intake.store.rows import AmendedCase, BookedCase
from intake.store.tables import CaseTable, EventTable, JobTable, QueryTable

Names = Mapping[str, str]
"""The name of each category by its id."""


class Cases:
    """The cases of one unit of work."""

    def __init__(self, session: Session, journal: Journal, arrivals: Arrivals, edition: int | None = None) -> None:
        """Write through a session and its journal; `edition` is that of the lab setup which judges."""
        self._session, self._journal, self._arrivals = session, journal, arrivals
        self._edition = edition

    def book(
        self, case: Case, verdict: Verdict, *, token: str, names: Names, arrival_id: int | None = None
    ) -> BookedCase:
        """Book a case in: jobs get numbers in the verdict's order, findings become queries, tickets wait to be drawn.

        Args:
            case: The prescription.
            verdict: What the lab says of it.
            token: A unique id that the client made for this booking. A token that is known returns the first booking,
                and writes nothing.
            names: The name of each category by its id.
            arrival_id: The arrival that the case came with; it becomes booked.

        Raises:
            NotThere: there is no such arrival.
        """
        first = self._session.scalar(select(CaseTable).where(CaseTable.token == token))
        if first is not None:
            return self._booked_before(first)
        row = CaseTable(token=token, state="open", booked=self._journal.at, edition=self._edition)
        describe(self._session, row, case, verdict)
        self._session.add(row)
        self._session.flush()
        boxed, asked = self._match(row, verdict, names, [], [])
        self._record("case-booked", row, parted(changes({}, flat(case))), _outcome(boxed, asked) | self._judged_by)
        if arrival_id is not None:
            self._arrivals.booked(arrival_id, row.id)
        return BookedCase(row.id, row.version, booked_jobs(boxed.standing, boxed.tickets), asked.open)

    def amend(
        self,
        case_id: int,
        version: int,
        case: Case,
        verdict: Verdict,
        *,
        names: Names,
        answered: Collection[int] = (),
    ) -> AmendedCase:
        """Replace a case's prescription. Nothing is written when nothing changes.

        Args:
            case_id: The case.
            version: The version that was read.
            case: The prescription as it shall be.
            verdict: What the lab says of it.
            names: The name of each category by its id.
            answered: The queries that an answer was given to; those of them that close by it are answered. Other
                queries that close are withdrawn.

        Raises:
            NotThere: there is no such case.
            NotNow: the case is withdrawn.
            ChangedMeanwhile: it was changed since it was read.
        """
        row = self._fresh(case_id, version, case)
        if row.state == "withdrawn":
            raise NotNow("This case is withdrawn. Take it up again before changing it.")
        changed = changes(flat(row.prescription), flat(case))
        describe(self._session, row, case, verdict)
        row.edition = self._edition if changed else row.edition
        self._session.flush()
        forget(self._session, row.id)
        known = jobs_of(self._session, row.id), open_queries(self._session, row.id)
        boxed, asked = self._match(row, verdict, names, *known, answered)
        outcome = _outcome(boxed, asked)
        if changed or outcome:
            if row.version == version:  # only jobs or queries changed: whoever has the case open must hear of it
                row.edition = self._edition
                flag_modified(row, "state")
                self._session.flush()
            self._record("case-amended", row, parted(changed), outcome | self._judged_by)
        return self._amended(row, boxed, asked, tuple(changed))

    def withdraw(self, case_id: int, version: int, reason: str) -> int:
        """Withdraw a case and its jobs, and cancel what is not printed; the case's new version.

        Raises:
            NotThere: there is no such case.
            NotNow: it is withdrawn already.
            ChangedMeanwhile: it was changed since it was read.
        """
        row = self._fresh(case_id, version)
        if row.state == "withdrawn":
            raise NotNow("This case is withdrawn already.")
        row.state = "withdrawn"
        jobs = [job for job in jobs_of(self._session, row.id) if job.state in ("held", "clear")]
        for job in jobs:
            job.state = "withdrawn"
        cancelled = cancel_tickets(self._session, [job.id for job in jobs])
        self._session.flush()
        told = {"jobs": [job.number for job in jobs], "cancelled": cancelled}
        self._record("case-withdrawn", row, ({"state": ["open", "withdrawn"]}, {}), told, reason)
        return row.version

    def reinstate(self, case_id: int, version: int, reason: str = "") -> int:
        """Take a withdrawn case up again: its jobs with their numbers, and tickets that were never printed.

        The case's new version is returned.

        Raises:
            NotThere: there is no such case.
            NotNow: it is not withdrawn.
            ChangedMeanwhile: it was changed since it was read.
        """
        row = self._fresh(case_id, version)
        if row.state == "open":
            raise NotNow("This case is not withdrawn.")
        row.state = "open"
        stopped = [query.job_id for query in open_queries(self._session, row.id) if query.level == "stops"]
        jobs = [job for job in jobs_of(self._session, row.id) if job.state == "withdrawn" and job.appliances]
        for job in jobs:
            job.state = "held" if None in stopped or job.id in stopped else "clear"
        waiting = wait_again(self._session, jobs)
        self._session.flush()
        told = {"jobs": [job.number for job in jobs], "waiting": waiting}
        self._record("case-reinstated", row, ({"state": ["withdrawn", "open"]}, {}), told, reason)
        return row.version

    @property
    def _judged_by(self) -> dict[str, int]:
        """What an event says of the edition of the lab setup that judged."""
        return {} if self._edition is None else {"edition": self._edition}

    def _match(
        self,
        row: CaseTable,
        verdict: Verdict,
        names: Names,
        jobs: list[JobTable],
        queries: list[QueryTable],
        answered: Collection[int] = (),
    ) -> tuple[Boxed, Asked]:
        """Bring everything that hangs on a case in line with its prescription and verdict."""
        write_items(self._session, row)
        write_words(self._session, row)
        boxed = match_jobs(self._session, self._journal, jobs, row.id, verdict, names)
        asked = match_queries(self._session, self._journal, queries, row.id, verdict, boxed, answered)
        self._session.flush()
        return boxed, asked

    def _fresh(self, case_id: int, version: int, mine: Case | None = None) -> CaseTable:
        """The case, if it still is what was read."""
        row = self._session.get(CaseTable, case_id)
        if row is None:
            raise NotThere(f"There is no case {case_id}.")
        theirs = {"state": row.state} | flat(row.prescription)
        about = (EventTable.case_id == case_id) & EventTable.kind.startswith("case-")
        wanted = None if mine is None else {"state": "open"} | flat(mine)
        refuse_stale(self._session, "This case", (version, row.version), about, theirs, wanted)
        return row

    def _record(
        self,
        kind: str,
        row: CaseTable,
        changed: tuple[dict[str, Any], dict[str, Any]],
        outcome: dict[str, Any],
        reason: str = "",
    ) -> None:
        """Record an event; a reason is free text, which may name the patient."""
        public, hidden = changed
        personal = {name: what for name, what in {"changes": hidden, "reason": reason}.items() if what}
        self._journal.record(
            kind, Subject(case_id=row.id), {"version": row.version, "changes": public} | outcome, personal
        )

    def _booked_before(self, row: CaseTable) -> BookedCase:
        jobs = jobs_of(self._session, row.id)
        booked = booked_jobs(jobs, newest_tickets(self._session, jobs))
        return BookedCase(row.id, row.version, booked, len(open_queries(self._session, row.id)), again=True)

    def _amended(self, row: CaseTable, boxed: Boxed, asked: Asked, changed: tuple[str, ...]) -> AmendedCase:
        new, withdrawn = (tuple(job.number for job in jobs) for jobs in (boxed.new, boxed.withdrawn))
        queries = len(asked.opened), len(asked.withdrawn), len(asked.answered)
        jobs = booked_jobs(boxed.standing, newest_tickets(self._session, boxed.standing))
        return AmendedCase(row.id, row.version, jobs, new, withdrawn, *queries, changed)


def _outcome(boxed: Boxed, asked: Asked) -> dict[str, Any]:
    """What an event says of the jobs and queries; empty when nothing changed."""
    told = {"jobs": boxed.changes, "queries": asked.told()}
    return {name: what for name, what in told.items() if what}
