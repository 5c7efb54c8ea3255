"""Labelled lines of a mail, such as “Patient: J.T.”, read by the words that the lab set for each field."""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from itertools import groupby

LONGEST_LABEL = 60
MOST_IN_A_VALUE = 1_000
_QUOTED = re.compile(r"\s{0,3}((?:>\s?)*)(.*)", re.DOTALL)
_LABELLED = re.compile(rf"[\s*•·–-]*+([^:：\t]{{1,{LONGEST_LABEL}}}+)[:：\t](.*)", re.DOTALL)  # noqa: RUF001
_STARS = " \t*"
_STROKES = str.maketrans({"ł": "l", "Ł": "L", "ø": "o", "Ø": "O", "đ": "d", "Đ": "D"})


def labelled(text: str, labels: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    """What a mail says under each label; a field that it says nothing of is left out.

    `labels` names for each field the words before the colon: `{"patient": ("Patient", "Name of the patient")}`. Case,
    accents and the stars that some programs write round bold words are ignored; a tab, which stands between two
    cells of a table, does for the colon. A value goes to the end of its line, or is the next line where a label
    stands alone. The first line that says something wins; lines quoted by ">" (RFC 3676, 4.5) are read after all
    others, the deeper the later.
    """
    fields = {_folded(word.strip().rstrip(":")): field for field, words in labels.items() for word in words}
    said: dict[str, str] = {}
    for lines in _by_depth(text):
        for at, line in enumerate(lines):
            label, value = _split(line)
            field = fields.get(_folded(label)) if label else None
            if field is None or field in said:
                continue
            value = value or _continued(lines[at + 1 :][:1], fields)
            if value:
                said[field] = value[:MOST_IN_A_VALUE]
    return said


def _by_depth(text: str) -> Iterator[list[str]]:
    """The lines of a mail by how often they are quoted; an empty line stands where another depth was between."""
    quoted = [_QUOTED.fullmatch(line) for line in text.splitlines()]
    lines = [(found[1].count(">"), found[2]) for found in quoted if found]
    blocks = [(depth, [line for _, line in block]) for depth, block in groupby(lines, key=lambda each: each[0])]
    for depth in sorted({depth for depth, _ in blocks}):
        yield [line for at, block in blocks if at == depth for line in (*block, "")]


def _split(line: str) -> tuple[str, str]:
    """Label and value of a line; both empty where it has no label."""
    found = _LABELLED.fullmatch(line)
    return (found[1].strip(_STARS), found[2].strip(_STARS)) if found else ("", "")


def _continued(following: list[str], fields: Mapping[str, str]) -> str:
    """The line after a label that stands alone, unless it is labelled itself, by whatever word.

    A form left half empty must not give the next line's content to the field above it.
    """
    for line in following:
        label, value = _split(line)
        is_time = label[-1:].isdigit() and value[:1].isdigit()
        if not label or ((is_time or value.startswith("//")) and _folded(label) not in fields):
            return line.strip(_STARS)
    return ""


def _folded(text: str) -> str:
    plain = unicodedata.normalize("NFKD", text.translate(_STROKES))
    return " ".join("".join(c for c in plain if not unicodedata.combining(c)).casefold().split())
