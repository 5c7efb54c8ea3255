"""The mailbox that scans come to: read from where it was left, each message taken in before the mark moves on."""

from collections.abc import Callable
from dataclasses import dataclass, field

from intake.desk.deliveries import Coming, Delivery, take_in_delivery
from intake.desk.desk import Desk
from intake.desk.receive import Received, receive_message
from intake.errors import IntakeError
from intake.inbox.mailbox import Fetched, Mailbox, Mark, fetch
from intake.outbox.passwords import keep_password, password_of

_MESSAGE = "A message of the mailbox"


class NoMailbox(IntakeError):
    """The lab setup names no mailbox."""


@dataclass
class MailboxRead:
    """What a look into the mailbox brought."""

    received: list[Received] = field(default_factory=list)
    messages: int = 0


def read_mailbox(
    desk: Desk,
    stop: Callable[[], bool] = lambda: False,
    told: Callable[[MailboxRead], None] = lambda _: None,
    mailbox: Mailbox | None = None,
    password: Callable[[str], str] = password_of,
) -> MailboxRead:
    """Takes in what came into the mailbox since the last time, message by message.

    A message that is taken when the line drops, and is handed over again, is known by itself and makes no second
    arrival. One that is too large, or cannot be read, leaves an arrival that says so.

    Args:
        desk: The desk.
        stop: Whether to stop; asked between messages.
        told: Gets what came so far, after each message.
        mailbox: Another mailbox than the setup's, for tests.
        password: Gives the password of an account.

    Raises:
        NoMailbox: the setup names none.
        MailboxUnreachable: it may go well another time; what was taken in until then stays.
        MailboxRefused: something has to be put right first.
        MailRefused: no password is kept for it.
    """
    wanted = mailbox or mailbox_of(desk)
    read, name = MailboxRead(), _name(wanted)
    known = desk.store.read.mailbox(name)

    def take(fetched: Fetched) -> None:
        read.received += _taken(desk, name, fetched)
        read.messages += 1
        with desk.work() as work:
            work.scans.read_to(name, fetched.mark.uidvalidity, fetched.mark.last_uid)
            work.commit()
        told(read)

    fetch(wanted, password(account_of(wanted)), Mark(*known) if known else None, take, stop)
    return read


def mailbox_of(desk: Desk) -> Mailbox:
    """The mailbox that the setup names. Raises NoMailbox."""
    rules = desk.lab.mailbox
    if not (rules.server and rules.user):
        raise NoMailbox("The lab setup names no mailbox that scans come to. Fill in [mailbox] there.")
    return Mailbox(rules.server, rules.user, rules.port, rules.security, rules.folder, rules.file_to)


def account_of(mailbox: Mailbox) -> str:
    """The name under which the keyring keeps the mailbox's password."""
    return f"{mailbox.user} at {mailbox.server}"


def keep_mailbox_password(desk: Desk, password: str) -> None:
    """Keeps the mailbox's password in the system's keyring. Raises NoMailbox and MailRefused."""
    keep_password(account_of(mailbox_of(desk)), password)


def _name(mailbox: Mailbox) -> str:
    return f"{mailbox.user}@{mailbox.server}:{mailbox.port}/{mailbox.folder}"


def _taken(desk: Desk, name: str, fetched: Fetched) -> list[Received]:
    if not fetched.problem:
        return receive_message(desk, fetched.content, _MESSAGE)
    key = f"mailbox:{name}:{fetched.mark.uidvalidity}:{fetched.mark.last_uid}"
    refused = Coming("message.eml", fetched.head, "refused", fetched.problem)
    delivered = take_in_delivery(desk, Delivery(key, _MESSAGE, (refused,)))
    said = f"{_MESSAGE}: {fetched.problem}"
    return [Received(_MESSAGE, "mail", said, True, arrival_id=delivered.arrival_id, unread=True)]
