"""An e-mail with its PDF, ready to go: subject and file names carry numbers only, never a patient's name."""

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from intake.errors import IntakeError

if TYPE_CHECKING:
    from email.headerregistry import Address
    from email.message import EmailMessage

ADDRESS = re.compile(
    r"[a-zA-Z0-9.!#$%&'*+/=?^_`{|}~-]+@"
    r"[a-zA-Z0-9](?:[a-zA-Z0-9-]{0,61}[a-zA-Z0-9])?(?:\.[a-zA-Z0-9](?:[a-zA-Z0-9-]{0,61}[a-zA-Z0-9])?)*"
)
"""A valid e-mail address by the HTML standard (the state “Email” of an input element)."""

QUOTED = re.compile(r'^\s*"[^"<>\r\n]*"\s*$')
"""A name in quotation marks, which may have any sign (RFC 5322, 3.2.4)."""


class MailTrouble(IntakeError):
    """An e-mail did not go out now; it can be tried again."""


class MailRefused(IntakeError):
    """An e-mail will not go out as it is; the message says what has to be put right first."""


@dataclass(frozen=True)
class Mail:
    """One e-mail to one address, plain text with PDFs attached."""

    sender: str
    """The lab's own address, alone or behind a name: `Reception <desk@lab.example.com>`."""
    to: str
    subject: str
    text: str
    attachments: tuple[tuple[str, bytes], ...] = ()
    """File name and content of each PDF."""
    message_id: str = ""
    """Without its angle brackets; made when empty. A mail tried again keeps it, so that it can be told for the same."""


class MailRoute(Protocol):
    """A way by which e-mails leave."""

    def send(self, mail: Mail) -> str:
        """Sends an e-mail; gives what took it, in a few words. Raises MailTrouble or MailRefused."""
        ...


def message_of(mail: Mail) -> "EmailMessage":
    """The message as it travels (RFC 5322, MIME). Raises MailRefused where an address cannot stand."""
    from email.message import EmailMessage  # slow to import, and not needed at the start
    from email.policy import SMTP
    from email.utils import format_datetime, localtime, make_msgid

    sender = _address(mail.sender, "the laboratory’s own address in the setup")
    message = EmailMessage(policy=SMTP)
    message["From"] = sender
    message["To"] = _address(mail.to, "the practice’s address")
    message["Subject"] = _one_line(mail.subject)
    message["Date"] = format_datetime(localtime())
    message["Message-ID"] = f"<{_one_line(mail.message_id)}>" if mail.message_id else make_msgid(domain=sender.domain)
    message.set_content(_sound(mail.text))
    for name, content in mail.attachments:
        message.add_attachment(content, maintype="application", subtype="pdf", filename=_one_line(name))
    return message


def _address(text: str, whose: str) -> "Address":
    """One address alone, or behind a name: what looks like several, or like another header, is refused."""
    from email.headerregistry import Address  # slow to import, and not needed at the start

    name, found, inner = text.strip().rpartition("<") if text.strip().endswith(">") else ("", "", text.strip())
    address = _in_ascii(inner.removesuffix(">") if found else inner)
    if ADDRESS.fullmatch(address) is None or re.search(r"[<>@,;:\r\n]", QUOTED.sub("", name)):
        raise MailRefused(f"“{_one_line(text)}” is no e-mail address. Correct {whose} first.")
    user, _, domain = address.rpartition("@")
    return Address(_one_line(name).strip('" '), user, domain)


def _in_ascii(address: str) -> str:
    """A domain with letters of its own language as the mail servers know it (RFC 5891); the rest as it stands."""
    user, at, domain = address.rpartition("@")
    try:
        return f"{user}{at}{domain.encode('idna').decode()}"
    except UnicodeError:  # an empty label, or one that is too long
        return address


def _one_line(text: str) -> str:
    """Without line ends and characters that do not show, which no header may have."""
    return " ".join(re.sub(r"[\x00-\x1f\x7f-\x9f]", " ", _sound(text)).split())


def _sound(text: str) -> str:
    """Without halves of characters, which no encoding has."""
    return text.encode("utf-8", "replace").decode()
