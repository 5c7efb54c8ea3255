"""The words of a mail as a person reads them: plain where there are plain ones, out of a page of HTML otherwise."""

import codecs
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING, Any

from intake.inbox.file_names import visible
from intake.inbox.mail_headers import file_name, sender
from intake.inbox.page_words import LONGEST_LINK, page_words

if TYPE_CHECKING:
    from email.message import Message

MOST_CHARACTERS = 100_000
MOST_LINKS = 200
MOST_BYTES = 2_000_000
"""Of what is read for words, in all parts together."""
_LINK = re.compile(rf"https?://[^\s<>\"]{{1,{LONGEST_LINK}}}", re.IGNORECASE)
_PICTURE = re.compile(r"cid:([^\"'\s>)]+)", re.IGNORECASE)
_NO_CHARACTER_SETS = frozenset(("idna", "punycode", "raw-unicode-escape", "undefined", "unicode-escape", "utf-7"))
"""What Python counts among them, but no mail is written in; utf-7 hides what a mail says."""


@dataclass(frozen=True)
class MailWords:
    """What a mail says, the addresses it links to, and the marks of the pictures that stand between its words."""

    text: str
    links: tuple[str, ...]
    pictures: frozenset[str]


def mail_words(message: "Message") -> MailWords:
    """The words of a mail and of those that are forwarded in it, each of which is headed by its sender."""
    found = list(_Reader().words(message))
    text = "\n\n".join(filter(None, (each.text.strip() for each in found)))
    if len(text) > MOST_CHARACTERS:
        text = f"{text[:MOST_CHARACTERS]}\n… The mail goes on: {len(text) - MOST_CHARACTERS:,} characters are left out."
    links = tuple(dict.fromkeys(chain.from_iterable(each.links for each in found)))
    return MailWords(text, links[:MOST_LINKS], frozenset().union(*(each.pictures for each in found)))


@dataclass
class _Reader:
    """Reads part after part until it has read enough."""

    left: int = MOST_BYTES

    def words(self, part: "Message") -> Iterator[MailWords]:
        inner: Any = part.get_payload()  # a list of messages, or the words of this one
        kind = part.get_content_type()
        if isinstance(inner, list):
            if kind == "multipart/alternative":
                yield _chosen([(each.get_content_type(), list(self.words(each))) for each in inner])
                return
            for each in inner:
                if kind == "message/rfc822":
                    yield _said(f"Forwarded, from {_shown_sender(each)}:")
                yield from self.words(each)
        elif kind in ("text/plain", "text/html") and not file_name(part):
            text = self._characters(part)
            yield _of_a_page(text) if kind == "text/html" else _of_plain(text, part)

    def _characters(self, part: "Message") -> str:
        """The characters of a part. One whose character set is wrong or unknown is read as UTF-8, else windows-1252."""
        content = part.get_payload(decode=True)
        if not isinstance(content, bytes):
            return ""
        read, is_whole = content[: self.left], len(content) <= self.left
        self.left -= len(read)
        for name in (_character_set(part), "utf-8"):
            with suppress(UnicodeError):
                return codecs.getincrementaldecoder(name)().decode(read, final=is_whole)
        return read.decode("windows-1252", "replace")


def _chosen(alternatives: list[tuple[str, list[MailWords]]]) -> MailWords:
    """One of several ways to say the same (RFC 2046, 5.1.4): the plain one, else the last that says anything."""
    plain = [words for kind, words in alternatives if kind == "text/plain"]
    others = [words for kind, words in alternatives if kind != "text/plain"]
    texts = ("\n\n".join(each.text for each in words if each.text) for words in (*plain, *reversed(others)))
    everything = [each for _, words in alternatives for each in words]
    links = chain.from_iterable(each.links for each in everything)
    pictures: Iterable[str] = chain.from_iterable(each.pictures for each in everything)
    return MailWords(next(filter(str.strip, texts), ""), tuple(links), frozenset(pictures))


def _shown_sender(message: "Message") -> str:
    name, address = sender(message)
    return f"{name} <{address}>" if name and address else name or address or "somebody who is not named"


def _of_plain(text: str, part: "Message") -> MailWords:
    return _said(_unfolded(text, part) if _parameter(part, "format") == "flowed" else text)


def _of_a_page(page: str) -> MailWords:
    from urllib.parse import unquote

    text, links = page_words(page)
    return MailWords(_cleaned(text), links, frozenset(unquote(each[1]) for each in _PICTURE.finditer(page)))


def _said(text: str) -> MailWords:
    text = _cleaned(text)
    links = (_trimmed(each[0]) for each in _LINK.finditer(text))
    return MailWords(text, tuple(dict.fromkeys(links)), frozenset())


def _trimmed(link: str) -> str:
    """A link without the full stop of the sentence that it ends, or the bracket that it stands in."""
    link = link.rstrip(".,;:!?'*_")
    return link.rstrip(").,;:!?'") if "(" not in link else link


def _cleaned(text: str) -> str:
    """Lines without what is not seen; three empty ones are one."""
    lines = (visible(line, kept="\t").rstrip() for line in text.splitlines())
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines))


def _unfolded(text: str, part: "Message") -> str:
    """Lines that were broken only to travel are joined again (RFC 3676: format=flowed)."""
    lines: list[tuple[int, str]] = []
    goes_on = False
    gap = "" if _parameter(part, "delsp") == "yes" else " "
    for line in text.splitlines():
        words = line.lstrip(">")
        depth = len(line) - len(words)
        words = words.removeprefix(" ")
        if goes_on and lines[-1][0] == depth and words != "-- ":
            words = lines.pop()[1] + words
        goes_on = words.endswith(" ") and words != "-- "
        lines.append((depth, words[:-1] + gap if goes_on else words))
    return "\n".join(f"{'>' * depth} {words}" if depth else words for depth, words in lines)


def _parameter(part: "Message", name: str) -> str:
    """A parameter of a part's type in lower case; empty where it has none that can be read."""
    try:
        return str(part.get_param(name, "")).lower()
    except Exception:  # one that is damaged is as good as none
        return ""


def _character_set(part: "Message") -> str:
    """The character set that a part names, as Python calls it.

    Mails that say Latin 1 mean windows-1252, as the WHATWG Encoding Standard (4.2) has it for pages.
    """
    try:
        named = codecs.lookup(str(part.get_content_charset("utf-8")))
        b"a".decode(named.name, "replace")  # raises where it is a packing and no character set
    except Exception:
        return "utf-8"
    if named.name == "iso8859-1":
        return "windows-1252"
    return "utf-8" if named.name in _NO_CHARACTER_SETS or not named.incrementaldecoder else named.name
