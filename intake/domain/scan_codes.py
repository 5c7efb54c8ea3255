"""What a code from the scanner gun says: a ticket, a reply form, a practice's sticker, a bench, a box, a parcel."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from intake.domain.job_number import JobNumber, NumberRefused, read_barcode
from intake.domain.lab import Lab
from intake.domain.own_codes import OwnCode, OwnCodeRefused, in_capitals, read_own_code
from intake.domain.parcel_labels import NoLabel, ParcelLabel, read_label, without_symbology
from intake.domain.reply_number import ReplyNumberRefused, read_reply_number
from intake.errors import IntakeError

CodeKind = Literal["ticket", "reply", "practice", "bench", "box", "parcel"]


class CodeRefused(IntakeError):
    """What was scanned says nothing to this lab; the message says why and what to do."""


@dataclass(frozen=True)
class ScanCode:
    """A code that was understood.

    Attributes:
        kind: What it belongs to.
        value: A ticket's number, a letter's id, a practice's code in capitals (whether the directory has it is still to
            be asked, in any case of letters), a bench's name as the lab writes it, a box's number, a parcel's label.
        copy: The copy of the ticket; None where none was said.
    """

    kind: CodeKind
    value: str
    copy: int | None = None

    @property
    def words(self) -> str:
        """What was scanned, in words: `Ticket 26 004123 76`, `Bench Casting`."""
        value = JobNumber(self.value).shown if self.kind == "ticket" else self.value
        return f"{'Reply form' if self.kind == 'reply' else self.kind.capitalize()} {value}"


def read_code(text: str, lab: Lab, any_label: bool = False) -> ScanCode:
    """Reads what the gun sent or somebody typed, whether Caps Lock was on or not.

    The lab's own numbers are looked for first: ticket, reply form, its own codes. Then a parcel's label: a sound postal
    number or SSCC, or what fits the pattern of a carrier.

    Args:
        text: The code.
        lab: The lab setup: its benches, boxes and carriers.
        any_label: Whether everything else counts as a parcel's label: a parcel is being opened.

    Raises:
        CodeRefused: it is none of these, with the reason.
    """
    code = without_symbology(text)
    kept = _ticket(code) or _reply(code) or _own(code, lab)
    if kept is not None:
        return kept
    label = _label(text, lab)
    if label is not None and (label.service or any_label or (label.kind != "other" and label.sound)):
        return ScanCode("parcel", label.text)
    raise CodeRefused(_why(code, label))


def _ticket(code: str) -> ScanCode | None:
    try:
        scanned = read_barcode(code)
    except NumberRefused:
        return None
    return ScanCode("ticket", scanned.number.digits, scanned.copy)


def _reply(code: str) -> ScanCode | None:
    try:
        return ScanCode("reply", str(read_reply_number(code)))
    except ReplyNumberRefused:
        return None


def _own(code: str, lab: Lab) -> ScanCode | None:
    try:
        own = read_own_code(code)
    except OwnCodeRefused as refused:
        raise CodeRefused(str(refused)) from None
    return None if own is None else _of_the_lab(own, lab)


def _label(text: str, lab: Lab) -> ParcelLabel | None:
    try:
        return read_label(text, lab.parcels.carriers)
    except NoLabel:
        return None


def _of_the_lab(own: OwnCode, lab: Lab) -> ScanCode:
    match own.kind:
        case "practice":
            return ScanCode("practice", own.text)
        case "bench":
            name = next((name for name in lab.bench_by_name if in_capitals(name) == own.text), None)
            if name is None:
                raise CodeRefused(f"This is the code of the bench {own.text}, and the setup has no such bench now.")
            return ScanCode("bench", name)
        case "box":
            return ScanCode("box", str(_box(own.text, lab)))


def _box(text: str, lab: Lab) -> int:
    if lab.boxes is None:
        raise CodeRefused(f"This is the code of box {text}, and the boxes of this lab have no numbers.")
    if not text.isdecimal() or not lab.boxes.first <= int(text) <= lab.boxes.last:
        raise CodeRefused(
            f"This is the code of box {text}; the boxes of this lab are {lab.boxes.first} to {lab.boxes.last}."
        )
    return int(text)


def _why(code: str, label: ParcelLabel | None) -> str:
    """Why a code is none that the lab knows, by what it looks like."""
    compact = "".join(code.split())
    if label is not None and not label.sound:
        return label.said
    reads: tuple[tuple[str, Callable[[str], object]], ...] = (
        (r"[0-9]{1,14}", read_barcode),
        (r"[Rr][0-9]{8,20}", read_reply_number),
    )
    for shape, read in reads:
        if re.fullmatch(shape, compact):
            try:
                read(code)
            except (NumberRefused, ReplyNumberRefused) as refused:
                return str(refused)
    return (
        f"“{code}” is no ticket, no reply form and no code of the lab’s own, and no label of a carrier that the setup "
        f"knows. If it is a parcel’s label, go to Parcels and scan it again."
    )
