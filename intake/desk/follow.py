"""Asks the print queues what became of the documents that they accepted."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.issue import title_of
from intake.errors import IntakeError
from intake.outbox.print_queue import QueueJob
from intake.store.rows import DocumentRow


@dataclass(frozen=True)
class Followed:
    """What the queues said of what they accepted."""

    done: int = 0
    under_way: int = 0
    failed: tuple[str, ...] = ()
    """A sentence for each document that a queue gave up."""
    untraced: tuple[int, ...] = ()
    """Documents of which their queue keeps no trace: it is no use to ask again."""


def follow(desk: Desk, untraced: Collection[int] = ()) -> Followed:
    """Marks what is printed as done and what was given up as failed; a failed document can be sent again.

    `untraced` are documents not to ask for. A print service that does not answer is asked again the next time.
    """
    asked = [row for row in desk.store.read.documents_sent() if row.document_id not in untraced and row.queue_job]
    states = dict(_states(desk, asked))
    done = [row for row in asked if states.get(row.document_id) == "done"]
    failed = [row for row in asked if states.get(row.document_id) == "failed"]
    problems = [f"{title_of(row)}: the print queue “{row.queue}” gave job {row.queue_job} up." for row in failed]
    if done or failed:
        with desk.work() as work:
            for row in done:
                work.documents.mark_done(row.document_id)
            for row, problem in zip(failed, problems, strict=True):
                work.documents.mark_failed(row.document_id, problem)
            work.commit()
    lost = tuple(row.document_id for row in asked if states.get(row.document_id) == "unknown")
    return Followed(len(done), len(asked) - len(done) - len(failed) - len(lost), tuple(problems), lost)


def _states(desk: Desk, documents: list[DocumentRow]) -> Iterator[tuple[int, str]]:
    """What the queue says of each; nothing more once the print service does not answer."""
    for document in documents:
        try:
            yield document.document_id, desk.queue.state(QueueJob(str(document.queue), int(str(document.queue_job))))
        except IntakeError:
            return
