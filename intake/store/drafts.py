"""What is half typed at a desk, kept so that a crash loses at most the field being typed. No event tells of it."""

from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from intake.store.tables import DraftTable


class Drafts:
    """The drafts of one unit of work."""

    def __init__(self, session: Session, at: datetime) -> None:
        """Write through a session."""
        self._session, self._at = session, at

    def keep(self, desk: str, content: dict[str, Any]) -> None:
        """Replace what is kept for a desk."""
        row = self._session.get(DraftTable, desk)
        if row is None:
            self._session.add(DraftTable(desk=desk, content=content, saved=self._at))
        else:
            row.content, row.saved = content, self._at

    def clear(self, desk: str) -> None:
        """Keep nothing for a desk."""
        row = self._session.get(DraftTable, desk)
        if row is not None:
            self._session.delete(row)
