"""What became of files that were taken in, in sentences."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from intake.domain.wording import counted, listed

if TYPE_CHECKING:
    from intake.desk.receive import Received

FEW = 3
"""So many files are named one by one; more are counted, so that the news stays short."""


def received_words(received: "Sequence[Received]", waiting: str) -> str:
    """What became of files, and where it stands.

    Args:
        received: The files.
        waiting: The key that goes to Waiting.
    """
    arrivals = [each for each in received if each.taken and each.what != "reply"]
    replies = [each for each in received if each.taken and each.what == "reply"]
    refused = [each for each in received if not each.taken]
    said = [_arrival_words(arrivals) if arrivals else "", _reply_words(replies, waiting) if replies else ""]
    said += [_sentence(each.said) for each in refused[:FEW]]
    more = len(refused) - FEW
    if more > 0:
        said.append(f"{more} more {'was' if more == 1 else 'were'} not taken in.")
    return " ".join(filter(None, said)) or "There was no file to take in."


def _arrival_words(arrivals: "Sequence[Received]") -> str:
    """Scans, prescriptions, blank forms, messages: how many, which cannot be read, how many were here before."""
    new = [each for each in arrivals if not each.already]
    unread = [each for each in new if each.unread]
    words = f"{_counted(new)} taken in"
    if unread:
        names = ", ".join(each.file for each in unread[:FEW]) + (" and more" if len(unread) > FEW else "")
        words += f"; not readable: {names}"
    known = len(arrivals) - len(new)
    if known:
        words += f"; {known} {'was' if known == 1 else 'were'} here already"
    return f"{words}."


def _counted(new: "Sequence[Received]") -> str:
    """How many of what came in: `2 scans and 1 message`."""
    others = [each.what for each in new if not each.scans]
    numbers = {
        "file": sum(what != "mail" for what in others),
        "scan": sum(each.scans for each in new),
        "message": sum(what == "mail" for what in others),
    }
    return listed([counted(number, what) for what, number in numbers.items() if number] or ["0 files"])


def _reply_words(replies: "Sequence[Received]", waiting: str) -> str:
    """Returned forms: what each is, and where to take its answers."""
    if len(replies) > FEW:
        told = f"{len(replies)} returned forms came in."
    else:
        told = " ".join(_sentence(each.said) for each in replies)
    stands = "It stands" if len(replies) == 1 else "They stand"
    return f"{told} {stands} in Waiting{f', {waiting}' if waiting else ''}."


def _sentence(said: str) -> str:
    return said if said.endswith((".", "?")) else f"{said}."
