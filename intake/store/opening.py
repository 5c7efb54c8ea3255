"""Open the store: the one door to it."""

from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine

from intake.store.chain import Broken, Head, verify
from intake.store.engine import make_engine, url_of
from intake.store.reading import Reading
from intake.store.upgrading import bring_up_to_date
from intake.store.work import Work


class Store:
    """An open store. `read` reads, `work` writes; both may be used from any thread."""

    def __init__(self, engine: Engine, kept: Path | None) -> None:
        """Made by `Store.open`."""
        self.engine = engine
        self.read = Reading(engine)
        self.kept = kept
        """The copy that was made of an older file before its schema was changed."""

    @classmethod
    def open(cls, place: str | Path) -> "Store":
        """Open a SQLite file, made if it is not there, or a PostgreSQL database, by its path or URL.

        An older schema is brought up to date; of a file a copy is kept first.

        Raises:
            StoreRefused: it is locked, damaged, read-only, not Intake's, newer than this Intake, or out of reach.
        """
        engine = make_engine(url_of(place))
        try:
            return cls(engine, bring_up_to_date(engine))
        except BaseException:
            engine.dispose()
            raise

    def work(self, who: str, at: datetime, edition: int | None = None) -> Work:
        """One act of one person, kept together or not at all.

        Args:
            who: Initials or name, for the history.
            at: The lab's wall clock, without a time zone.
            edition: The edition of the lab setup by which cases are judged in it; None where it is not known.
        """
        return Work(self.engine, who, at, edition)

    def verify_chain(self, remembered: Head | None = None) -> Head | Broken:
        """Walk the whole history: its head when it holds, else the first event at which it does not.

        Args:
            remembered: A head kept elsewhere, such as a backup's, that the history must still contain.
        """
        with self.engine.connect() as connection:
            return verify(connection, remembered)

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()
