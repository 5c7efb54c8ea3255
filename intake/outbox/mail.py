"""An e-mail with its PDF, ready to go: subject and file names carry numbers only, never a patient's name."""

from dataclasses import dataclass, field
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime, localtime, make_msgid, parseaddr
from typing import Protocol

from intake.errors import IntakeError


class MailTrouble(IntakeError):
    """An e-mail did not go out now; it can be tried again."""


class MailRefused(IntakeError):
    """An e-mail will not go out as it is; the message says what has to be put right first."""


@dataclass(frozen=True)
class Mail:
    """One e-mail to one address, plain text with PDFs attached."""

    sender: str
    to: str
    subject: str
    text: str
    attachments: tuple[tuple[str, bytes], ...] = ()
    """File name and content of each PDF."""
    message_id: str = field(default="")
    """Without its angle brackets; made when empty."""


class MailRoute(Protocol):
    """A way by which e-mails leave."""

    def send(self, mail: Mail) -> str:
        """Sends an e-mail; gives what took it, in a few words. Raises MailTrouble or MailRefused."""
        ...


def message_of(mail: Mail) -> EmailMessage:
    """The message as it travels (RFC 5322, MIME). Raises MailRefused where an address or a header cannot stand."""
    message = EmailMessage(policy=SMTP)
    for name, text in (("From", mail.sender), ("To", mail.to)):
        message[name] = _address(name, text)
    message["Subject"] = _one_line(mail.subject)
    message["Date"] = format_datetime(localtime())
    message["Message-ID"] = f"<{mail.message_id}>" if mail.message_id else make_msgid(domain=_domain(mail.sender))
    message.set_content(mail.text)
    for name, content in mail.attachments:
        message.add_attachment(content, maintype="application", subtype="pdf", filename=_one_line(name))
    return message


def _address(name: str, text: str) -> str:
    """One address alone: what looks like several, or like another header, is refused."""
    _, address = parseaddr(text)
    if "\n" in text or "\r" in text or "," in text or address.count("@") != 1 or not all(address.split("@")):
        whose = "the laboratory’s own address in the setup" if name == "From" else "the practice’s address"
        raise MailRefused(f"“{_one_line(text)}” is no e-mail address. Correct {whose} first.")
    return text.strip()


def _domain(sender: str) -> str:
    return parseaddr(sender)[1].rpartition("@")[2] or "localhost"


def _one_line(text: str) -> str:
    return " ".join(text.split())
