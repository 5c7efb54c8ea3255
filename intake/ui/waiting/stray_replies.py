"""Returned forms that lie on no practice's card: of a letter that is not known, or of a practice that owes nothing."""

from collections.abc import Collection
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.desk.call_card import CallCard
    from intake.desk.desk import Desk
    from intake.desk.reply_lines import ReplyLine
    from intake.desk.ring_list import RingLine

KEY = "\treturned forms"
"""In the place of a practice's key; no code and no name begins with a tab."""
NAME = "Returned forms"
CAUTION = "Nobody has to be rung for these. Look at each, and find out whose it is before anything is taken from it."


def stray_replies(desk: "Desk", keys: Collection[str]) -> "tuple[ReplyLine, ...]":
    """The returned forms that belong on none of these practices' cards."""
    from intake.desk.reply_lines import reply_lines

    return tuple(line for line in reply_lines(desk) if line.key not in keys)


def stray_line(replies: "Collection[ReplyLine]") -> "RingLine":
    """The line of these forms, before every practice."""
    from intake.desk.ring_list import RingLine

    return RingLine(
        key=KEY,
        practice=NAME,
        telephone="",
        dial="",
        cases=0,
        questions=0,
        standing="in-writing",
        when="",
        open="",
        can_ring=False,
        reply_by="",
        told=f"{len(replies)} to look at",
        write="",
        why="Forms came back that belong to no practice in this list.",
        urgency=(False, -1, datetime.min, datetime.min, "", ""),
    )


def stray_card(replies: "tuple[ReplyLine, ...]") -> "CallCard":
    """The card of these forms."""
    from intake.desk.call_card import CallCard

    return CallCard(
        line=stray_line(replies),
        practice=None,
        email="",
        caution=CAUTION,
        cases=(),
        spoken=(),
        standing=(),
        tries=(),
        letters=(),
        forgets="",
        replies=replies,
    )
