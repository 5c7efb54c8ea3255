"""Takes in what comes from outside: returned forms, prescriptions, blank forms filled in, mails with any of those."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from intake.desk.arrivals import take_in_blank, take_in_content
from intake.desk.check import file_content
from intake.desk.desk import Desk
from intake.desk.reply_keeping import keep_reply
from intake.domain.reading import CaseUnreadable
from intake.errors import IntakeError
from intake.inbox.message import MailUnreadable, read_mail
from intake.inbox.sorting import FileKind, what_is
from intake.store.complaints import StoreRefused


@dataclass(frozen=True)
class Received:
    """One file, and what became of it."""

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


def receive(desk: Desk, paths: Iterable[Path]) -> tuple[Received, ...]:
    """Takes files in, each by what it is; a folder stands for the files in it, a mail for what is attached to it.

    Raises StoreRefused where the store takes nothing at present.
    """
    return tuple(received for path in _files(paths) for received in _receive_file(desk, path))


def _files(paths: Iterable[Path]) -> Iterator[Path]:
    for path in paths:
        if path.is_dir():
            yield from sorted(each for each in path.iterdir() if each.is_file())
        else:
            yield path


def _receive_file(desk: Desk, path: Path) -> list[Received]:
    try:
        content = file_content(path)
    except CaseUnreadable as unreadable:
        return [Received(path.name, "unknown", str(unreadable), taken=False)]
    return _receive_content(desk, content, path.name)


def _receive_content(desk: Desk, content: bytes, name: str) -> list[Received]:
    what = what_is(content)
    try:
        if what == "mail":
            return _receive_mail(desk, content, name)
        return [_received(desk, what, content, name)]
    except StoreRefused:  # nothing is wrong with the file: it can be taken in again
        raise
    except IntakeError as problem:
        return [Received(name, what, f"{name}: {problem}", taken=False)]


def _receive_mail(desk: Desk, content: bytes, name: str) -> list[Received]:
    """What is attached to a mail; pictures of a signature and the like are passed over where there is more."""
    try:
        mail = read_mail(content)
    except MailUnreadable as unreadable:
        return [Received(name, "mail", f"{name}: {unreadable}", taken=False)]
    received = [each for one in mail.attached for each in _receive_content(desk, one.content, one.name)]
    useful = [each for each in received if each.taken]
    if useful or received:
        return useful or received
    return [Received(name, "mail", f"{name}: nothing is attached that can be taken in. Read the mail itself.", False)]


def _received(desk: Desk, what: FileKind, content: bytes, name: str) -> Received:
    if what == "reply":
        kept = keep_reply(desk, content, name)
        said = f"{kept.said.rstrip('.')}. It was taken in before." if kept.already else kept.said
        taken = kept.kind != "unreadable"
        return Received(name, what, said, taken, kept.reply_id, key=kept.key, already=kept.already)
    if what == "unknown":
        return Received(name, what, f"{name} is no form, mail or prescription. Nothing was taken in.", taken=False)
    take_in = take_in_blank if what == "blank" else take_in_content
    kept_arrival = take_in(desk, content, name)
    problem, already = kept_arrival.problem, kept_arrival.already
    said = problem or ("It was taken in before." if already else "It waits in Arrivals.")
    return Received(name, what, f"{name}: {said}", True, None, kept_arrival.arrival_id, "", already, bool(problem))
