"""What Parcels asks of the desk, on the threads of the job runner.

The desk brings the database with it, which is slow to import: that happens in the jobs, behind the painted window.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize, Qt
from PySide6.QtGui import QImage, QImageReader

from intake.domain.parcels import ParcelHygiene
from intake.domain.practice import Practice
from intake.ui.parcels.draft import Draft, Picture, Thing

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.hygiene import Disinfected
    from intake.desk.issue import Issued
    from intake.desk.parcels import LabelRead, NewParcel, Opened, ParcelCard, ParcelLine, SeenBefore
    from intake.store.words import IncidentKind


@dataclass(frozen=True)
class Known:
    """What the place shows of the store: the directory, and the parcels that are not finished."""

    practices: tuple[Practice, ...]
    parcels: "tuple[ParcelLine, ...]"


@dataclass(frozen=True)
class OfLabel:
    """What is said of a label at once."""

    text: str
    """As it was typed."""
    read: "LabelRead"
    before: "SeenBefore | None"


@dataclass(frozen=True)
class Kept:
    """A parcel that was kept, with its first case."""

    opened: "Opened"
    draft: Draft
    troubles: tuple[str, ...]
    """What of its photographs could not be kept, and why."""


@dataclass(frozen=True)
class Said:
    """What is written down of an incident."""

    kind: "IncidentKind"
    what: str
    done: str
    told: str


def known(desk: "Desk") -> Known:
    """The directory, and the parcels that are not finished."""
    from intake.desk import parcels

    return Known(desk.practices(), parcels.open_parcels(desk))


def label(desk: "Desk", text: str) -> OfLabel:
    """What a label is, whose service it is, and whether it was seen before."""
    from intake.desk import parcels

    read = parcels.read_label(desk, text)
    return OfLabel(text, read, parcels.seen_before(desk, read.label))


def standing_statement(desk: "Desk", practice: str) -> str:
    """A practice's statement that all it sends is disinfected; empty where it made none."""
    from intake.desk import hygiene

    return hygiene.standing_statement(desk, practice)


def keep(desk: "Desk", draft: Draft, hygiene: ParcelHygiene) -> Kept:
    """Keeps a parcel with its photographs; what waits of it can be booked in when this returns."""
    from intake.desk import parcels

    opened = parcels.open_parcel(desk, _new(draft, hygiene))
    return Kept(opened, draft, keep_pictures(desk, opened.parcel_id, draft.pictures))


def change(desk: "Desk", draft: Draft, hygiene: ParcelHygiene) -> "tuple[tuple[str, ...], tuple[Issued, ...]]":
    """Corrects what is said of a parcel; gives what of its new photographs could not be kept, and new tickets."""
    from intake.desk import parcels

    parcel_id, version = draft.parcel_id, draft.version
    assert parcel_id is not None, "only a parcel that was kept is changed"
    issued = _issuing(desk, lambda: parcels.change_parcel(desk, parcel_id, version, _new(draft, hygiene)))
    return keep_pictures(desk, parcel_id, draft.pictures), issued


def take_back(desk: "Desk", parcel_id: int) -> None:
    """Undoes the keeping of a parcel."""
    from intake.desk import parcels

    parcels.take_parcel_back(desk, parcel_id)


def card(desk: "Desk", parcel_id: int) -> "ParcelCard":
    """Everything that is known of a parcel."""
    from intake.desk import parcels

    return parcels.parcel_card(desk, parcel_id)


def others_of_parcel(desk: "Desk", arrival_id: int) -> tuple[int, ...] | None:
    """What else of the parcel of an arrival waits to be booked in; None where it came in no parcel."""
    from intake.desk import parcels

    line = parcels.parcels_of_arrivals(desk, [arrival_id]).get(arrival_id)
    return tuple(each for each in line.arrivals if each != arrival_id) if line is not None else None


def accept(desk: "Desk", parcel_id: int, by: str) -> "tuple[Issued, ...]":
    """Takes a parcel on in spite of what was seen, or takes that back; the tickets that say so from then on."""
    from intake.desk import parcels

    return _issuing(desk, lambda: parcels.accept(desk, parcel_id, by))


def add_thing(desk: "Desk", parcel_id: int, thing: Thing) -> int:
    """Puts one more thing to what lay in a parcel; its id."""
    from intake.desk import parcels

    return parcels.add_content(desk, parcel_id, parcels.NewContent(thing.kind, thing.found, thing.note))


def take_out(desk: "Desk", content_id: int) -> None:
    """Takes a wrong entry out."""
    from intake.desk import parcels

    parcels.take_out(desk, content_id)


def put_back(desk: "Desk", content_id: int) -> None:
    """Undoes that."""
    from intake.desk import parcels

    parcels.put_back(desk, content_id)


def settle(desk: "Desk", content_id: int, reason: str) -> None:
    """Says why a thing has no case."""
    from intake.desk import parcels

    parcels.settle(desk, content_id, reason)


