"""What Waiting asks of the desk, on the threads of the job runner.

The desk brings the database with it, which is slow to import: that happens in the jobs, behind the painted window.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from intake.domain.answer import Speaker
from intake.ui.waiting.asking import (
    Confirm,
    Deed,
    RingBack,
    SetAside,
    StillHolds,
    TakeAnswer,
    TakeReply,
    WithdrawStanding,
)
from intake.ui.waiting.reply_page import page_picture
from intake.ui.waiting.stray_replies import KEY as STRAY
from intake.ui.waiting.stray_replies import stray_card, stray_line, stray_replies

if TYPE_CHECKING:
    from intake.desk.answering import Answered
    from intake.desk.call_card import CallCard
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.replies import ReplyCard
    from intake.desk.ring_list import RingLine
    from intake.desk.tries import Noted
    from intake.domain.ringing import Outcome


@dataclass(frozen=True)
class Done:
    """What became of something that the desk did for a practice."""

    said: str
    tickets: tuple[int, ...] = ()
    """The tickets that wait to be printed."""
    answered: "Answered | None" = None
    """The answer that can be taken back."""
    noted: "Noted | None" = None
    """The try that can be taken back."""


@dataclass(frozen=True)
class Reply:
    """A returned form beside its questions, with the picture of its first page where a person has to read it."""

    card: "ReplyCard"
    picture: bytes | None = None


@dataclass(frozen=True)
class Shown:
    """The card of a practice, and the returned forms that lie on it."""

    card: "CallCard"
    replies: tuple[Reply, ...] = ()


@dataclass(frozen=True)
class OfLetter:
    """The practice that a letter went to, and whom to ring."""

    letter_id: int
    key: str
    practice: str
    lines: "tuple[RingLine, ...]"


def ring_list(desk: "Desk") -> "tuple[RingLine, ...]":
    """Whom to ring, in order; before them the returned forms that belong to none of them."""
    from intake.desk import ring_list as ringing

    lines = ringing.ring_list(desk)
    strays = stray_replies(desk, {line.key for line in lines})
    return (stray_line(strays), *lines) if strays else lines


def of_letter(desk: "Desk", letter_id: int) -> OfLetter:
    """Whom to ring, and which of them a letter went to."""
    from intake.desk.letters import recipient

    key, practice = recipient(desk, letter_id)
    return OfLetter(letter_id, key, practice, ring_list(desk))


def call_card(desk: "Desk", key: str) -> Shown | None:
    """The card of a practice; None where nothing is open for it."""
    from intake.desk import call_card as cards

    card = _stray_card(desk) if key == STRAY else cards.call_card(desk, key)
    return Shown(card, tuple(_reply(desk, line.reply_id) for line in card.replies)) if card is not None else None


def do(desk: "Desk", key: str, deed: Deed, speaker: Speaker, spoke: bool) -> Done:
    """Does one thing for a practice.

    Args:
        desk: The desk.
        key: The practice.
        deed: What to do.
        speaker: Who said so.
        spoke: Whether the practice was reached by this, which is noted first.
    """
    if spoke:
        note_try(desk, key, "spoke")
    match deed:
        case TakeAnswer():
            return _answered(desk, deed, speaker)
        case Confirm(answer_ids, how):
            from intake.desk.answering import confirm

            confirmed = confirm(desk, answer_ids, how)
            return Done(confirmed.said, confirmed.tickets)
        case RingBack(when):
            return note_try(desk, key, "ring-back", when)
        case TakeReply(reply_id):
            return _take_reply(desk, reply_id)
        case SetAside(reply_id):
            return _set_aside(desk, reply_id)
        case StillHolds() | WithdrawStanding():
            return _standing(desk, key, deed)


def take_back(desk: "Desk", answered: "Answered") -> Done:
    """Takes an answer back."""
    from intake.desk.answering import take_back as taken_back

    return Done("Taken back. It stays in the story as taken back.", taken_back(desk, answered))


def note_try(desk: "Desk", key: str, outcome: "Outcome", ring_back: datetime | None = None) -> Done:
    """Notes a try to reach a practice."""
    from intake.desk import tries

    noted = tries.note_try(desk, key, outcome, ring_back)
    return Done(noted.said, noted=noted)


def take_back_try(desk: "Desk", noted: "Noted") -> Done:
    """Takes a try back that was noted by mistake."""
    from intake.desk import tries

    tries.take_back_try(desk, noted)
    return Done("The try is taken back.")


def always_disinfected(desk: "Desk", key: str, speaker: Speaker) -> Done:
    """Keeps the practice's statement that everything it sends is disinfected."""
    from intake.desk import standing

    stands = standing.always_disinfected(desk, key, speaker)
    return Done(stands.said, stands.tickets)


def write(desk: "Desk", key: str, way: str) -> "tuple[Issued, ...]":
    """The letter to a practice, printed or sent by e-mail."""
    from intake.desk.letters import write_to

    return write_to(desk, key, way)  # type: ignore[arg-type]


def send_blank(desk: "Desk", key: str, way: str) -> "tuple[Issued, ...]":
    """A blank prescription for a practice, printed or sent by e-mail."""
    from intake.desk.blanks import send_blank as sent

    return (sent(desk, key, way),)  # type: ignore[arg-type]


def issue(desk: "Desk", tickets: Sequence[int]) -> "tuple[Issued, ...]":
    """Tickets, handed to the printer."""
    from intake.desk.issue import issue_all

    return issue_all(desk, tickets)


def _answered(desk: "Desk", deed: TakeAnswer, speaker: Speaker) -> Done:
    from intake.desk.answering import take_answer

    answered = take_answer(desk, deed.query_id, deed.answer, speaker)
    return Done(answered.said, answered.tickets, answered)


def _standing(desk: "Desk", key: str, deed: StillHolds | WithdrawStanding) -> Done:
    from intake.desk import standing

    if isinstance(deed, StillHolds):
        stands = standing.still_holds(desk, key, deed.index)
    else:
        stands = standing.withdraw_standing(desk, key, deed.index, deed.reason)
    return Done(stands.said, stands.tickets)


def _take_reply(desk: "Desk", reply_id: int) -> Done:
    from intake.desk import replies

    taken = replies.take_reply(desk, reply_id)
    return Done(taken.said, taken.tickets)


def _set_aside(desk: "Desk", reply_id: int) -> Done:
    from intake.desk import replies

    replies.set_aside(desk, reply_id)
    return Done("The returned form is set aside. It is kept.")


def _reply(desk: "Desk", reply_id: int) -> Reply:
    """A returned form; with its first page where a person has to read it."""
    from intake.desk import replies

    card = replies.reply_card(desk, reply_id)
    return Reply(card, page_picture(replies.reply_file(desk, reply_id)[1]) if card.kind != "form" else None)


def _stray_card(desk: "Desk") -> "CallCard | None":
    from intake.desk import ring_list as ringing

    strays = stray_replies(desk, {line.key for line in ringing.ring_list(desk)})
    return stray_card(strays) if strays else None
