"""A mail as it comes (RFC 5322, MIME): who sent it, what it says and what is attached.

Whatever is wrong with it is a sentence.
"""

import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import TYPE_CHECKING, Any

from intake.errors import IntakeError
from intake.inbox.mail_headers import date, file_name, header, message_id, sender

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
LARGEST_IN_A_SIGNATURE = 100_000
"""Bytes; a larger picture between the words may be the photo that is meant. Common practice, no source."""


class MailUnreadable(IntakeError):
    """A file cannot be read as a mail; the message says why."""


@dataclass(frozen=True)
class Attached:
    """One file of a mail."""

    name: str
    content: bytes
    inline: bool = False
    """Whether it is a small picture that stands between the words, as the one of a signature does."""


@dataclass(frozen=True)
class ReadMail:
    """A mail: plain values, nothing of it is opened or followed."""

    sender: str
    """The address alone; empty where there is none. Anybody can write any: it proves nothing."""
    subject: str
    attached: tuple[Attached, ...]
    sender_name: str = ""
    date: datetime | None = None
    """When it says that it was written, with its own offset from UTC."""
    message_id: str = ""
    text: str = ""
    links: tuple[str, ...] = ()
    """The addresses that its words link to, each once. Nobody opens them but a person."""


def is_mail(content: bytes) -> bool:
    """Whether a file looks like a mail: header lines, and among them one that every mail has."""
    head = content[:65_536].replace(b"\r\n", b"\n").partition(b"\n\n")[0].lower()
    return any(head.startswith(name) or b"\n" + name in head for name in (b"from:", b"message-id:", b"received:"))


def read_mail(content: bytes) -> ReadMail:
    """Reads a mail. Raises MailUnreadable, and nothing else, whatever the file holds."""
    _refuse_what_no_mail_is(content)
    try:
        from email import message_from_bytes  # slow to import, and not needed at the start

        from intake.inbox.mail_words import mail_words

        message = message_from_bytes(content, policy=_short_headers())
        parts = _parts(message)
        words = mail_words(message)
        name, address = sender(message)
        return ReadMail(
            sender=address,
            subject=header(message, "Subject"),
            attached=tuple(_attached(parts, words.pictures)),
            sender_name=name,
            date=date(message),
            message_id=message_id(message),
            text=words.text,
            links=words.links,
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


def _attached(parts: Iterable["Message"], shown: Collection[str]) -> Iterator[Attached]:
    """Every file in a mail, those of forwarded mails among them, in order; `shown` are the marks of its pictures."""
    for part in parts:
        name = file_name(part)
        if part.get_content_maintype() in ("text", "multipart", "message") and not name:
            continue
        payload = part.get_payload(decode=True)
        if isinstance(payload, bytes) and payload:
            inline = len(payload) <= LARGEST_IN_A_SIGNATURE and _stands_between_words(part, shown)
            yield Attached(name or "attachment", payload, inline)


def _stands_between_words(part: "Message", shown: Collection[str]) -> bool:
    """Whether a part is a picture that a page shows by its mark (RFC 2392).

    `Content-Disposition: inline` (RFC 2183) alone does not make it one: some programs send every form and photo so.
    """
    mark = header(part, "Content-ID").strip("<> ")
    return part.get_content_maintype() == "image" and bool(mark) and mark in shown


def _parts(message: "Message") -> tuple["Message", ...]:
    """The parts of a mail that hold no further ones, in order."""
    parts = tuple(islice(_folded_out(message, 0), MOST_PARTS + 1))
    if len(parts) > MOST_PARTS:
        raise MailUnreadable(f"The mail has more than {MOST_PARTS} parts.")
    return parts


def _folded_out(message: "Message", depth: int) -> Iterator["Message"]:
    if depth > MOST_DEEP:
        raise MailUnreadable(f"The mail is folded into itself more than {MOST_DEEP} times.")
    inner: Any = message.get_payload()  # a list of messages, or the words of this one
    if not isinstance(inner, list):
        yield message
        return
    for part in inner:
        yield from _folded_out(part, depth + 1)
