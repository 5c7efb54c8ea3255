"""The headers of a mail read however they are written (RFC 5322, 2047, 2231); what is damaged is as good as none."""

import re
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from intake.inbox.file_names import clean_name, one_line

if TYPE_CHECKING:
    from email.message import Message


def header(message: "Message", name: str) -> str:
    """A header in one line; empty where there is none."""
    return decoded(message.get(name, ""))


def sender(message: "Message") -> tuple[str, str]:
    """The name and the address of who wrote a mail, as far as it says.

    The address is looked for before encoded words are decoded (RFC 2047, 5): a name may hold a second one.
    """
    from email.utils import parseaddr

    try:
        name, address = parseaddr(" ".join(str(message.get("From", "")).split()))
        if "@" not in address:  # some programs encode the address as well
            name, address = parseaddr(header(message, "From"))
        return clean_name(decoded(name)), one_line(address)
    except Exception:  # a damaged address is as good as none
        return "", ""


def date(message: "Message") -> datetime | None:
    """When a mail says that it was written, with its own offset from UTC."""
    from email.utils import parsedate_to_datetime

    try:
        written = parsedate_to_datetime(str(message.get("Date", "")))
        written.astimezone(UTC)  # what is out of every calendar is found out here
    except Exception:
        return None
    return written if written.tzinfo else written.replace(tzinfo=UTC)  # RFC 5322, 3.3: -0000 tells no place


def message_id(message: "Message") -> str:
    """The mail's own mark (RFC 5322, 3.6.4), without its brackets; two mails may say the same."""
    found = re.search(r"<([^<>\s]{1,500})>", header(message, "Message-ID"))
    return found[1] if found else ""


def file_name(part: "Message") -> str:
    """The name of a file without folders; empty where it has none that can be read."""
    try:
        name = part.get_filename() or ""
    except Exception:  # a damaged name is as good as none
        return ""
    return clean_name(decoded(name).replace("\\", "/").rpartition("/")[2])


def decoded(text: object) -> str:
    """Words of a header in one line (RFC 2047); as they stand where they are damaged."""
    from email.header import decode_header, make_header

    try:
        text = make_header(decode_header(str(text)))
    except Exception:  # an unknown character set, half a character, anything
        text = str(text)
    return one_line(str(text).encode("utf-8", "replace").decode())
