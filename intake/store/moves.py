"""Where the boxes of jobs go: moves are added and marked as taken back; a numbered box holds one job."""

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.domain.box_moves import MoveKind
from intake.store.chain import Journal, Subject
from intake.store.meanwhile import ChangedMeanwhile, NotNow, NotThere
from intake.store.move_rows import StandsAt
from intake.store.physical_tables import BoxTable, MoveTable
from intake.store.tables import JobTable


class Moves:
    """The moves of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def move(
        self, job_id: int, version: int, kind: MoveKind, bench: str, to: StandsAt, *, copy: int = 0, reason: str = ""
    ) -> int:
        """Keep one move of a job's box; its id. A job that is finished leaves its numbered box.

        Args:
            job_id: The job.
            version: Its version when it was read.
            kind: What was done.
            bench: Where the box went, came in or came from.
            to: Where that leaves the job.
            copy: The copy of the ticket that was scanned; 0 when the number was typed.
            reason: Why it came back; it may name a patient.

        Raises:
            NotThere: there is no such job.
            ChangedMeanwhile: it was moved or changed since it was read.
        """
        job = self._fresh(job_id, version)
        said = {"kind": kind, "bench": bench, "copy": copy, "reason": reason}
        row = MoveTable(job_id=job.id, at=self._journal.at, who=self._journal.who, taken_back=False, **said)
        self._session.add(row)
        before = self._leave(job, to)
        self._session.flush()
        told = {"move": row.id, "bench": bench, "copy": copy} | before
        if to.finished and (freed := self._free(job.id)) is not None:
            told["box"] = freed
        self._record(f"job-{kind}", job, told, reason)
        return row.id

    def take_back(self, move_id: int, version: int, to: StandsAt) -> None:
        """Take a job's newest move back that was a mistake; it counts no more, and stays in the history.

        Args:
            move_id: The move.
            version: The job's version when it was read.
            to: Where the moves that are left leave the job.

        Raises:
            NotThere: there is no such move.
            NotNow: it was taken back before, or its box was moved since.
            ChangedMeanwhile: the job was changed since it was read.
        """
        row = self._session.get(MoveTable, move_id)
        if row is None:
            raise NotThere(f"There is no move {move_id}.")
        if row.taken_back:
            raise NotNow("This move was taken back already.")
        job = self._fresh(row.job_id, version)
        newest = self._newest(job.id)
        if newest is None or newest.id != row.id:
            raise NotNow("Its box was moved on since, so this move cannot be taken back. Bring the box back instead.")
        row.taken_back = True
        self._session.flush()
        before = self._leave(job, to)
        earlier = self._newest(job.id)
        job.moved = earlier.at if earlier is not None else None
        job.finished = earlier.at if earlier is not None and to.finished else None
        self._session.flush()
        self._record("move-taken-back", job, {"move": row.id, "kind": row.kind, "bench": row.bench} | before)

    def put_in_box(self, number: int, job_id: int) -> int | None:
        """Let a job lie in a numbered box; the number of the one that it lay in before, which is free now.

        Raises:
            NotThere: there is no such job.
            NotNow: another job lies in the box.
        """
        job = self._job(job_id)
        held = self._session.get(BoxTable, number)
        if held is not None and held.job_id == job.id:
            return None
        if held is not None:
            other = self._job(held.job_id)
            raise NotNow(f"Box {number} holds another job, {other.number}.")
        before = self._free(job.id)
        self._session.add(BoxTable(number=number, job_id=job.id, since=self._journal.at))
        self._session.flush()
        self._record("box-filled", job, {"box": number, "before": before})
        return before

    def free_box(self, number: int) -> None:
        """Let a numbered box be free.

        Raises:
            NotNow: it is free already.
        """
        held = self._session.get(BoxTable, number)
        if held is None:
            raise NotNow(f"Box {number} is free already.")
        job = self._job(held.job_id)
        self._free(job.id)
        self._record("box-freed", job, {"box": number})

    def tell_question(self, case_id: int, question: str, bench: str = "", *, taken_back: bool = False) -> None:
        """Tell in the history that a question was raised, or taken back; it may name a patient."""
        kind = "question-taken-back" if taken_back else "question-raised"
        self._journal.record(kind, Subject(case_id=case_id), {"bench": bench}, {"question": question})

    def _leave(self, job: JobTable, to: StandsAt) -> dict[str, Any]:
        """Leave a job where a move leaves it; what changed of its state, for the event."""
        changed = {"state": [job.state, to.state]} if job.state != to.state else {}
        job.state, job.bench, job.moved = to.state, to.bench, self._journal.at
        job.finished = self._journal.at if to.finished else None
        return changed

    def _free(self, job_id: int) -> int | None:
        """Free the box of a job; its number."""
        box = self._session.scalar(select(BoxTable).where(BoxTable.job_id == job_id))
        if box is None:
            return None
        number = box.number
        self._session.delete(box)
        self._session.flush()
        return number

    def _newest(self, job_id: int) -> MoveTable | None:
        stands = MoveTable.job_id == job_id, ~MoveTable.taken_back
        return self._session.scalar(select(MoveTable).where(*stands).order_by(MoveTable.id.desc()).limit(1))

    def _job(self, job_id: int) -> JobTable:
        job = self._session.get(JobTable, job_id)
        if job is None:
            raise NotThere(f"There is no job {job_id}.")
        return job

    def _fresh(self, job_id: int, version: int) -> JobTable:
        job = self._job(job_id)
        if job.version != version:
            raise ChangedMeanwhile("This job", job.version, ())
        return job

    def _record(self, kind: str, job: JobTable, told: dict[str, Any], reason: str = "") -> None:
        """Record an event; a reason is free text, which may name the patient."""
        self._journal.record(kind, Subject(job.case_id, job.number), told, {"reason": reason} if reason else None)
