"""What is read of parcels."""

from collections.abc import Collection
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, func, select

from intake.store.parcel_rows import ContentRow, DisinfectionRow, IncidentRow, ParcelFacts, ParcelFileRow, ParcelRow
from intake.store.physical_tables import (
    DisinfectionTable,
    IncidentTable,
    ParcelContentTable,
    ParcelFileTable,
    ParcelTable,
)
from intake.store.rows import DocumentRow
from intake.store.selecting import Selecting, parts
from intake.store.selects import DOCUMENTS, AnySelect
from intake.store.tables import ArrivalTable, DocumentTable, PracticeTable
from intake.store.words import ParcelState

_NAME = func.coalesce(PracticeTable.name, ParcelTable.practice_name)
"""As the directory has it now; as it was written where the directory has none."""
_PARCELS: AnySelect = select(
    ParcelTable.id,
    ParcelTable.version,
    ParcelTable.at,
    ParcelTable.who,
    ParcelTable.state,
    ParcelTable.why,
    ParcelTable.again_of,
    ParcelTable.way,
    ParcelTable.label,
    ParcelTable.label_kind,
    ParcelTable.service,
    ParcelTable.practice_code,
    _NAME,
    ParcelTable.hygiene,
    ParcelTable.seen,
    ParcelTable.note,
    ParcelTable.accepted_by,
).outerjoin(PracticeTable, PracticeTable.code == ParcelTable.practice_code)
_CONTENTS: AnySelect = select(
    ParcelContentTable.id,
    ParcelContentTable.version,
    ParcelContentTable.parcel_id,
    ParcelContentTable.position,
    ParcelContentTable.kind,
    ParcelContentTable.arrival_id,
    ParcelContentTable.found,
    ParcelContentTable.note,
    ParcelContentTable.reason,
    ParcelContentTable.taken_out,
    ArrivalTable.state,
    ArrivalTable.case_id,
).outerjoin(ArrivalTable, ArrivalTable.id == ParcelContentTable.arrival_id)
_FILES: AnySelect = select(
    ParcelFileTable.id,
    ParcelFileTable.parcel_id,
    ParcelFileTable.at,
    ParcelFileTable.name,
    ParcelFileTable.sha256,
    ParcelFileTable.bytes,
)
_DISINFECTIONS: AnySelect = select(
    DisinfectionTable.id,
    DisinfectionTable.at,
    DisinfectionTable.who,
    DisinfectionTable.agent,
    DisinfectionTable.minutes,
    DisinfectionTable.parcel_id,
    DisinfectionTable.case_id,
).where(~DisinfectionTable.taken_back)
_INCIDENTS: AnySelect = select(
    IncidentTable.id,
    IncidentTable.at,
    IncidentTable.who,
    IncidentTable.kind,
    IncidentTable.parcel_id,
    IncidentTable.what,
    IncidentTable.done,
    IncidentTable.told,
    IncidentTable.closed,
    IncidentTable.closed_by,
)


