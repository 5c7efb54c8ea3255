"""Telephone numbers as they are dialled from the lab, and as a `tel:` address. What cannot be read stays as written."""

import re
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from phonenumbers import PhoneNumber

_A_NUMBER_ALONE = re.compile(
    r"(?:tel[.:]?)?[\d\s()+.\-\N{EN DASH}/]*(?:;?(?:ext|extn|extension|x)[.:=]?\s*\d+)?", re.IGNORECASE
)


@lru_cache(maxsize=4096)
def local_number(text: str, country: str, home: str | None = None) -> str:
    """A number as it is dialled from a country: its own country's without the prefix, another's with it.

    What is written beside the number (“ask for Jo”) is not lost: such a number stays as it was written.

    Args:
        text: The number as it stands in the directory.
        country: Where the number is, ISO 3166 two letters, for a number written without a country code (ITU-T E.164).
        home: Where it is dialled from; the same country when not given.
    """
    import phonenumbers  # slow to import, and not needed at the start

    number = _read(text, country)
    if number is None or not _A_NUMBER_ALONE.fullmatch(text.strip()):
        return text
    return str(phonenumbers.format_out_of_country_calling_number(number, home or country))


@lru_cache(maxsize=4096)
def dial_uri(text: str, country: str) -> str:
    """The number as a `tel:` URI with its country code (RFC 3966); empty when it cannot be read."""
    import phonenumbers  # slow to import, and not needed at the start

    number = _read(text, country)
    return "" if number is None else str(phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.RFC3966))


@lru_cache(maxsize=4096)
def is_dialled(text: str, country: str) -> bool:
    """Whether a number can be dialled from a country, by its length and its country code."""
    return _read(text, country) is not None


@lru_cache(maxsize=4096)
def same_number(one: str, other: str, country: str) -> bool:
    """Whether two writings are of one number (ITU-T E.164); two that cannot be read never are."""
    first, second = _read(one, country), _read(other, country)
    return first is not None and first == second


def _read(text: str, country: str) -> "PhoneNumber | None":
    """A whole number: one without its area code would be another number, or none, once it has its country code."""
    import phonenumbers  # slow to import, and not needed at the start

    try:
        number = phonenumbers.parse(text, country)
    except phonenumbers.NumberParseException:
        return None
    possible = phonenumbers.is_possible_number_with_reason(number) == phonenumbers.ValidationResult.IS_POSSIBLE
    return number if possible else None
