"""What is read of the lab setup's editions and of the people at the desks."""

from typing import Any

from sqlalchemy import func, select

from intake.store.selecting import Selecting
from intake.store.selects import AnySelect
from intake.store.setup_rows import EditionRow, PersonRow
from intake.store.setup_tables import EditionTable, PersonTable
from intake.store.tables import CaseTable, CaseWordTable, JobTable

_EDITIONS: AnySelect = select(
    EditionTable.id,
    EditionTable.at,
    EditionTable.who,
    EditionTable.sha256,
    EditionTable.source,
    EditionTable.note,
    EditionTable.of_id,
)
_PEOPLE: AnySelect = select(
    PersonTable.initials,
    PersonTable.name,
    PersonTable.role,
    PersonTable.active,
    PersonTable.pin,
    PersonTable.wrong,
    PersonTable.closed_until,
    PersonTable.version,
)
_UNFINISHED = JobTable.finished.is_(None), JobTable.state != "withdrawn", CaseTable.state == "open"
_BY_CATEGORY: AnySelect = (
    select(JobTable.category, func.max(JobTable.category_name), func.count())
    .join(CaseTable, CaseTable.id == JobTable.case_id)
    .where(*_UNFINISHED)
    .group_by(JobTable.category)
)
_AT_BENCHES: AnySelect = (
    select(JobTable.bench, func.count())
    .join(CaseTable, CaseTable.id == JobTable.case_id)
    .where(JobTable.bench > "", *_UNFINISHED)
    .group_by(JobTable.bench)
)
_BY_TYPE: AnySelect = (
    select(CaseWordTable.word, func.count())
    .where(
        CaseWordTable.word >= "@",  # what is to be made stands among a case's words so: `@study-model`
        CaseWordTable.word < "A",
        CaseWordTable.case_id.in_(
            select(JobTable.case_id).join(CaseTable, CaseTable.id == JobTable.case_id).where(*_UNFINISHED)
        ),
    )
    .group_by(CaseWordTable.word)
)


class SetupReading(Selecting):
    """Editions and people."""

    def editions(self) -> tuple[EditionRow, ...]:
        """Every edition of the setup, newest first; the newest is in force."""
        return tuple(_edition(row) for row in self._all(_EDITIONS.order_by(EditionTable.id.desc())))

    def edition(self, edition: int) -> EditionRow | None:
        """One edition by its number."""
        return next((_edition(row) for row in self._all(_EDITIONS.where(EditionTable.id == edition))), None)

    def edition_text(self, edition: int) -> str | None:
        """The whole text of an edition."""
        found = select(EditionTable.text).where(EditionTable.id == edition)
        return next((row[0] for row in self._all(found)), None)

    def newest_edition(self) -> EditionRow | None:
        """The edition that is in force; None before the first."""
        return next((_edition(row) for row in self._all(_EDITIONS.order_by(EditionTable.id.desc()).limit(1))), None)

    def edition_of(self, sha256: str) -> EditionRow | None:
        """The newest edition with this digest."""
        found = _EDITIONS.where(EditionTable.sha256 == sha256).order_by(EditionTable.id.desc()).limit(1)
        return next((_edition(row) for row in self._all(found)), None)

    def open_jobs_by_category(self) -> dict[str, tuple[str, int]]:
        """How many jobs are neither finished nor withdrawn, by the id of their category, each with its name."""
        return {row[0]: (row[1], row[2]) for row in self._all(_BY_CATEGORY)}

    def boxes_at_benches(self) -> dict[str, int]:
        """How many boxes stand at each bench."""
        return {row[0]: row[1] for row in self._all(_AT_BENCHES)}

    def open_appliances(self) -> dict[str, int]:
        """How many open cases have an appliance of each type, by its id."""
        return {row[0].removeprefix("@"): row[1] for row in self._all(_BY_TYPE)}

    def has_cases(self) -> bool:
        """Whether any case was ever booked."""
        return bool(self._all(select(CaseTable.id).limit(1)))

    def people(self) -> tuple[PersonRow, ...]:
        """Everybody who is or was at the desks, by initials."""
        return tuple(PersonRow(*row) for row in self._all(_PEOPLE.order_by(PersonTable.initials)))

    def person(self, initials: str) -> PersonRow | None:
        """Somebody by initials, in capitals."""
        return next((PersonRow(*row) for row in self._all(_PEOPLE.where(PersonTable.initials == initials))), None)


def _edition(row: Any) -> EditionRow:
    return EditionRow(*row)
