"""One pass through a mailbox: signs in, opens its folder, hands over what is new, and tells failures in sentences."""

import imaplib
import ssl
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from intake.inbox.imap_folder import (
    NoPasswords,
    NotNow,
    Refused,
    SignInRefused,
    content_of,
    look_at_folder,
    move,
    open_folder,
    sign_in,
    size_of,
    uids_from,
)
from intake.inbox.imap_line import ImapLine, NotEncrypted, SaysTooMuch, Stopped
from intake.inbox.mailbox import Fetched, Mailbox, MailboxRefused, MailboxUnreachable, Mark

MOST_IN_A_HEAD = 65_536


def go_through(
    mailbox: Mailbox,
    password: str,
    since: Mark | None,
    take: Callable[[Fetched], None],
    stop: Callable[[], bool],
    most: int,
) -> Mark:
    """What `intake.inbox.mailbox.fetch` says."""
    mark, line = since or Mark(0, 0), None
    try:
        with _failures_told(mailbox):
            line = _line(mailbox, stop, most)
            sign_in(line, mailbox.user, password)
            mark = _opened(line, mailbox, mark)
            uids = uids_from(line, max(1, mark.last_uid))
            if mailbox.file_to and mark.last_uid in uids and (size_of(line, mark.last_uid) or 0) <= most:
                move(line, mark.last_uid, mailbox.file_to)  # the line was cut when it was taken, but not yet moved
        for uid in uids:
            if uid <= mark.last_uid:
                continue
            if stop():
                break
            with _failures_told(mailbox):
                fetched = _fetched(line, uid, Mark(mark.uidvalidity, uid), most)
            if fetched:
                take(fetched)
            mark = Mark(mark.uidvalidity, uid)
            if mailbox.file_to and fetched and not fetched.problem:
                with _failures_told(mailbox):
                    move(line, uid, mailbox.file_to)
        line.say_goodbye()
    except Stopped:
        pass
    finally:
        if line:
            line.shutdown()
    return mark


def _line(mailbox: Mailbox, stop: Callable[[], bool], most: int) -> ImapLine:
    context = mailbox.context or ssl.create_default_context()
    where = (mailbox.server, mailbox.port, mailbox.security)
    return ImapLine(*where, context, most=most, patience=mailbox.patience, stop=stop)


def _opened(line: ImapLine, mailbox: Mailbox, mark: Mark) -> Mark:
    """Opens the folder; gives the mark where it still holds, else the folder's beginning."""
    if mailbox.file_to:
        _look_at(line, mailbox)
    try:
        uidvalidity = open_folder(line, mailbox.folder, to_read_only=not mailbox.file_to)
    except Refused as refusal:
        raise MailboxRefused(
            f"{mailbox.server} does not open the folder “{mailbox.folder}” of {mailbox.user} ({refusal}). "
            "Check its name in the setup."
        ) from None
    return mark if mark.uidvalidity == uidvalidity else Mark(uidvalidity, 0)


def _look_at(line: ImapLine, mailbox: Mailbox) -> None:
    """Whether there is a folder to move messages to: told before the first is taken."""
    if mailbox.file_to.casefold() == mailbox.folder.casefold():
        raise MailboxRefused(f"Messages of “{mailbox.folder}” cannot be moved to that same folder. Change the setup.")
    try:
        look_at_folder(line, mailbox.file_to)
    except Refused as refusal:
        raise MailboxRefused(
            f"{mailbox.user} has no folder “{mailbox.file_to}” on {mailbox.server} to move messages to ({refusal}). "
            "Make it in a mail program, or change the setup."
        ) from None


def _fetched(line: ImapLine, uid: int, mark: Mark, most: int) -> Fetched | None:
    """One message, its size looked at first; None where somebody has taken it away meanwhile."""
    try:
        size = size_of(line, uid)
        if size is None:
            return None
        content = content_of(line, uid, "", most + 1) if size <= most else b""
    except Refused as refusal:
        why = f"The mail server does not give this message out ({refusal}). Read it in a mail program."
        return Fetched(mark, 0, b"", why, _head(line, uid))
    if content is None:
        return None
    size = max(size, len(content))
    if size > most:
        why = f"A message of {size / 1e6:.1f} MB is larger than {most / 1e6:g} MB. Save its files in a mail program."
        return Fetched(mark, size, b"", why, _head(line, uid))
    return Fetched(mark, size, content, "" if content else "The message is empty.")


def _head(line: ImapLine, uid: int) -> bytes:
    """The headers of a message that cannot be had whole, for a person to find it by; empty where there are none."""
    with suppress(Refused):
        return content_of(line, uid, "HEADER", MOST_IN_A_HEAD) or b""
    return b""


@contextmanager
def _failures_told(mailbox: Mailbox) -> Iterator[None]:
    """Whatever goes wrong on a line, as a sentence."""
    try:
        yield
    except (NoPasswords, NotNow, Refused, NotEncrypted, SaysTooMuch, UnicodeError, imaplib.IMAP4.error, OSError) as bad:
        raise _told(bad, mailbox) from None


def _told(problem: Exception, mailbox: Mailbox) -> MailboxRefused | MailboxUnreachable:
    server, user = mailbox.server, mailbox.user
    match problem:
        case SignInRefused():
            return MailboxRefused(f"{server} refused the sign-in of {user} ({problem}). Enter the password again.")
        case NoPasswords():
            return MailboxRefused(f"{server} takes no sign-in by password. Ask whoever looks after the mail server.")
        case Refused():
            return MailboxRefused(f"{server} refused what was asked of “{mailbox.folder}”: {problem}.")
        case NotNow():
            return MailboxUnreachable(f"{server} is not ready: {problem}. It is tried again.")
        case NotEncrypted():
            return _check(f"{server} does not offer an encrypted line")
        case SaysTooMuch():
            return _check(f"{server} sends more than any answer can be")
        case UnicodeError():
            return _check("The server’s name, the account or its password has a letter that mail cannot carry")
        case ssl.SSLCertVerificationError(verify_message=why):
            return MailboxRefused(
                f"{server} did not prove that it is {server} ({why}). Nothing was read. Check the server’s name in the "
                "setup; if it is right, ask whoever looks after the mail server."
            )
        case ssl.SSLError() if not isinstance(problem, ssl.SSLEOFError):
            return _check(f"{server} does not begin an encrypted line the way the setup says")
        case imaplib.IMAP4.readonly():
            return MailboxRefused(
                f"“{mailbox.folder}” of {user} may only be read. Let {user} change it, or move no messages."
            )
        case TimeoutError():
            return MailboxUnreachable(f"{server} does not answer. It is tried again.")
        case imaplib.IMAP4.error() if not isinstance(problem, imaplib.IMAP4.abort) and "* BYE" not in str(problem):
            return _check(f"{server} does not speak IMAP as it should ({_words(problem)})")
    return MailboxUnreachable(f"{server} cannot be reached or broke off: {_words(problem)}. It is tried again.")


def _words(problem: Exception) -> str:
    """The words of an error in one line, and no more of them than can be read."""
    return " ".join(str(problem).split())[:200].rstrip(".") or type(problem).__name__


def _check(told: str) -> MailboxRefused:
    return MailboxRefused(f"{told}. Nothing was read. Check server, port and security of the mailbox in the setup.")
