"""What is asked of a folder by IMAP (RFC 3501), and the answers read however a server orders them."""

import imaplib
import re
from typing import Any

from intake.inbox.imap_line import ImapLine, folder_name, quoted

_SIZE = re.compile(rb"\bRFC822\.SIZE (\d+)")
_UID = re.compile(rb"\bUID (\d+)")
_STRING = re.compile(rb'"((?:[^"\\]|\\.)*)"')
_PASSING = re.compile(r"\[(?:UNAVAILABLE|INUSE|LIMIT|SERVERBUG)\b", re.IGNORECASE)


class NotNow(Exception):
    """The server refuses something that it may do another time (RFC 5530, 3)."""


class Refused(Exception):
    """The server refuses something; its own words are the text."""


class SignInRefused(Refused):
    """The server knows no such account, or its password is another one."""


class NoPasswords(Exception):
    """The server takes no sign-in by password."""


def sign_in(line: ImapLine, user: str, password: str) -> None:
    """Signs in by AUTHENTICATE PLAIN (RFC 4616), which carries every letter, or by LOGIN where there is only that.

    Raises SignInRefused, NotNow, NoPasswords, and UnicodeError where a letter cannot be carried.
    """
    if re.search(r"[\0-\x1f\x7f]", user + password):
        raise UnicodeError
    try:
        if "AUTH=PLAIN" in line.capabilities:
            line.authenticate("PLAIN", lambda _: f"\0{user}\0{password}".encode())
        elif "LOGINDISABLED" not in line.capabilities:
            line.login(quoted(user), password)
        else:
            raise NoPasswords
    except imaplib.IMAP4.abort:
        raise
    except imaplib.IMAP4.error as refusal:  # how imaplib tells of a NO
        told = refusal.args[0] if refusal.args else ""
        words = _one_line(told.decode("utf-8", "replace") if isinstance(told, bytes) else str(told))
        raise (NotNow if _PASSING.search(words) else SignInRefused)(words) from None


def open_folder(line: ImapLine, name: str, *, to_read_only: bool) -> int:
    """Opens a folder (EXAMINE, or SELECT); gives its UIDVALIDITY. Raises Refused, NotNow."""
    _refuse(*line.select(folder_name(name), readonly=to_read_only))
    told = line.response("UIDVALIDITY")[1][-1]
    if not isinstance(told, bytes) or not told.isdigit():
        raise Refused("the server gives the messages no numbers that last")
    return int(told)


def look_at_folder(line: ImapLine, name: str) -> None:
    """Raises Refused where there is no folder of that name; NotNow."""
    _refuse(*line.status(folder_name(name), "(MESSAGES)"))


def uids_from(line: ImapLine, first: int) -> list[int]:
    """The numbers of all messages from one on, in order.

    `7:*` is what a server has from 7 on, and its last one even where that is less (RFC 3501, 6.4.8).
    """
    answer, said = line.uid("SEARCH", "UID", f"{first}:*")
    _refuse(answer, said)
    numbers = b" ".join(each for each in said if isinstance(each, bytes)).split()
    return sorted({int(number) for number in numbers if number.isdigit() and int(number) >= first})


def size_of(line: ImapLine, uid: int) -> int | None:
    """Bytes of a message; None where it is gone. Raises Refused, NotNow."""
    found = _fetched(line, uid, "RFC822.SIZE")
    if found is None:
        return None
    told = _SIZE.search(found[0])
    return int(told[1]) if told else 0


def content_of(line: ImapLine, uid: int, part: str, most: int) -> bytes | None:
    """A message, or a part of it, up to so many bytes, and unseen stays unseen; None where it is gone.

    Raises Refused, NotNow.
    """
    found = _fetched(line, uid, f"BODY.PEEK[{part}]<0.{most}>")
    return None if found is None else found[1]


def move(line: ImapLine, uid: int, to: str) -> None:
    """Moves a message (RFC 6851), or copies it and marks it as deleted where the server knows no other way.

    A plain EXPUNGE would do away with whatever anybody else has marked: without UIDPLUS (RFC 4315) it only is marked.
    Raises Refused, NotNow.
    """
    can = b" ".join(each for each in line.capability()[1] if isinstance(each, bytes)).upper().split()
    number, folder = str(uid), folder_name(to)
    if b"MOVE" in can:
        _refuse(*line.xatom("UID", "MOVE", number, folder))
        return
    _refuse(*line.uid("COPY", number, folder))
    _refuse(*line.uid("STORE", number, "+FLAGS.SILENT", r"(\Deleted)"))
    if b"UIDPLUS" in can:
        _refuse(*line.xatom("UID", "EXPUNGE", number))


def _fetched(line: ImapLine, uid: int, what: str) -> tuple[bytes, bytes] | None:
    """The answer about one message: its words, and its literal or string; None where there is none.

    Answers about other messages may stand between: a server tells of their flags as it likes (RFC 3501, 7.4.2).
    """
    answer, said = line.uid("FETCH", str(uid), f"({what})")
    _refuse(answer, said)
    wanted = b"BODY[" if what.startswith("BODY") else b"RFC822.SIZE"
    words, literal = b"", b""
    for piece in said:
        if isinstance(piece, tuple):
            words, literal = words + piece[0], piece[1]
            continue
        words += piece or b""
        named = _UID.search(_STRING.sub(b"", words))
        if wanted in words and (named is None or int(named[1]) == uid):
            written = _STRING.search(words)
            return words, literal or (re.sub(rb"\\(.)", rb"\1", written[1]) if written else b"")
        words, literal = b"", b""
    return None


def _refuse(answer: str, said: list[Any]) -> None:
    """Raises what the server's refusal means, if it is one."""
    if answer == "OK":
        return
    words = " ".join(each.decode("utf-8", "replace") for each in said if isinstance(each, bytes))
    raise (NotNow if _PASSING.search(words) else Refused)(_one_line(words))


def _one_line(words: str) -> str:
    """A server's words in one line, without the full stop, and no more of them than can be read."""
    return " ".join(words.split())[:200].rstrip(".")
