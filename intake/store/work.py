"""The unit of work: everything that one act at a desk changes, kept together or not at all."""

from datetime import datetime
from types import TracebackType

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from intake.store.answers import Answers
from intake.store.arrivals import Arrivals
from intake.store.calls import Calls
from intake.store.cases import Cases
from intake.store.chain import Journal
from intake.store.closings import Closings
from intake.store.directory import Directory
from intake.store.drafts import Drafts
from intake.store.editions import Editions
from intake.store.engine import WRITING
from intake.store.links import Links
from intake.store.moves import Moves
from intake.store.paper import Paper
from intake.store.parcels import Parcels
from intake.store.people import People
from intake.store.pourings import Pourings
from intake.store.recounts import Recounts
from intake.store.replies import Replies
from intake.store.scans import Scans


class Work:
    """One transaction by one person at one time.

    Nothing is kept without `commit`; leaving the block undoes what was not. There is one writer at a time on either
    database, so keep slow things (drawing, printing, mail) outside the block.
    """

    cases: Cases
    documents: Paper
    practices: Directory
    arrivals: Arrivals
    drafts: Drafts
    calls: Calls
    answers: Answers
    replies: Replies
    scans: Scans
    parcels: Parcels
    moves: Moves
    links: Links
    closings: Closings
    pourings: Pourings
    editions: Editions
    people: People
    recounts: Recounts

    def __init__(self, engine: Engine, who: str, at: datetime, edition: int | None = None) -> None:
        """Made by `Store.work`."""
        self._engine, self._who, self._at = engine.execution_options(**{WRITING: True}), who, at
        self._edition = edition

    def __enter__(self) -> "Work":
        """Begin; wait for another desk's writing to end."""
        self._session = Session(self._engine, autoflush=False, expire_on_commit=False)
        try:
            self._journal = Journal(self._session, self._who, self._at)
        except BaseException:
            self._session.close()
            raise
        session, journal = self._session, self._journal
        self.arrivals = Arrivals(session, journal)
        self.cases = Cases(session, journal, self.arrivals, self._edition)
        self.documents, self.practices = Paper(session, journal), Directory(session, journal)
        self.drafts = Drafts(session, self._at)
        self.calls, self.answers = Calls(session, journal), Answers(session, journal)
        self.replies, self.scans = Replies(session, journal), Scans(session, journal)
        self.parcels, self.moves = Parcels(session, journal, self.arrivals), Moves(session, journal)
        self.links, self.closings = Links(session, journal), Closings(session, journal)
        self.pourings = Pourings(session, journal)
        self.editions, self.people = Editions(session, journal), People(session, journal)
        self.recounts = Recounts(session, journal)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Undo what was not committed."""
        self._session.close()

    def commit(self) -> None:
        """Keep everything; once this returns it survives a killed process and a power cut. It ends the work."""
        self._session.flush()
        self._journal.write()
        self._session.commit()