def open_again(desk: "Desk", content_id: int) -> None:
    """Undoes that."""
    from intake.desk import parcels

    parcels.open_again(desk, content_id)


def refuse(desk: "Desk", parcel_id: int, reason: str) -> "tuple[Issued, ...]":
    """Refuses a parcel; its note of return, handed to the printer."""
    from intake.desk import parcels
    from intake.desk.issue import issue

    return (issue(desk, parcels.refuse(desk, parcel_id, reason)),)


def take_refusal_back(desk: "Desk", parcel_id: int) -> None:
    """Undoes that."""
    from intake.desk import parcels

    parcels.take_refusal_back(desk, parcel_id)


def second_warning(desk: "Desk", parcel_id: int) -> str:
    """What speaks against disinfecting a parcel once more; empty where nothing does."""
    from intake.desk import hygiene

    return hygiene.second_warning(desk, parcel_id=parcel_id)


def disinfect(desk: "Desk", parcel_id: int, agent: str, minutes: int, who: str) -> "Disinfected":
    """Enters a disinfection of everything in a parcel."""
    from intake.desk import hygiene

    return hygiene.disinfect(desk, agent, minutes, who=who, parcel_id=parcel_id)


def take_disinfection_back(desk: "Desk", disinfection_id: int) -> None:
    """Takes that entry back."""
    from intake.desk import hygiene

    hygiene.take_disinfection_back(desk, disinfection_id)


def steps(desk: "Desk") -> tuple[str, ...]:
    """What to do when something in a parcel can hurt."""
    from intake.desk import incidents

    return incidents.steps(desk)


def enter_incident(desk: "Desk", parcel_id: int, said: Said, incident_id: int | None) -> None:
    """Writes an incident down, and closes it once it is said what was done and who was told."""
    from intake.desk import incidents

    if incident_id is None:
        incident_id = incidents.stop(desk, parcel_id, said.kind, said.what, said.done, said.told)
    else:
        incidents.change_incident(desk, incident_id, what=said.what, done=said.done, told=said.told)
    if said.done and said.told:
        incidents.close_incident(desk, incident_id)


def go_on(desk: "Desk", parcel_id: int, reason: str) -> None:
    """Goes on with a parcel that was stopped; the reason settles what could hurt."""
    from intake.desk import incidents

    incidents.go_on(desk, parcel_id, reason)


def keep_pictures(desk: "Desk", parcel_id: int, pictures: tuple[Picture, ...]) -> tuple[str, ...]:
    """Keeps photographs with a parcel; gives what could not be kept, and why."""
    from intake.desk import parcels
    from intake.errors import IntakeError

    troubles = []
    for picture in pictures:
        try:
            parcels.add_photograph(desk, parcel_id, picture.name, picture.source)
        except IntakeError as problem:
            troubles.append(f"{picture.name}: {problem}")
    return tuple(troubles)


def take_picture_out(desk: "Desk", file_id: int) -> None:
    """Takes a photograph out."""
    from intake.desk import parcels

    parcels.take_photograph_out(desk, file_id)


def put_picture_back(desk: "Desk", file_id: int) -> None:
    """Undoes that."""
    from intake.desk import parcels

    parcels.put_photograph_back(desk, file_id)


def drawn(source: bytes | Path, most: QSize) -> QImage:
    """A photograph, no larger than it is shown; empty where it is none. It needs no store."""
    buffer = QBuffer()
    if isinstance(source, bytes):
        buffer.setData(QByteArray(source))
        buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        reader = QImageReader(buffer)
    else:
        reader = QImageReader(str(source))
        reader.setDecideFormatFromContent(True)
    reader.setAutoTransform(True)
    image = reader.read()
    if image.isNull() or (image.width() <= most.width() and image.height() <= most.height()):
        return image
    return image.scaled(most, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation)


def _issuing(desk: "Desk", act: Callable[[], object]) -> "tuple[Issued, ...]":
    """Does something that gives booked cases their next tickets, and hands those to the printer."""
    from intake.desk.issue import issue_all

    before = {row.document_id for row in desk.store.read.documents_waiting()}
    act()
    after = [row.document_id for row in desk.store.read.documents_waiting()]
    return issue_all(desk, [each for each in after if each not in before])


def _new(draft: Draft, hygiene: ParcelHygiene) -> "NewParcel":
    from intake.desk.parcels import NewContent, NewParcel

    return NewParcel(
        label=draft.label.strip(),
        way="by-hand" if draft.by_hand else "post",
        practice=draft.practice.strip(),
        hygiene=hygiene,
        seen=draft.seen,
        note=draft.note.strip(),
        accepted_by=draft.accepted_by.strip() if draft.needs_acceptance else "",
        contents=tuple(NewContent(thing.kind, thing.found.strip(), thing.note.strip()) for thing in draft.things),
    )
