"""Takes a delivery of scans in: the files of one message, archive or folder become one arrival, once."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from hashlib import sha256
from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.ordered import Ordered, ordered
from intake.domain.case_files import shared_name
from intake.domain.jaw_names import jaw_named, stem
from intake.domain.scan_figures import JawKind
from intake.domain.wording import counted
from intake.inbox.message import ReadMail
from intake.inbox.scan_files import NotRead
from intake.store.rows import ArrivalRow, NewArrival
from intake.store.scan_rows import FileRow, NewFile
from intake.store.words import FileKind
from intake.store.work import Work

_BEFORE = "It was taken in before."


@dataclass(frozen=True)
class Coming:
    """One file of a delivery, on its way in."""

    name: str
    source: Path | bytes
    kind: FileKind
    problem: str = ""
    """Why it is refused."""


@dataclass(frozen=True)
class Delivery:
    """Files that belong together."""

    key: str
    """What tells this delivery from others; the same key is the same delivery, unless it grows."""
    source: str
    """The name of the message, archive or folder, as it is shown."""
    files: tuple[Coming, ...]
    mail: ReadMail | None = None
    grows: bool = False
    """Whether files of the same key may follow, or may be another case's: those of a place, and of a name."""


@dataclass(frozen=True)
class Delivered:
    """What became of a delivery."""

    arrival_id: int
    already: bool
    """Whether nothing of it was new."""
    said: str
    unread: bool = False
    """Whether it waits with something that cannot be read."""
    scans: int = 0
    """How many scans of it are new."""


def take_in_delivery(desk: Desk, delivery: Delivery) -> Delivered:
    """Takes a delivery in; what came before is not taken twice, and what follows it is added while it waits.

    Raises NotRead where no file of it can be read, NoRoom where the files cannot be kept, and StoreRefused where the
    store takes nothing at present.
    """
    known = _known(desk, delivery, None)
    if known is not None:
        return known
    files, wanted = _kept(desk, delivery.files), _wanted(desk, delivery)
    with desk.work() as work:  # no other desk takes the same in meanwhile
        delivered = _known(desk, delivery, files) or _joined(desk, work, delivery, files, wanted)
        if delivered is None:
            delivered = _added(desk, work, delivery, files, wanted)
        work.commit()
    return delivered


def join_delivery(desk: Desk, delivery: Delivery) -> Delivered | None:
    """Adds files to the delivery that waits and that they belong to; None where there is none. Raises as above."""
    if not desk.store.read.deliveries(delivery.key):
        return None
    files, wanted = _kept(desk, delivery.files), _wanted(desk, delivery)
    with desk.work() as work:
        delivered = _known(desk, delivery, files) or _joined(desk, work, delivery, files, wanted)
        work.commit()
    return delivered


def lead_delivery(desk: Desk, key: str, arrival_id: int) -> None:
    """Remembers the key of an arrival that came without a delivery, so that scans of that key are added to it."""
    with desk.work() as work:
        work.scans.delivered(_key(desk, key, arrival_id), arrival_id)
        work.commit()


def loose_key(folder: Path, name: str) -> str:
    """The key of a file that lies by itself: its folder, and what its name shares with others of its case.

    A name that says nothing, such as `scan 2.stl`, shares nothing.
    """
    says = stem(name) or jaw_named(name).jaw
    return f"loose:{digest(str(folder.resolve()))}|{digest(shared_name(name) if says else name)}"


def folder_key(folder: Path) -> str:
    """The key of a folder whose files belong together."""
    return f"folder:{digest(str(folder.resolve()))}"


def digest(text: str) -> str:
    """A name that may be a patient's is kept in a key as its digest alone."""
    return sha256(text.encode("utf-8", "surrogateescape")).hexdigest()[:24]


def _kept(desk: Desk, coming: Iterable[Coming]) -> tuple[NewFile, ...]:
    """The files in the scan store; one that cannot be read is a note that says so, if it is not the only one."""
    kept: list[NewFile] = []
    unread: list[NotRead] = []
    for each in coming:
        try:
            file = desk.scan_files.keep(each.source, refused=each.kind == "refused")
            kept.append(NewFile(each.kind, each.name, file.sha256, file.bytes, each.problem))
        except NotRead as problem:
            unread.append(problem)
            said = f"{each.name}: {problem}"
            note = desk.scan_files.keep(said.encode("utf-8", "replace"), refused=True)
            kept.append(NewFile("refused", each.name, note.sha256, note.bytes, said))
    if len(unread) == len(kept):
        raise unread[0]
    return tuple(kept)


def _wanted(desk: Desk, delivery: Delivery) -> Ordered:
    prescriptions = [each.source for each in delivery.files if each.kind == "prescription"]
    return ordered(desk, prescriptions, delivery.mail)


def _known(desk: Desk, delivery: Delivery, files: Sequence[NewFile] | None) -> Delivered | None:
    """The delivery as it was taken in before; `files` are None while it is not known what is in them."""
    if not delivery.grows:
        known = desk.store.read.delivery(delivery.key)
        return Delivered(known.arrival_id, True, _BEFORE) if known is not None else None
    if files is None:
        return None
    for earlier in desk.store.read.deliveries(delivery.key):
        if not _new_among(files, desk.store.read.brought_by(earlier.arrival_id)):
            return Delivered(earlier.arrival_id, True, _BEFORE)
    return None


