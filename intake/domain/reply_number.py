"""The number of a reply form: the letter that it came with, in a form that cannot be taken for a job number.

An R, the letter's number in six digits or more (an even count, so that Code 128 packs two to a character), and two
check digits by ISO/IEC 7064 MOD 97-10 over the R and the digits: R 000187 66.
"""

import re

from intake.domain.form_check import check_digits_of
from intake.errors import IntakeError

LETTER_OF_REPLIES = "R"


class ReplyNumberRefused(IntakeError):
    """What was typed or scanned is no number of a reply form; the message says what is wrong with it."""


def reply_number(letter_id: int) -> str:
    """The number of the reply form of a letter, as it is in the barcode. Raises ReplyNumberRefused below 1."""
    if letter_id < 1:
        raise ReplyNumberRefused(f"{letter_id} is no letter’s number; letters count from 1.")
    digits = f"{letter_id:06}"
    body = LETTER_OF_REPLIES + "0" * (len(digits) % 2) + digits
    return body + check_digits_of(body)


def read_reply_number(text: str) -> int:
    """The letter of a reply form's number, with or without spaces and dashes.

    Raises:
        ReplyNumberRefused: with the reason: it is no such number, or a digit is mistyped.
    """
    typed = text.strip()
    compact = re.sub(r"[\s\-–—]", "", typed).upper()
    if re.fullmatch(r"R[0-9]{8,20}", compact) is None:
        raise ReplyNumberRefused(f"“{typed}” is no number of a reply form; it is R and digits, such as R 000187 66.")
    letter_id = int(compact[1:-2])
    if letter_id < 1 or reply_number(letter_id) != compact:
        raise ReplyNumberRefused(
            f"“{typed}” is no number of a reply form: one digit is wrong or two are swapped. Read it once more."
        )
    return letter_id


def shown_reply_number(number: str) -> str:
    """The number as a person reads it aloud: `R 000187 66`."""
    return f"{number[:1]} {number[1:-2]} {number[-2:]}"
