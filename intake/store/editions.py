"""The editions of the lab setup, one after the other; none is ever changed."""

from hashlib import sha256

from sqlalchemy.orm import Session

from intake.store.chain import Journal, Subject
from intake.store.setup_tables import EditionTable
from intake.store.words import EditionSource


def digest_of(text: str) -> str:
    """The SHA-256 of a setup's text in UTF-8, in hexadecimal."""
    return sha256(text.encode()).hexdigest()


class Editions:
    """The editions of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def add(self, text: str, source: EditionSource, note: str = "", of: int | None = None) -> int:
        """Keep a new edition, which is in force from now on; its number.

        Args:
            text: The whole file.
            source: Where it comes from.
            note: Why it was changed.
            of: The edition that is put back.
        """
        row = EditionTable(
            at=self._journal.at,
            who=self._journal.who,
            text=text,
            sha256=digest_of(text),
            source=source,
            note=note,
            of_id=of,
        )
        self._session.add(row)
        self._session.flush()
        told = {"edition": row.id, "sha256": row.sha256, "source": source, "note": note, "of": of}
        self._journal.record("setup-in-force", Subject(), told)
        return row.id
