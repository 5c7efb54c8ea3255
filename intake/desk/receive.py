"""Takes in what comes from outside: scans, returned forms, prescriptions, blanks filled in, mails with any of those.

What belongs together comes in together: the files of one message, of one archive, of one folder, of one name.
"""

import json
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Literal

from intake.desk.arrivals import take_in_blank, take_in_content
from intake.desk.check import fingerprint_of
from intake.desk.deliveries import (
    Coming,
    Delivered,
    Delivery,
    digest,
    folder_key,
    join_delivery,
    lead_delivery,
    loose_key,
    take_in_delivery,
)
from intake.desk.desk import Desk
from intake.desk.opening import File, files_of_folder, opened, read_file
from intake.desk.reply_keeping import is_returned_form, keep_reply
from intake.domain.case_files import Lying, case_files
from intake.errors import IntakeError
from intake.inbox.message import MailUnreadable, ReadMail, read_mail
from intake.inbox.scan_files import NoRoom
from intake.inbox.sorting import MESHES, PICTURES, FileKind
from intake.store.complaints import StoreRefused
from intake.store.words import FileKind as KeptKind


@dataclass(frozen=True)
class Received:
    """One file or delivery, and what became of it."""

    file: str
    what: FileKind
    said: str
    taken: bool
    """Whether it is in the store now, or was before."""
    reply_id: int | None = None
    arrival_id: int | None = None
    key: str = ""
    """The practice of a returned form."""
    already: bool = False
    """Whether it was taken in or booked before."""
    unread: bool = False
    """Whether it waits in Arrivals with what is wrong with it."""
    scans: int = 0
    """How many scans it brought that are new."""


def receive(desk: Desk, paths: Iterable[Path]) -> tuple[Received, ...]:
    """Takes files in, each by what it is; a folder or an archive stands for what is in it, a mail for what it brings.

    Scans go first, so that what lies beside them finds them taken in. Raises StoreRefused where the store takes
    nothing at present, and NoRoom where the scan store does not: nothing is wrong with the files then.
    """
    ordered = sorted(paths, key=lambda path: not path.name.lower().endswith(MESHES))
    return tuple(received for path in ordered for received in _receive_path(desk, path))


def receive_message(desk: Desk, content: bytes, name: str) -> list[Received]:
    """Takes in a message of a mailbox. Whatever it is, something of it waits: nobody else looks into the mailbox.

    Raises StoreRefused and NoRoom as `receive` does.
    """
    received = _told(name, partial(_receive_mail, desk, content, name))
    if any(each.taken for each in received):
        return received
    problem = " ".join(each.said for each in received)
    refused = Coming("message.eml", content, "refused", problem)
    return [_delivered(desk, Delivery(f"mail:{fingerprint_of(content)}", name, (refused,)), "mail")]


def _receive_path(desk: Desk, path: Path) -> list[Received]:
    return _told(path.name, partial(_receive_folder if path.is_dir() else _receive_loose, desk, path))


def _told(name: str, take: Callable[[], list[Received]], what: FileKind = "unknown") -> list[Received]:
    """What became of it; a sentence where it could not be taken in."""
    try:
        return take()
    except (StoreRefused, NoRoom):  # nothing is wrong with the file: it can be taken in again
        raise
    except IntakeError as problem:
        return [Received(name, what, f"{name}: {problem}", taken=False)]
    except FileNotFoundError:
        return [Received(name, what, f"{name}: There is no such file.", taken=False)]
    except OSError as error:
        why = error.strerror or type(error).__name__
        return [Received(name, what, f"{name}: It cannot be opened: {why}.", taken=False)]


