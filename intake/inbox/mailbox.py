"""A mailbox by IMAP: every new message is handed over once, one at a time, and a line that is cut loses none."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from intake.errors import IntakeError
from intake.inbox.message import MOST_BYTES

if TYPE_CHECKING:
    import ssl


class MailboxUnreachable(IntakeError):
    """A mailbox cannot be reached just now; it is tried again."""


class MailboxRefused(IntakeError):
    """A mailbox cannot be read until somebody has put something right; the message says what."""


@dataclass(frozen=True)
class Mark:
    """How far a folder has been gone through (RFC 3501, 2.3.1.1)."""

    uidvalidity: int
    """Another number means that the folder was made anew and all its messages have new numbers."""
    last_uid: int


@dataclass(frozen=True)
class Mailbox:
    """A folder of a mail account, reached by TLS from the start (RFC 8314) or by STARTTLS, never without."""

    server: str
    user: str
    port: int = 993
    security: Literal["tls", "starttls"] = "tls"
    folder: str = "INBOX"
    file_to: str = ""
    """A folder to move messages to when they are taken; empty, and nothing in the mailbox is ever changed."""
    context: "ssl.SSLContext | None" = None
    """What the server's certificate is checked against; None for the system's own authorities."""
    patience: float = 60
    """Seconds to wait for a word from the server."""


@dataclass(frozen=True)
class Fetched:
    """One message of a folder."""

    mark: Mark
    """Where to go on when this message is taken: keep it in one go with what was taken."""
    size: int
    """Bytes, as the server says."""
    content: bytes = field(repr=False)
    problem: str = ""
    """Why there is no content, in a sentence; it is left where it lies."""
    head: bytes = field(default=b"", repr=False)
    """The message's headers where there is no content, as far as they can be had: who sent it, and when."""


def fetch(
    mailbox: Mailbox,
    password: str,
    since: Mark | None,
    take: Callable[[Fetched], None],
    stop: Callable[[], bool],
    most: int = MOST_BYTES,
) -> Mark:
    """Hands each message that came after a mark to `take`, in order; gives the new mark.

    A message counts as taken when `take` has returned, and only then goes to the folder for what is taken. Where
    this raises, the `mark` of the last message that was taken is where to go on: no message is left out, and none is
    handed over twice. A folder that was made anew is gone through from its beginning.

    Args:
        mailbox: Where the messages are.
        password: The account's; never kept.
        since: The mark of the last time; None for the first.
        take: Gets one message at a time. What it raises ends the pass and is passed on.
        stop: Whether to stop; asked between messages, and while the server is waited for.
        most: Bytes; a larger message is handed over without its content.

    Raises:
        MailboxUnreachable: It may go well another time.
        MailboxRefused: Something has to be put right first.
    """
    from intake.inbox.imap_pass import go_through  # slow to import, and not needed at the start

    return go_through(mailbox, password, since, take, stop, most)
