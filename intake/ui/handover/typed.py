"""What is typed into the field of Hand over: a bench, a ticket's number, or a box."""

import re
from collections.abc import Sequence

from intake.domain.job_number import read_barcode
from intake.domain.own_codes import in_capitals, read_own_code
from intake.domain.scan_codes import ScanCode
from intake.errors import IntakeError

_BOX = re.compile(r"b(?:ox)?\s*(?P<number>\d{1,6})", re.IGNORECASE)


class NotUnderstood(IntakeError):
    """What was typed is no bench, no number and no box."""


def read_typed(text: str, benches: Sequence[str]) -> ScanCode:
    """Reads what was typed: `3` and `spl` are benches of the list, `26 004123 76` a ticket, `box 12` a box.

    The code on the label of a bench or a box is one too.

    Args:
        text: What was typed.
        benches: The benches in the order in which they are numbered, from 1.

    Raises:
        NotUnderstood: it is none of these, or could be two benches; the message says what would be right.
        NumberRefused: it is a number, and no job's.
        OwnCodeRefused: it is one of the lab's own codes, and damaged.
    """
    typed = text.strip()
    if typed.isdecimal() and len(typed) <= 2:
        if not 1 <= int(typed) <= len(benches):
            raise NotUnderstood(f"There is no bench {typed}: they count from 1 to {len(benches)}.")
        return ScanCode("bench", benches[int(typed) - 1])
    if (own := _own(typed, benches)) is not None:
        return own
    if box := _BOX.fullmatch(typed):
        return ScanCode("box", str(int(box["number"])))
    if typed[:1].isdecimal():
        scanned = read_barcode(typed)
        return ScanCode("ticket", scanned.number.digits, scanned.copy)
    fitting = [bench for bench in benches if bench.casefold().startswith(typed.casefold())]
    exact = [bench for bench in fitting if bench.casefold() == typed.casefold()]
    if len(exact or fitting) != 1:
        which = f"It could be {' or '.join(fitting)}" if fitting else "No bench begins so"
        raise NotUnderstood(f"“{typed}”: {which}. Type a bench, a ticket’s number, or box and its number.")
    return ScanCode("bench", (exact or fitting)[0])


def _own(typed: str, benches: Sequence[str]) -> ScanCode | None:
    """A bench or a box by the code on its label."""
    own = read_own_code(typed)
    if own is None or own.kind == "practice":
        return None
    if own.kind == "box":
        return ScanCode("box", str(int(own.text))) if own.text.isdecimal() else None
    return next((ScanCode("bench", bench) for bench in benches if in_capitals(bench) == own.text), None)