def _receive_loose(desk: Desk, path: Path) -> list[Received]:
    """A file that lies by itself; with others whose names are alike it is one case."""
    file = read_file(path, path.name)
    if file.what == "archive":
        with opened(desk, [file]) as files:
            return _receive_all(desk, f"archive:{file.fingerprint}", path.name, files)
    if file.problem or file.what in ("mail", "unknown") or _is_form(desk, file):
        return _receive_alone(desk, file)
    delivery = Delivery(loose_key(path.parent, path.name), path.name, (_coming(file),), grows=True)
    joined = take_in_delivery(desk, delivery) if file.what == "scan" else join_delivery(desk, delivery)
    if joined is not None:
        return [_received_of(delivery, joined, file.what)]
    received = _receive_alone(desk, file)
    for each in received:
        if _part(file) == "order" and each.arrival_id is not None and not each.already:
            lead_delivery(desk, delivery.key, each.arrival_id)
    return received


def _receive_folder(desk: Desk, folder: Path) -> list[Received]:
    """The cases among the files of a folder, each one delivery; the files that belong to none are what they are."""
    with opened(desk, files_of_folder(folder)) as files:
        return _receive_all(desk, folder_key(folder), folder.name, files, grows=True)


def _receive_mail(desk: Desk, content: bytes, name: str) -> list[Received]:
    """What a mail brings; pictures that stand between its words, as in a signature, are passed over if it brings more.

    One that brings nothing but words is an arrival too: somebody has to read it. So is one with a document of which
    nothing says what it is.
    """
    try:
        mail = read_mail(content)
    except MailUnreadable as unreadable:
        return [Received(name, "mail", f"{name}: {unreadable}", taken=False)]
    attached = [each for each in mail.attached if not (each.inline and mail.text)]
    if not (attached or mail.text or mail.links):
        return [Received(name, "mail", f"{name}: the mail is empty. Read it in the mail program.", taken=False)]
    key, source = f"mail:{_what_it_says(mail)}", mail.subject or name
    message = Coming(name, content, "message")
    with opened(desk, [read_file(each.content, each.name) for each in attached]) as files:
        received, left = _receive_together(desk, Delivery(key, source, (message,), mail), files)
        taken = [each for each in received if each.taken]
        if taken and not any(file.what == "reply" and not _is_picture(file) for file in left):
            return taken
        delivery = Delivery(key, source, (*map(_coming, left), message), mail)
        return [*taken, _delivered(desk, delivery, "mail")]


def _receive_all(desk: Desk, key: str, source: str, files: Sequence[File], *, grows: bool = False) -> list[Received]:
    """What lay together in a folder or an archive."""
    received, left = _receive_together(desk, Delivery(key, source, (), grows=grows), files)
    return [*received, *(each for file in left for each in _receive_alone(desk, file))]


def _receive_together(desk: Desk, whole: Delivery, files: Sequence[File]) -> tuple[list[Received], list[File]]:
    """What came together: returned forms and mails each by itself, then the cases; and the files that are left over.

    Args:
        desk: The desk.
        whole: What brought the files; what is in it belongs to each case.
        files: The files.
    """
    singles = [file.what == "mail" or _is_form(desk, file) for file in files]
    rest = [file for file, single in zip(files, singles, strict=True) if not single]
    cases = case_files([Lying(file.folder, file.name, _part(file)) for file in rest])
    of_cases = {row for case in cases for row in case.rows}
    alone = [file for file, single in zip(files, singles, strict=True) if single]
    alone += [file for row, file in enumerate(rest) if row not in of_cases and _part(file) == "order"]
    left = [file for row, file in enumerate(rest) if row not in of_cases and _part(file) != "order"]
    received = [each for file in alone for each in _receive_alone(desk, file)]
    # The lines of a message are read for one patient: where it brings several cases, a person says which is whose.
    mail = replace(whole.mail, text="") if whole.mail is not None and len(cases) > 1 else whole.mail
    for case in cases:
        delivery = replace(
            whole,
            key=f"{whole.key}|{digest(case.label)}",
            source=" / ".join((whole.source, *filter(None, case.label.split("|")))),
            files=(*(_coming(rest[row]) for row in case.rows), *whole.files),
            mail=mail,
        )
        received.append(_delivered(desk, delivery, "scan"))
    return received, left


