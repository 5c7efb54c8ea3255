"""The people at the desks: entered, changed, signed in and shut out for a while. No event holds a PIN or its hash."""

from datetime import datetime

from sqlalchemy.orm import Session

from intake.domain.people import Role
from intake.store.chain import Journal, Subject
from intake.store.meanwhile import NotNow, NotThere
from intake.store.setup_tables import PersonTable


class People:
    """The people of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def enter(self, initials: str, name: str, role: Role) -> None:
        """Enter somebody new. Raises NotNow where somebody has or had these initials."""
        known = self._session.get(PersonTable, initials)
        if known is not None:
            raise NotNow(f"{initials} is {known.name}. Choose other initials: the history names people by them.")
        row = PersonTable(initials=initials, name=name, role=role, active=True, pin=None, wrong=0, closed_until=None)
        self._session.add(row)
        self._session.flush()
        self._tell("person-entered", row)

    def change(self, initials: str, *, name: str, role: Role, active: bool) -> None:
        """Change what is known of somebody. Nothing is written where nothing changes. Raises NotThere."""
        row = self._row(initials)
        if (row.name, row.role, row.active) != (name, role, active):
            row.name, row.role, row.active = name, role, active
            self._session.flush()
            self._tell("person-changed", row)

    def set_pin(self, initials: str, pin: str | None) -> None:
        """Keep the argon2id hash of a new PIN, or that there is none; nobody is shut out any more. Raises NotThere."""
        row = self._row(initials)
        row.pin, row.wrong, row.closed_until = pin, 0, None
        self._session.flush()
        self._journal.record("pin-set" if pin is not None else "pin-taken", Subject(), {"initials": initials})

    def wrong_pin(self, initials: str, closed_until: datetime | None) -> None:
        """Count a wrong PIN; with a time, no PIN of theirs is taken until then. Raises NotThere."""
        row = self._row(initials)
        row.wrong = 0 if closed_until is not None else row.wrong + 1
        row.closed_until = closed_until
        self._session.flush()
        told = {"initials": initials, "closed_until": closed_until.isoformat() if closed_until else None}
        self._journal.record("pin-wrong", Subject(), told)

    def right_pin(self, initials: str) -> None:
        """Forget wrong PINs: the right one was given. Nothing is written where there were none. Raises NotThere."""
        row = self._row(initials)
        if row.wrong or row.closed_until is not None:
            row.wrong, row.closed_until = 0, None
            self._session.flush()

    def _row(self, initials: str) -> PersonTable:
        row = self._session.get(PersonTable, initials)
        if row is None:
            raise NotThere(f"Nobody here has the initials {initials}.")
        return row

    def _tell(self, kind: str, row: PersonTable) -> None:
        told = {"initials": row.initials, "name": row.name, "role": row.role, "active": row.active}
        self._journal.record(kind, Subject(), told)
