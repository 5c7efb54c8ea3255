"""A mail as it comes (RFC 5322, MIME): who sent it and what is attached. Whatever is wrong with it is a sentence."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from intake.errors import IntakeError

if TYPE_CHECKING:
    from email.message import Message
    from email.policy import Compat32

MOST_BYTES = 60_000_000
MOST_LINES = 1_200_000
"""60 MB in the lines of 76 characters that files travel in are 790,000."""
MOST_PARTS = 200
MOST_DEEP = 12
MOST_IN_A_HEADER = 8_000
"""What stands behind so many characters of one header is not read: some readers take the square of its length."""


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
    """The address alone; empty where there is none. Anybody can write any: it proves nothing."""
    subject: str
    attached: tuple[Attached, ...]


def is_mail(content: bytes) -> bool:
    """Whether a file looks like a mail: header lines, and among them one that every mail has."""
    head = content[:65_536].replace(b"\r\n", b"\n").partition(b"\n\n")[0].lower()
    return any(head.startswith(name) or b"\n" + name in head for name in (b"from:", b"message-id:", b"received:"))


def read_mail(content: bytes) -> ReadMail:
    """Reads a mail. Raises MailUnreadable, and nothing else, whatever the file holds."""
    _refuse_what_no_mail_is(content)
    try:
        from email import message_from_bytes  # slow to import, and not needed at the start

        message = message_from_bytes(content, policy=_short_headers())
        return ReadMail(
            sender=_sender(message),
            subject=_header(message, "Subject"),
            attached=tuple(_attached(message)),
        )
    except MailUnreadable:
        raise
    except Exception as error:  # Python's parser raises whatever it likes on a damaged mail
        raise MailUnreadable(f"The mail is damaged and cannot be read ({type(error).__name__}).") from None


def _refuse_what_no_mail_is(content: bytes) -> None:
    """What would be read for minutes: each line is held against every part that it is in."""
    if len(content) > MOST_BYTES:
        raise MailUnreadable(f"The mail is larger than {MOST_BYTES // 1_000_000} MB.")
    if max(content.count(b"\n"), content.count(b"\r")) > MOST_LINES:
        raise MailUnreadable(f"The mail has more than {MOST_LINES:,} lines.")
    if len(re.findall(rb"(?i)boundary", content)) > MOST_PARTS:
        raise MailUnreadable(f"The mail has more than {MOST_PARTS} parts.")


def _short_headers() -> "Compat32":
    """How the parser reads headers: as they stand, up to a length that each can be understood in quickly."""
    from email.policy import Compat32

    class ShortHeaders(Compat32):
        def header_source_parse(self, sourcelines: list[str]) -> tuple[str, str]:
            name, value = super().header_source_parse(sourcelines)
            return name, value[:MOST_IN_A_HEADER]

    return ShortHeaders()


def _sender(message: "Message") -> str:
    from email.utils import parseaddr

    try:
        return parseaddr(_header(message, "From"))[1]
    except Exception:  # a damaged address is as good as none
        return ""


def _header(message: "Message", name: str) -> str:
    return _decoded(message.get(name, ""))


def _decoded(text: object) -> str:
    """Words of a header in one line (RFC 2047); as they stand where they are damaged."""
    from email.header import decode_header, make_header

    try:
        text = make_header(decode_header(str(text)))
    except Exception:  # an unknown character set, half a character, anything
        text = str(text)
    return " ".join(str(text).encode("utf-8", "replace").decode().split())


def _attached(message: "Message") -> Iterator[Attached]:
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


def _parts(message: "Message", depth: int) -> Iterator["Message"]:
    if depth > MOST_DEEP:
        raise MailUnreadable(f"The mail is folded into itself more than {MOST_DEEP} times.")
    inner: Any = message.get_payload()  # a list of messages, or the words of this one
    if not isinstance(inner, list):
        yield message
        return
    for part in inner:
        yield from _parts(part, depth + 1)


def _file_name(part: "Message") -> str:
    """The name of a file without folders; empty where it has none that can be read."""
    try:
        name = part.get_filename() or ""
    except Exception:  # a damaged name is as good as none
        return ""
    return _decoded(name).replace("\\", "/").rpartition("/")[2].strip()