def _receive_alone(desk: Desk, file: File) -> list[Received]:
    """A file that belongs to no case."""
    if file.what == "archive":
        refused = Delivery(f"archive:{file.fingerprint}", file.name, (_coming(file),))
        return _told(file.name, lambda: [_delivered(desk, refused, "archive")], file.what)
    if file.problem:
        return [Received(file.name, file.what, f"{file.name}: {file.problem}", taken=False)]
    if file.what == "mail":
        return _told(file.name, lambda: _receive_mail(desk, file.content, file.name), file.what)
    return _told(file.name, lambda: [_received(desk, file.what, file.content, file.name)], file.what)


def _is_form(desk: Desk, file: File) -> bool:
    """Whether a PDF or a picture is a form that the lab sent out."""
    if file.what != "reply" or file.problem:
        return False
    with suppress(OSError):  # it is met again where it is taken in
        return is_returned_form(desk, file.content, file.name)
    return False


def _part(file: File) -> Literal["scan", "order", "beside"]:
    if file.what in ("prescription", "blank"):
        return "order"
    return "scan" if file.what == "scan" else "beside"


def _coming(file: File) -> Coming:
    kinds: dict[FileKind, KeptKind] = {"scan": "scan", "prescription": "prescription", "blank": "prescription"}
    if file.problem:
        return Coming(file.name, file.source, "refused", f"{file.name}: {file.problem}")
    if file.what == "reply":
        return Coming(file.name, file.source, "picture" if _is_picture(file) else "pdf")
    if file.what in kinds:
        return Coming(file.name, file.source, kinds[file.what])
    return Coming(file.name, file.source, "refused", f"{file.name} is nothing that can be taken in.")


def _is_picture(file: File) -> bool:
    if isinstance(file.source, bytes):
        return file.source.startswith(PICTURES)
    with suppress(OSError), file.source.open("rb") as opened:  # it is met again where it is kept
        return opened.read(8).startswith(PICTURES)
    return False


def _what_it_says(mail: ReadMail) -> str:
    """What tells a mail from every other, by whatever way it came: a mark alone may stand on two mails."""
    attached = [[each.name, fingerprint_of(each.content)] for each in mail.attached]
    says = [mail.message_id, mail.sender, str(mail.date), mail.subject, mail.text, mail.links, attached]
    return digest(json.dumps(says))


def _delivered(desk: Desk, delivery: Delivery, what: FileKind) -> Received:
    return _received_of(delivery, take_in_delivery(desk, delivery), what)


def _received_of(delivery: Delivery, delivered: Delivered, what: FileKind) -> Received:
    return Received(
        delivery.source,
        what,
        f"{delivery.source}: {delivered.said}",
        taken=True,
        arrival_id=delivered.arrival_id,
        already=delivered.already,
        unread=delivered.unread,
        scans=delivered.scans,
    )


def _received(desk: Desk, what: FileKind, content: bytes, name: str) -> Received:
    if what == "reply":
        kept = keep_reply(desk, content, name)
        said = f"{kept.said.rstrip('.')}. It was taken in before." if kept.already else kept.said
        taken = kept.kind != "unreadable"
        return Received(name, what, said, taken, kept.reply_id, key=kept.key, already=kept.already)
    if what == "unknown":
        return Received(
            name, what, f"{name} is no form, mail, scan or prescription. Nothing was taken in.", taken=False
        )
    take_in = take_in_blank if what == "blank" else take_in_content
    kept_arrival = take_in(desk, content, name)
    problem, already = kept_arrival.problem, kept_arrival.already
    said = problem or ("It was taken in before." if already else "It waits in Arrivals.")
    return Received(name, what, f"{name}: {said}", True, None, kept_arrival.arrival_id, "", already, bool(problem))