def _joined(desk: Desk, work: Work, delivery: Delivery, files: Sequence[NewFile], wanted: Ordered) -> Delivered | None:
    """Adds the files to the delivery that they belong to: alike by its key, and come within minutes, or sharing a file.

    None where there is none, and where what waits has another scan of a jaw or another prescription: another case.
    """
    if not delivery.grows:
        return None
    since = desk.now() - timedelta(minutes=desk.lab.scans.together_minutes)
    for earlier in desk.store.read.deliveries(delivery.key):
        arrival, rows = desk.store.read.arrival(earlier.arrival_id), _files_of(desk, earlier.arrival_id)
        if arrival is None or arrival.state != "waiting":
            continue
        new = _new_among(files, rows)
        near = earlier.at >= since or len(new) < len(files)
        if near and not _is_another_case(arrival, rows, new):
            return _add(work, arrival, new, wanted)
    return None


def _added(desk: Desk, work: Work, delivery: Delivery, files: Sequence[NewFile], wanted: Ordered) -> Delivered:
    """Lets a delivery wait. With a prescription file that waits already, it is what was missing there."""
    fingerprint = wanted.fingerprint
    waits = desk.store.read.arrival_of(fingerprint) if fingerprint is not None else None
    if waits is not None and waits.state == "waiting":
        rows = _files_of(desk, waits.arrival_id)
        new = _new_among(files, rows)
        if not _places_of(rows) & _places_of(new):
            work.scans.delivered(_key(desk, delivery.key, waits.arrival_id), waits.arrival_id, _sender(delivery))
            return _add(work, waits, new, Ordered())
    booked = fingerprint is not None and desk.store.read.case_of_token(fingerprint) is not None
    arrival = NewArrival(
        stream="scan",
        arrived=desk.now().replace(second=0, microsecond=0),
        practice=wanted.practice,
        patient_label=wanted.patient_label,
        patient_reference=wanted.patient_reference,
        prescription=wanted.prescription,
        problem=wanted.problem,
        source_name=delivery.source,
        fingerprint=None if waits is not None or booked else fingerprint,
    )
    arrival_id = work.arrivals.add(arrival).arrival_id
    work.scans.delivered(_key(desk, delivery.key, arrival_id), arrival_id, _sender(delivery))
    new = _new_among(files, ())
    work.scans.add_files(arrival_id, new)
    scans = sum(file.kind == "scan" for file in new)
    told = f"{counted(scans, 'scan')}, to be checked. It waits in Arrivals." if scans else "It waits in Arrivals."
    unread = bool(wanted.problem) or (not scans and any(file.kind == "refused" for file in files))
    return Delivered(arrival_id, False, f"{wanted.problem} {told}".strip(), unread, scans)


def _add(work: Work, arrival: ArrivalRow, new: Sequence[NewFile], wanted: Ordered) -> Delivered:
    """Adds files to what waits, and the prescription among them where it waits for one."""
    work.scans.add_files(arrival.arrival_id, new)
    if (wanted.prescription or wanted.problem) and (not arrival.prescription or arrival.problem):
        work.arrivals.change(
            arrival.arrival_id,
            arrival.version,
            prescription=wanted.prescription,
            practice=wanted.practice,
            patient_label=wanted.patient_label,
            patient_reference=wanted.patient_reference,
            problem=wanted.problem,
        )
    said = f"{counted(len(new), 'file')} added to what waits in Arrivals."
    scans = sum(file.kind == "scan" for file in new)
    return Delivered(arrival.arrival_id, False, said, bool(wanted.problem), scans)


def _sender(delivery: Delivery) -> str:
    return delivery.mail.sender if delivery.mail is not None else ""


def _key(desk: Desk, key: str, arrival_id: int) -> str:
    """The key, with a number behind it where another delivery of a place has it already."""
    return f"{key}#{arrival_id}" if desk.store.read.deliveries(key) else key


def _files_of(desk: Desk, arrival_id: int) -> Sequence[FileRow]:
    """The files of an arrival, and those that it brought and that were put to another one since."""
    return (*desk.store.read.files_of([arrival_id]).get(arrival_id, ()), *desk.store.read.brought_by(arrival_id))


def _new_among(files: Iterable[NewFile], there: Iterable[FileRow]) -> list[NewFile]:
    """The files that are not there yet, each content once; under the name of another jaw it is another file."""
    known = {_what(row) for row in there}
    new = []
    for file in files:
        if _what(file) not in known:
            known.add(_what(file))
            new.append(file)
    return new


def _what(file: NewFile | FileRow) -> tuple[str, JawKind | None]:
    return file.sha256, jaw_named(file.name).jaw if file.kind == "scan" else None


def _is_another_case(arrival: ArrivalRow, there: Iterable[FileRow], new: Sequence[NewFile]) -> bool:
    """Whether what comes is another case than what waits: it has the place of something there, and is not it."""
    ordered = bool(arrival.prescription) and not arrival.problem
    return bool(_places_of(there) & _places_of(new)) or (ordered and any(file.kind == "prescription" for file in new))


def _places_of(files: Iterable[NewFile | FileRow]) -> set[str]:
    return {place for file in files for place in _places(file)}


def _places(file: NewFile | FileRow) -> set[str]:
    """What a case has but one file of: of a name, and of each jaw. A prescription that was put right keeps its name."""
    if file.kind == "prescription":
        return set()
    jaw = jaw_named(file.name).jaw if file.kind == "scan" else None
    return {f"name {file.name}"} | ({f"jaw {jaw}"} if jaw in ("upper", "lower") else set())
