"""What every form of the lab that comes back carries: its own number, and a check of everything it was issued with."""

import re
from collections.abc import Mapping
from hashlib import sha256

FORM, CHECK = "form", "check"
"""Fields that no viewer shows: the form's number, and its check."""
ASKS = "asks"
"""How the name of a field ends that no viewer shows and that says what its neighbours ask."""
OFF = "Off"
"""What a viewer keeps where nothing is ticked (ISO 32000-1, 12.7.4.2.3)."""


def form_check(fields: Mapping[str, str]) -> str:
    """The check of a form: 16 hexadecimal digits of SHA-256 over its number, its field names and what they ask.

    What is filled in does not touch it. It tells an altered or mixed-up form, not a forger: for that the form is held
    against the one that was issued.
    """
    named = sorted(name for name in fields if name != CHECK)
    fixed = [f"{name}={fields[name]}" if name == FORM or name.endswith(ASKS) else name for name in named]
    return sha256("\n".join(fixed).encode()).hexdigest()[:16]


def is_as_issued(fields: Mapping[str, str]) -> bool:
    """Whether a form that came back has the fields and questions that it was issued with."""
    return bool(fields.get(FORM)) and fields.get(CHECK) == form_check(fields)


def check_digits_of(text: str) -> str:
    """Two check digits for capital letters and digits, by ISO/IEC 7064 MOD 97-10 with letters as 10 to 35.

    That is the scheme of ISO 13616, whose account numbers begin with letters too.
    """
    return f"{98 - int(''.join(str(int(sign, 36)) for sign in text) + '00') % 97:02}"


def written(text: str) -> str:
    """What somebody wrote in a field, on one line and without characters that do not show."""
    return " ".join(re.sub(r"[^\S ]+|[\x00-\x1f\x7f-\x9f]", " ", text).split())
