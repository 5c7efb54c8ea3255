"""The number of a job: digits only, with check digits, as it is typed, printed and scanned.

Two digits for the year, a running number of six digits (eight once a year passes 999999), and two check digits by
ISO/IEC 7064 MOD 97-10. An even count of digits lets Code 128 set C pack two to a character.
"""

import re
from dataclasses import dataclass

from intake.errors import IntakeError

LENGTHS = (10, 12)
"""Digits of a number, check digits included: with a running number of six, and of eight."""
MOST_OF_A_YEAR = 99_999_999
LAST_COPY = 99


class NumberRefused(IntakeError):
    """What was typed or scanned is no job number; the message says what is wrong with it."""


@dataclass(frozen=True)
class JobNumber:
    """The number of one job; two are equal when their digits are."""

    digits: str

    @classmethod
    def make(cls, year: int, running: int) -> "JobNumber":
        """The number of a year's `running`th job, counted from 1; two digits of the year are kept.

        Raises:
            NumberRefused: the running number is below 1 or above 99999999.
        """
        if not 1 <= running <= MOST_OF_A_YEAR:
            raise NumberRefused(f"{running} is no running number; the jobs of a year count from 1 to {MOST_OF_A_YEAR}")
        body = f"{year % 100:02}" + (f"{running:06}" if running <= 999_999 else f"{running:08}")
        return cls(body + check_digits(body))

    @property
    def year(self) -> int:
        """The two digits of the year."""
        return int(self.digits[:2])

    @property
    def running(self) -> int:
        """Which job of the year it is, from 1."""
        return int(self.digits[2:-2])

    @property
    def shown(self) -> str:
        """As a person reads it aloud: year, running number, check digits."""
        return f"{self.digits[:2]} {self.digits[2:-2]} {self.digits[-2:]}"

    def barcode(self, copy: int) -> str:
        """The digits of the barcode on a copy of the ticket: the number, then two digits for the copy.

        Raises:
            NumberRefused: the copy is not from 1 to 99.
        """
        if not 1 <= copy <= LAST_COPY:
            raise NumberRefused(f"A ticket has copies 1 to {LAST_COPY}; {self.shown} cannot have a copy {copy}.")
        return f"{self.digits}{copy:02}"


@dataclass(frozen=True)
class Scanned:
    """What a ticket says when scanned: the job, and which copy; None when only the number was given."""

    number: JobNumber
    copy: int | None


def check_digits(body: str) -> str:
    """The two check digits behind a string of digits, 02 to 98, by ISO/IEC 7064 MOD 97-10 as in ISO 13616."""
    return f"{98 - int(body) * 100 % 97:02}"


def read_number(text: str) -> JobNumber:
    """Read a job number as typed, with or without spaces and dashes.

    Raises:
        NumberRefused: with the reason: nothing typed, other characters, too short or too long, a mistyped digit.
    """
    return _number(_digits(text), text)


def read_barcode(text: str) -> Scanned:
    """Read what a scanner sent: a number with its copy, or a number alone if somebody typed it.

    Twelve digits can be a number of ten with its copy, or a number of twelve. A scanner always sends the copy and never
    a space, so the first is taken unless spaces were typed or its check digits do not fit.

    Raises:
        NumberRefused: as `read_number`, or when the copy is 00.
    """
    digits = _digits(text)
    without_copy, copy = digits[:-2], int(digits[-2:])
    spaced = digits != text.strip()
    if len(without_copy) not in LENGTHS or (_fits(digits) and (spaced or not _fits(without_copy))):
        return Scanned(_number(digits, text), None)
    if len(digits) in LENGTHS and not _fits(without_copy):
        return Scanned(_number(digits, text), None)
    if copy == 0:
        raise NumberRefused(f"“{text.strip()}” has copy 00; the copies of a ticket count from 01.")
    return Scanned(_number(without_copy, text), copy)


def _digits(text: str) -> str:
    """The digits of what was typed, spaces and dashes left out."""
    typed = text.strip()
    digits = re.sub(r"[\s\-–—]", "", typed)
    if not digits:
        raise NumberRefused("There is no job number here; it is digits only, such as 26 004123 76.")
    if strange := re.sub(r"[0-9]", "", digits):
        letters = " ".join(dict.fromkeys(strange))
        raise NumberRefused(f"“{typed}” has {letters} in it; a job number is digits only, such as 26 004123 76.")
    return digits


def _fits(digits: str) -> bool:
    return digits[-2:] == check_digits(digits[:-2])


def _number(digits: str, text: str) -> JobNumber:
    typed = text.strip()
    if len(digits) not in LENGTHS:
        size = "short" if len(digits) < LENGTHS[0] else "long"
        raise NumberRefused(
            f"“{typed}” is too {size}: a job number has {LENGTHS[0]} digits, or {LENGTHS[1]} with more than "
            f"999999 jobs in a year, and this has {len(digits)}."
        )
    if not _fits(digits):
        raise NumberRefused(f"“{typed}” is no job number: one digit is wrong or two are swapped. Read it once more.")
    running = int(digits[2:-2])
    if running == 0 or digits != JobNumber.make(int(digits[:2]), running).digits:
        raise NumberRefused(f"“{typed}” is no number that is ever given: its running number has zeros in front.")
    return JobNumber(digits)
