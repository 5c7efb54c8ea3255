"""A mail as it comes (RFC 5322, MIME): who sent it and what is attached. Whatever is wrong with it is a sentence."""

from collections.abc import Iterator
from dataclasses import dataclass
from email import message_from_bytes
from email.message import Message
from email.policy import default
from email.utils import parseaddr

from intake.errors import IntakeError

MOST_BYTES = 60_000_000
MOST_PARTS = 200
MOST_DEEP = 12


class MailUnreadable(IntakeError):
    """A file cannot be read as a mail; the message says why."""


@dataclass(frozen=True)
class Attached:
    """One file of a mail."""

    name: str
    content: bytes


@dataclass(frozen=True)
class ReadMail:
    """A mail: plain values, nothing of it is opened or followed."""

    sender: str
    """The address alone; empty where there is none."""
    subject: str
    attached: tuple[Attached, ...]


def is_mail(content: bytes) -> bool:
    """Whether a file looks like a mail: header lines, and among them one that every mail has."""
    head = content[:65_536].replace(b"\r\n", b"\n").partition(b"\n\n")[0].lower()
    return any(head.startswith(name) or b"\n" + name in head for name in (b"from:", b"message-id:", b"received:"))


def read_mail(content: bytes) -> ReadMail:
    """Reads a mail. Raises MailUnreadable, and nothing else, whatever the file holds."""
    if len(content) > MOST_BYTES:
        raise MailUnreadable(f"The mail is larger than {MOST_BYTES // 1_000_000} MB.")
    try:
        message = message_from_bytes(content, policy=default)
        return ReadMail(
            sender=parseaddr(_header(message, "From"))[1],
            subject=" ".join(_header(message, "Subject").split()),
            attached=tuple(_attached(message)),
        )
    except MailUnreadable:
        raise
    except Exception as error:  # Python's parser raises whatever it likes on a damaged mail
        raise MailUnreadable(f"The mail is damaged and cannot be read ({type(error).__name__}).") from None


def _header(message: Message, name: str) -> str:
    try:
        return str(message.get(name, ""))
    except Exception:  # a damaged header is as good as none
        return ""


def _attached(message: Message) -> Iterator[Attached]:
    """Every file in a mail, those of forwarded mails among them, in order."""
    for count, part in enumerate(_parts(message, 0)):
        if count >= MOST_PARTS:
            raise MailUnreadable(f"The mail has more than {MOST_PARTS} parts.")
        name = _file_name(part)
        if part.get_content_maintype() in ("text", "multipart", "message") and not name:
            continue
        payload = part.get_payload(decode=True)
        if isinstance(payload, bytes) and payload:
            yield Attached(name or "attachment", payload)


def _parts(message: Message, depth: int) -> Iterator[Message]:
    if depth > MOST_DEEP:
        raise MailUnreadable(f"The mail is folded into itself more than {MOST_DEEP} times.")
    inner = message.get_payload()
    if isinstance(inner, list):
        for part in inner:
            if isinstance(part, Message):
                yield from _parts(part, depth + 1)
        return
    yield message


def _file_name(part: Message) -> str:
    try:
        name = part.get_filename() or ""
    except Exception:  # a damaged name is as good as none
        return ""
    return " ".join(str(name).replace("\\", "/").rpartition("/")[2].split())
