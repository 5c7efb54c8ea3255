"""What is known of parcels: a card of one, lines of many."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.hygiene import DisinfectionLine, disinfection_line, done_here, standing_statement_of
from intake.desk.incidents import IncidentLine, incident_line
from intake.desk.parcel_contents import ContentLine, content_line
from intake.desk.parcel_labels import SeenBefore, seen_before
from intake.domain.case import Condition
from intake.domain.hygiene import HygieneStanding, standing_of_parcel
from intake.domain.parcel_labels import label_text
from intake.domain.parcels import HARMLESS, ParcelHygiene, is_settled, seen_words
from intake.domain.practice import Practice
from intake.domain.wording import capital, listed
from intake.store.meanwhile import NotThere
from intake.store.parcel_rows import ContentRow, DisinfectionRow, ParcelRow
from intake.store.words import DocumentState, LabelKind, ParcelState, ParcelWay


@dataclass(frozen=True)
class Photograph:
    """A photograph of a parcel."""

    file_id: int
    name: str
    at: datetime
    path: Path


@dataclass(frozen=True)
class ReturnNote:
    """A note of return and where it has got to."""

    document_id: int
    state: DocumentState


@dataclass(frozen=True)
class ParcelCard:
    """Everything that is known of one parcel."""

    parcel_id: int
    version: int
    at: datetime
    who: str
    way: ParcelWay
    label: str
    label_kind: LabelKind
    service: str
    practice_code: str | None
    practice: str
    hygiene: ParcelHygiene
    hygiene_says: str
    """How it stands, with the caution where one is needed."""
    to_disinfect: bool
    seen: tuple[Condition, ...]
    seen_says: str
    note: str
    accepted_by: str
    state: ParcelState
    why: str
    says: str
    """How the parcel stands, in a sentence."""
    again: SeenBefore | None
    contents: tuple[ContentLine, ...]
    photographs: tuple[Photograph, ...]
    disinfections: tuple[DisinfectionLine, ...]
    incidents: tuple[IncidentLine, ...]
    return_notes: tuple[ReturnNote, ...]


@dataclass(frozen=True)
class ParcelLine:
    """One line of the list of parcels."""

    parcel_id: int
    version: int
    at: datetime
    who: str
    label: str
    service: str
    practice: str
    state: ParcelState
    contents: int
    open: int
    """How many of them have neither a case nor a reason."""
    arrivals: tuple[int, ...]
    """What of it waits to be booked in, in order."""
    to_disinfect: bool
    says: str
    """What is to be done next: `2 of 3 are to be booked in`."""


def parcel_card(desk: Desk, parcel_id: int) -> ParcelCard:
    """Everything that is known of a parcel. Raises NotThere."""
    read = desk.store.read
    row = read.parcel(parcel_id)
    if row is None:
        raise NotThere(f"There is no parcel {parcel_id}.")
    facts, contents = row.facts, read.contents_of([parcel_id]).get(parcel_id, ())
    disinfections = read.disinfections([parcel_id])
    practice = read.practice(facts.practice_code) if facts.practice_code else None
    standing = _standing(desk, row, practice.practice if practice else None, disinfections)
    return ParcelCard(
        parcel_id=row.parcel_id,
        version=row.version,
        at=row.at,
        who=row.who,
        way=facts.way,
        label=facts.label,
        label_kind=facts.label_kind,
        service=facts.service,
        practice_code=facts.practice_code,
        practice=facts.practice_name,
        hygiene=facts.hygiene,
        hygiene_says=standing.says,
        to_disinfect=standing.standing == "to-disinfect",
        seen=facts.seen,
        seen_says=_seen(row),
        note=facts.note,
        accepted_by=facts.accepted_by,
        state=row.state,
        why=row.why,
        says=_says(row, contents),
        again=seen_before(desk, facts.label, row.parcel_id) if row.again_of is not None else None,
        contents=tuple(content_line(desk, each) for each in contents),
        photographs=tuple(
            Photograph(file.file_id, file.name, file.at, desk.scan_files.path(file.sha256))
            for file in read.parcel_files(parcel_id)
        ),
        disinfections=tuple(map(disinfection_line, disinfections)),
        incidents=tuple(map(incident_line, read.incidents_of(parcel_id))),
        return_notes=tuple(
            ReturnNote(document.document_id, document.state)
            for document in read.sheets_about("return-note", {"parcel": parcel_id})
        ),
    )


def open_parcels(desk: Desk) -> tuple[ParcelLine, ...]:
    """The parcels that are not finished, stopped ones among them, oldest first."""
    return _lines(desk, desk.store.read.parcels_in(("open", "stopped")))


def recent_parcels(desk: Desk, most: int = 100) -> tuple[ParcelLine, ...]:
    """The parcels that are finished or refused, newest first."""
    return _lines(desk, desk.store.read.latest_parcels(("done", "refused"), most))


def parcels_with(desk: Desk, label: str) -> tuple[ParcelLine, ...]:
    """The parcels that have had a label, newest first."""
    number = label_text(label)
    rows = desk.store.read.parcels_labelled(number) if number else ()
    return _lines(desk, [row for row in rows if row.state != "taken-back"])


def parcel_of_case(desk: Desk, case_id: int) -> ParcelCard | None:
    """The parcel that a case came in; the first where it came in several."""
    contents = desk.store.read.contents_of_case(case_id)
    return parcel_card(desk, contents[0].parcel_id) if contents else None


def parcels_of_arrivals(desk: Desk, arrival_ids: Collection[int]) -> dict[int, ParcelLine]:
    """The parcel of each arrival that came in one."""
    contents = desk.store.read.contents_of_arrivals(arrival_ids)
    rows = desk.store.read.parcels({each.parcel_id for each in contents})
    lines = {line.parcel_id: line for line in _lines(desk, tuple(rows.values()))}
    return {each.arrival_id: lines[each.parcel_id] for each in contents if each.arrival_id is not None}


def _lines(desk: Desk, rows: Sequence[ParcelRow]) -> tuple[ParcelLine, ...]:
    ids = [row.parcel_id for row in rows]
    contents = desk.store.read.contents_of(ids)
    practices = {practice.code: practice for practice in desk.practices()} if rows else {}
    done: dict[int, list[DisinfectionRow]] = {}
    for each in desk.store.read.disinfections(ids):
        done.setdefault(each.parcel_id or 0, []).append(each)
    return tuple(
        _line(desk, row, contents.get(row.parcel_id, ()), practices, done.get(row.parcel_id, ())) for row in rows
    )


def _line(
    desk: Desk,
    row: ParcelRow,
    contents: Sequence[ContentRow],
    practices: Mapping[str, Practice],
    done: Sequence[DisinfectionRow],
) -> ParcelLine:
    facts = row.facts
    standing = _standing(desk, row, practices.get(facts.practice_code or ""), done)
    waiting = [each.arrival_id for each in contents if each.arrival_state == "waiting" and not each.reason]
    return ParcelLine(
        parcel_id=row.parcel_id,
        version=row.version,
        at=row.at,
        who=row.who,
        label=facts.label,
        service=facts.service,
        practice=facts.practice_name,
        state=row.state,
        contents=len(contents),
        open=sum(not is_settled(each.reason, each.arrival_state) for each in contents),
        arrivals=tuple(dict.fromkeys(each for each in waiting if each is not None)),
        to_disinfect=standing.standing == "to-disinfect",
        says=_says(row, contents),
    )


def _standing(
    desk: Desk, row: ParcelRow, practice: Practice | None, done: Sequence[DisinfectionRow]
) -> HygieneStanding:
    statement = standing_statement_of(practice)
    return standing_of_parcel(row.facts.hygiene, row.facts.seen, statement, done_here(done), desk.lab)


def _says(row: ParcelRow, contents: Sequence[ContentRow]) -> str:
    """How a parcel stands, in a sentence."""
    match row.state:
        case "refused":
            return f"Refused, and goes back: {row.why.rstrip('.')}."
        case "stopped":
            return f"Stopped: {row.why.rstrip('.')}."
        case "done":
            return "Finished: everything in it has a case or a reason."
        case "taken-back":
            return "Entered by mistake, and taken back."
    if not contents:
        return "Say what lies in it."
    open_ones = [each for each in contents if not is_settled(each.reason, each.arrival_state)]
    to_book = [each for each in open_ones if each.arrival_state == "waiting"]
    parts = [f"{len(to_book)} of {len(contents)} to be booked in"] if to_book else []
    reasons = len(open_ones) - len(to_book)
    parts += [f"{reasons} of {len(contents)} without a reason"] if reasons else []
    return f"{capital(listed(parts))}."


def _seen(row: ParcelRow) -> str:
    """What was seen on opening, and who took it on in spite of it; empty where nothing was said."""
    said = capital(seen_words(row.facts.seen))
    flawed = [each for each in row.facts.seen if each not in HARMLESS]
    accepted = f"; accepted in spite of it by {row.facts.accepted_by}" if flawed and row.facts.accepted_by else ""
    return f"{said}{accepted}." if said else ""
