"""A practice as the cells of a spreadsheet, and read again from the cells of one."""

import re
from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from typing import Any

from intake.domain.directory_columns import NAMES, SEVERAL
from intake.domain.folding import fold
from intake.domain.form_fields import FormWrong
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.practice_checks import faults
from intake.domain.practice_entry import read_entry, written
from intake.domain.safe_cells import guarded, unguarded
from intake.domain.telephone import same_number

Cells = Mapping[str, tuple[str, ...]]
"""By field, the texts of its columns, in their order; guarded, as a file holds them."""
ADDRESS_COLUMNS = 3
"""So many an address has at the least when it is written."""
_ERROR = re.compile(r"#(?:N/A|REF!|VALUE!|NAME\?|DIV/0!|NUM!|NULL!|SPILL!|CALC!|GETTING_DATA)")
_DIGITS = re.compile(r"\d+")
LONGEST = 300
"""So many characters of a field are shown of what changes."""
_MOST_SIGNS = 2_000
"""So long may a field be, but for the notes."""
_MOST_OF_NOTES = 20_000


def cells_of(practice: Practice, address_columns: int) -> dict[str, tuple[str, ...]]:
    """What the cells of a practice say, guarded; an address a line in a column, the last one what is left over."""
    said: dict[str, tuple[str, ...]] = {field: (text,) for field, text in _texts(practice).items()}
    lines = [*practice.address, *[""] * (address_columns - len(practice.address))]
    said["address"] = (*lines[: address_columns - 1], "\n".join(lines[address_columns - 1 :]))
    return {field: tuple(guarded(text) for text in said[field]) for field in NAMES}


def differences(before: Practice, after: Practice) -> tuple[tuple[str, str, str], ...]:
    """Each field that differs, with what it was and what it is, on one line each."""
    fields = [field for field in NAMES if getattr(before, field) != getattr(after, field)]
    was, now = (_on_one_line(practice) for practice in (before, after))
    return tuple((field, was[field], now[field]) for field in fields)


def read_cells(cells: Cells, known: Practice | None, lab: Lab, one_line_each: frozenset[str]) -> dict[str, Any]:
    """The values that cells hold; an empty cell says nothing, and one that says what is known already neither.

    Args:
        cells: The cells of one row, without its code.
        known: The practice as the directory has it.
        lab: For what the setup has to know, such as a service.
        one_line_each: The fields that stand in several columns, so that a comma does not part what one says.

    Raises:
        FormWrong: with every reason, each behind the name of its field.
    """
    before = _compared(known) if known is not None else {}
    values: dict[str, Any] = {}
    wrong: list[str] = []
    for field, texts in cells.items():
        plain = [text for text in map(_plain, texts) if text]
        if not plain or field == "code" or _same(field, plain, before, known, lab):
            continue
        try:
            values[field] = _read(field, plain, lab, field in one_line_each)
        except FormWrong as problem:
            wrong.append(f"{NAMES[field]}: {problem}")
    if wrong:
        raise FormWrong(" ".join(wrong))
    return values


def refuse_faults(practice: Practice, lab: Lab, fields: Collection[str]) -> None:
    """Raises FormWrong with what of these fields cannot stand."""
    if found := faults(practice, lab, fields):
        raise FormWrong(" ".join(f"{NAMES[field]}: {why}" for field, why in found.items()))


def _texts(practice: Practice) -> dict[str, str]:
    """Each field as one text; of lists all parts, with what parts them."""
    said = written(practice)
    return said | {
        "prescribers": "; ".join(practice.prescribers),
        "hours": "; ".join(said["hours"].splitlines()),
        "former": "; ".join(practice.former),
    }


def _on_one_line(practice: Practice) -> dict[str, str]:
    texts = _texts(practice) | {"address": ", ".join(practice.address)}
    return {field: "; ".join(text.splitlines())[:LONGEST] for field, text in texts.items()}


def _compared(practice: Practice) -> dict[str, str]:
    """What the cells of a practice would say after they were read."""
    texts = _texts(practice) | {"address": "\n".join(practice.address)}
    return {field: _plain(guarded(text)) for field, text in texts.items()}


def _plain(text: str) -> str:
    return unguarded(text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text).strip()


def _same(field: str, plain: Sequence[str], before: Mapping[str, str], known: Practice | None, lab: Lab) -> bool:
    """Whether a cell says what is known; a number that lost its zeros in a spreadsheet does."""
    if known is None:
        return False
    if field == "address":
        return [line.strip() for line in before[field].splitlines() if line.strip()] == _lines(plain)
    text, said = "\n".join(plain), before[field]
    if text == said:
        return True
    if field == "telephone" and _DIGITS.fullmatch(text):
        return same_number(text, known.telephone, known.country or lab.calendar.country)
    return field == "postcode" and bool(_DIGITS.fullmatch(text) and _DIGITS.fullmatch(said)) and int(text) == int(said)


def _lines(plain: Sequence[str]) -> list[str]:
    return [line.strip() for text in plain for line in text.splitlines() if line.strip()]


def _read(field: str, plain: Sequence[str], lab: Lab, one_line_each: bool) -> Any:
    text = plain[0] if len(plain) == 1 else "\n".join(plain)
    if "#" in text and (error := next(filter(None, map(_ERROR.match, plain)), None)):
        raise FormWrong(f"the cell holds an error of the spreadsheet, {error[0]}.")
    most = _MOST_OF_NOTES if field == "notes" else _MOST_SIGNS
    if len(text) > most:
        raise FormWrong(f"this is longer than {most:,} characters.")
    if field in SEVERAL:
        return tuple(" ".join(part.split()) for part in _parts(field, plain, one_line_each))
    if field == "hours":
        text = text.replace(";", "\n")
    if field == "notation":
        return _notation(text)
    if field == "country":
        return _code(text)
    if field == "language":
        return next((code for code, each in lab.languages.items() if fold(text) in (fold(code), fold(each.name))), text)
    return _typed(field, text if field in ("notes", "hours") else " ".join(text.split()))


@lru_cache(maxsize=4096)
def _often(field: str, text: str) -> Any:
    """What many practices have alike, read once."""
    return read_entry(field, text)


def _typed(field: str, text: str) -> Any:
    return _often(field, text) if field in ("hours", "open_weekdays", "transit_days") else read_entry(field, text)


def _parts(field: str, plain: Sequence[str], one_line_each: bool) -> list[str]:
    """The lines of an address, or the names of who signs; a comma parts them where nothing else does."""
    lines = _lines(plain)
    if field != "address":
        lines = [part.strip() for line in lines for part in line.split(";") if part.strip()]
    if one_line_each or len(lines) > 1:
        return lines
    parts = [part.strip() for part in lines[0].split(",") if part.strip()]
    whole_names = all(len(part.split()) > 1 for part in parts)
    return parts if field != "prescribers" or whole_names else lines


def _notation(text: str) -> str:
    said = fold(text)
    notation = next((known for known in ("iso", "universal", "ask") if said.startswith(known)), None)
    if notation is None:
        raise FormWrong(f"“{text}” is no way to number teeth; write iso, universal or ask.")
    return notation


@lru_cache(maxsize=512)
def _code(text: str) -> str:
    """A country's code from its code or its English name; what is neither stays as it is, and is refused later."""
    if len(text) == 2:
        return text.upper()
    from intake.domain.bank_holidays import countries  # slow to read, and most lists have codes or no country

    return next((each.code for each in countries() if fold(each.name) == fold(text)), text)
