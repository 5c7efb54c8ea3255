"""The lab's own barcodes: a practice's sticker, a bench, a numbered box.

Three letters for the kind, the text, and a check character by ISO/IEC 7064 MOD 37,36 over both: `LPRMARLOW1` and `O`.
Only A to Z and 0 to 9 are in it, so that neither Caps Lock nor a keyboard's layout matters. Capitals and digits stand
for themselves; X and two hexadecimal digits stand for a byte of anything else, and of X itself, in UTF-8. No job number
(digits), no reply number (R and digits) and no postal number (two letters, then digits) can be taken for one.
"""

import re
from dataclasses import dataclass
from string import ascii_uppercase, digits
from typing import Literal, get_args
from unicodedata import normalize

from intake.errors import IntakeError

OwnKind = Literal["practice", "bench", "box"]

# Letters that the usual keyboards of Europe have at the same place.
_LETTERS: dict[OwnKind, str] = {"practice": "LPR", "bench": "LBE", "box": "LBX"}
_SIGNS = digits + ascii_uppercase
_ITSELF = frozenset(_SIGNS) - {"X"}
_CODE = re.compile(rf"({'|'.join(_LETTERS.values())})((?:[0-9A-WYZ]|X[0-9A-F]{{2}})+)([0-9A-Z])")


class OwnCodeRefused(IntakeError):
    """What was scanned is one of the lab's own codes, but damaged; the message says so."""


@dataclass(frozen=True)
class OwnCode:
    """What one of the lab's own codes says: its kind, and the text in capitals."""

    kind: OwnKind
    text: str


def own_code(kind: OwnKind, text: str) -> str:
    """The code of a practice by its code, of a bench by its name, of a box by its number; upper and lower case are one.

    Raises ValueError for an empty text.
    """
    written = in_capitals(text)
    if not written:
        raise ValueError(f"a {kind} without a text has no code")
    body = _LETTERS[kind] + "".join(sign if sign in _ITSELF else _escaped(sign) for sign in written)
    return body + check_character(body)


def box_code(number: int) -> str:
    """The code of a numbered box, by three digits or more: a scanner gun’s code is six characters at least."""
    return own_code("box", f"{number:03}")


def read_own_code(code: str) -> OwnCode | None:
    """Reads one of the lab's own codes, in any case of letters; None for what is none.

    Raises:
        OwnCodeRefused: it looks like one, and a character of it is wrong.
    """
    found = _CODE.fullmatch(code.strip().upper())
    if found is None:
        return None
    letters, body, check = found.groups()
    if check_character(letters + body) != check:
        raise OwnCodeRefused(f"“{code.strip()}” is damaged: a character of it is wrong. Scan it again.")
    try:
        text = re.sub(r"(?:X[0-9A-F]{2})+", lambda run: bytes.fromhex(run[0].replace("X", "")).decode(), body)
    except UnicodeDecodeError:
        raise OwnCodeRefused(f"“{code.strip()}” holds what is no text.") from None
    kind = next(kind for kind in get_args(OwnKind) if _LETTERS[kind] == letters)
    return OwnCode(kind, text)


def in_capitals(text: str) -> str:
    """A text as a code keeps it: capitals, composed accents, without blanks around it."""
    return normalize("NFC", text.upper()).strip()


def check_character(body: str) -> str:
    """The check character of ISO/IEC 7064 MOD 37,36 behind digits and capital letters.

    The standard's hybrid system: P starts at 36; for each character P = (P + value) mod 36, 36 for 0, doubled mod 37.
    """
    product = 36
    for sign in body:
        product = ((product + _SIGNS.index(sign)) % 36 or 36) * 2 % 37
    return _SIGNS[(1 - product) % 36]


def _escaped(sign: str) -> str:
    return "".join(f"X{byte:02X}" for byte in sign.encode())