class ParcelReading(Selecting):
    """Parcels."""

    def parcel(self, parcel_id: int) -> ParcelRow | None:
        """One parcel."""
        return next(iter(self._parcels(_PARCELS.where(ParcelTable.id == parcel_id))), None)

    def parcels(self, parcel_ids: Collection[int]) -> dict[int, ParcelRow]:
        """Parcels by their ids."""
        rows = (self._parcels(_PARCELS.where(ParcelTable.id.in_(part))) for part in parts(parcel_ids))
        return {row.parcel_id: row for several in rows for row in several}

    def parcels_in(self, states: Collection[ParcelState]) -> tuple[ParcelRow, ...]:
        """The parcels in these states, oldest first."""
        return self._parcels(_PARCELS.where(ParcelTable.state.in_(states)).order_by(ParcelTable.at, ParcelTable.id))

    def latest_parcels(self, states: Collection[ParcelState], most: int) -> tuple[ParcelRow, ...]:
        """The parcels in these states, newest first."""
        newest = _PARCELS.where(ParcelTable.state.in_(states)).order_by(ParcelTable.at.desc(), ParcelTable.id.desc())
        return self._parcels(newest.limit(most))

    def parcels_labelled(self, label: str) -> tuple[ParcelRow, ...]:
        """The parcels that have had a label, newest first."""
        labelled = _PARCELS.where(ParcelTable.label == label)
        return self._parcels(labelled.order_by(ParcelTable.at.desc(), ParcelTable.id.desc()))

    def parcels_between(self, start: datetime, end: datetime) -> tuple[ParcelRow, ...]:
        """The parcels that came from one time until before another, oldest first."""
        came = _PARCELS.where(ParcelTable.at >= start, ParcelTable.at < end)
        return self._parcels(came.order_by(ParcelTable.at, ParcelTable.id))

    def contents_of(self, parcel_ids: Collection[int]) -> dict[int, tuple[ContentRow, ...]]:
        """What lay in parcels, in order; a parcel of which nothing is logged is left out."""
        found: dict[int, tuple[ContentRow, ...]] = {}
        for part in parts(parcel_ids):
            of_parcels = ParcelContentTable.parcel_id.in_(part), ~ParcelContentTable.taken_out
            for row in self._contents(_CONTENTS.where(*of_parcels)):
                found[row.parcel_id] = (*found.get(row.parcel_id, ()), row)
        return found

    def content(self, content_id: int) -> ContentRow | None:
        """One thing that lay in a parcel, even one that was taken out."""
        return next(iter(self._contents(_CONTENTS.where(ParcelContentTable.id == content_id))), None)

    def contents_of_arrivals(self, arrival_ids: Collection[int]) -> tuple[ContentRow, ...]:
        """What lay in parcels and waits, or waited, in these arrivals."""
        selects = (
            _CONTENTS.where(ParcelContentTable.arrival_id.in_(part), ~ParcelContentTable.taken_out)
            for part in parts(arrival_ids)
        )
        return tuple(row for each in selects for row in self._contents(each))

    def contents_of_case(self, case_id: int) -> tuple[ContentRow, ...]:
        """What of a case came in parcels, in the order that it was logged."""
        booked = ArrivalTable.case_id == case_id, ArrivalTable.state == "booked", ~ParcelContentTable.taken_out
        return self._contents(_CONTENTS.where(*booked))

    def parcel_files(self, parcel_id: int) -> tuple[ParcelFileRow, ...]:
        """The photographs of a parcel, oldest first."""
        of_parcel = ParcelFileTable.parcel_id == parcel_id, ~ParcelFileTable.taken_out
        return self._parcel_files(_FILES.where(*of_parcel).order_by(ParcelFileTable.id))

    def parcel_file(self, file_id: int) -> ParcelFileRow | None:
        """One photograph, even one that was taken out."""
        return next(iter(self._parcel_files(_FILES.where(ParcelFileTable.id == file_id))), None)

    def disinfections(
        self, parcel_ids: Collection[int] = (), case_ids: Collection[int] = ()
    ) -> tuple[DisinfectionRow, ...]:
        """The disinfections of these parcels as a whole and of these cases, oldest first; none that was taken back."""
        found: list[DisinfectionRow] = []
        for column, ids in ((DisinfectionTable.parcel_id, parcel_ids), (DisinfectionTable.case_id, case_ids)):
            for part in parts(ids):
                found += [DisinfectionRow(*row) for row in self._all(_DISINFECTIONS.where(column.in_(part)))]
        return tuple(sorted(found, key=lambda row: (row.at, row.disinfection_id)))

    def disinfection(self, disinfection_id: int) -> DisinfectionRow | None:
        """One disinfection that counts."""
        rows = self._all(_DISINFECTIONS.where(DisinfectionTable.id == disinfection_id))
        return next((DisinfectionRow(*row) for row in rows), None)

    def incidents_of(self, parcel_id: int) -> tuple[IncidentRow, ...]:
        """The incidents of a parcel, oldest first."""
        return self._incidents(IncidentTable.parcel_id == parcel_id)

    def incidents_open(self) -> tuple[IncidentRow, ...]:
        """The incidents that nobody has closed, oldest first."""
        return self._incidents(IncidentTable.closed.is_(None))

    def incident(self, incident_id: int) -> IncidentRow | None:
        """One incident."""
        return next(iter(self._incidents(IncidentTable.id == incident_id)), None)

    def sheets_about(self, kind: str, about: dict[str, Any]) -> tuple[DocumentRow, ...]:
        """The sheets of a kind that are about exactly this, oldest first."""
        return self._documents(DOCUMENTS.where(DocumentTable.kind == kind, DocumentTable.about == about))

    def _parcels(self, found: AnySelect) -> tuple[ParcelRow, ...]:
        return tuple(_parcel_row(*row) for row in self._all(found))

    def _contents(self, found: AnySelect) -> tuple[ContentRow, ...]:
        in_order = found.order_by(ParcelContentTable.parcel_id, ParcelContentTable.position)
        return tuple(ContentRow(*row) for row in self._all(in_order))

    def _parcel_files(self, found: AnySelect) -> tuple[ParcelFileRow, ...]:
        return tuple(ParcelFileRow(*row) for row in self._all(found))

    def _incidents(self, which: ColumnElement[bool]) -> tuple[IncidentRow, ...]:
        return tuple(IncidentRow(*row) for row in self._all(_INCIDENTS.where(which).order_by(IncidentTable.id)))


def _parcel_row(
    parcel_id: int, version: int, at: datetime, who: str, state: ParcelState, why: str, again_of: int | None, *said: Any
) -> ParcelRow:
    named = dict(zip(ParcelFacts.__dataclass_fields__, said, strict=True))
    facts = ParcelFacts(**(named | {"seen": tuple(named["seen"])}))
    return ParcelRow(parcel_id, version, at, who, facts, state, why, again_of)
