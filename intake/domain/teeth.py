"""Teeth: ISO 3950 two-digit codes, and how they are written and read in three notations.

A tooth is always a two-digit ISO 3950 code. The first digit is the quadrant as the patient has it: 1 upper right,
2 upper left, 3 lower left, 4 lower right, and 5 to 8 the same for deciduous teeth; the second counts from the midline.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

Notation = Literal["iso", "universal", "ask"]
"""What a bare number is: ISO 3950, Universal (1-32, A-T), or asked about where it could be two teeth."""

ToothArch = Literal["upper", "lower"]
ARCHES: tuple[ToothArch, ...] = ("upper", "lower")
QUADRANTS = ("UR", "UL", "LL", "LR")
MILK = "ABCDE"
CORNERS = {"┘": "UR", "└": "UL", "┌": "LL", "┐": "LR"}
"""The corner signs of Zsigmondy and Palmer, drawn as seen facing the patient."""
_DENTISTRY_SIGNS = str.maketrans("\u23cc\u23bf\u23be\u23cb", "┘└┌┐")
"""Unicode has the same corners once more as “dentistry symbols”."""


def _row(first: int, second: int, size: int) -> tuple[str, ...]:
    """One arch from the patient's right to the left, as seen facing the patient."""
    return tuple(f"{first}{n}" for n in range(size, 0, -1)) + tuple(f"{second}{n}" for n in range(1, size + 1))


ARCH_ORDER: dict[ToothArch, tuple[str, ...]] = {"upper": _row(1, 2, 8), "lower": _row(4, 3, 8)}
"""The permanent teeth of each arch as seen facing the patient."""
DECIDUOUS_ORDER: dict[ToothArch, tuple[str, ...]] = {"upper": _row(5, 6, 5), "lower": _row(8, 7, 5)}
"""The deciduous teeth of each arch as seen facing the patient."""
_ROWS = tuple(order[arch] for arch in ARCHES for order in (ARCH_ORDER, DECIDUOUS_ORDER))
_PLACE = {tooth: (row, index) for row, teeth in enumerate(_ROWS) for index, tooth in enumerate(teeth)}
TEETH = tuple(_PLACE)
"""All 52 codes of ISO 3950, in the order of the chart."""

# Universal counts once round the mouth: the upper arch from the patient's right, then the lower from the left.
_UNIVERSAL = {
    **{t: str(n) for n, t in enumerate((*ARCH_ORDER["upper"], *reversed(ARCH_ORDER["lower"])), 1)},
    **{t: chr(65 + n) for n, t in enumerate((*DECIDUOUS_ORDER["upper"], *reversed(DECIDUOUS_ORDER["lower"])))},
}
_FROM_UNIVERSAL = {written: tooth for tooth, written in _UNIVERSAL.items()}


@dataclass(frozen=True)
class Unclear:
    """What was written could mean different teeth; each meaning is written in ISO 3950."""

    written: str
    meanings: tuple[str, ...]


@dataclass(frozen=True)
class Wrong:
    """What was written is no tooth, and why, in a sentence."""

    written: str
    why: str


@dataclass(frozen=True)
class TeethRead:
    """What a reading found: ISO 3950 codes in the order written, without doubles, and what it could not settle."""

    teeth: tuple[str, ...] = ()
    unclear: tuple[Unclear, ...] = ()
    wrong: tuple[Wrong, ...] = ()


def arch_of(tooth: str) -> ToothArch:
    """The arch of an ISO 3950 tooth."""
    return "upper" if tooth[0] in "1256" else "lower"


def is_deciduous(tooth: str) -> bool:
    """Whether an ISO 3950 tooth is a milk tooth."""
    return tooth[0] in "5678"


def quadrant_name(tooth: str) -> str:
    """The quadrant-letter name of an ISO 3950 tooth: 16 is UR6, 55 is URE."""
    quadrant, number = int(tooth[0]), int(tooth[1])
    return QUADRANTS[(quadrant - 1) % 4] + (MILK[number - 1] if quadrant > 4 else str(number))


def universal(tooth: str) -> str:
    """The Universal number (1-32) or letter (A-T) of an ISO 3950 tooth: 16 is 3, 55 is A."""
    return _UNIVERSAL[tooth]


def shown(tooth: str) -> str:
    """A tooth in both notations, so that neither reader has to translate: “16 (UR6)”."""
    return f"{tooth} ({quadrant_name(tooth)})"


def in_chart_order(teeth: Iterable[str]) -> tuple[str, ...]:
    """The teeth, once each, as the chart has them: upper before lower, seen facing the patient."""
    return tuple(sorted(set(teeth), key=_PLACE.__getitem__))


def describe_teeth(teeth: Iterable[str]) -> str:
    """The teeth in chart order with runs of three or more drawn together: “13–23, 36”."""
    runs: list[list[str]] = []
    for tooth in in_chart_order(teeth):
        row, index = _PLACE[tooth]
        if runs and _PLACE[runs[-1][-1]] == (row, index - 1):
            runs[-1].append(tooth)
        else:
            runs.append([tooth])
    return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def teeth_between(first: str, last: str) -> tuple[str, ...]:
    """The teeth along the arch from first to last, both included, across the midline.

    Raises:
        ValueError: the two lie in different arches or are not both permanent or both deciduous; the message says which.
    """
    if arch_of(first) != arch_of(last):
        raise ValueError(f"{shown(first)} and {shown(last)} lie in different arches; write each arch by itself")
    if is_deciduous(first) != is_deciduous(last):
        raise ValueError(f"one of {shown(first)} and {shown(last)} is a milk tooth; write each tooth by itself")
    row, start = _PLACE[first]
    end = _PLACE[last][1]
    return _ROWS[row][start : end + 1] if start <= end else _ROWS[row][end : start + 1][::-1]


def read_teeth(written: str | Sequence[str], notation: Notation) -> TeethRead:
    """Read teeth as a prescription writes them.

    Takes `16`, `UR6`, `ur 6`, `URE`, lists, several teeth behind one quadrant (`UR 6 5 4`, `UR654`), ranges along one
    arch (`13-23`, `UR3 to UL3`) and corner signs (`6┘`). In a sequence each text is read by itself.
    """
    texts = (written,) if isinstance(written, str) else tuple(written)
    teeth: list[str] = []
    unclear: list[Unclear] = []
    wrong: list[Wrong] = []
    for part in (part for text in texts for part in _parts(text, notation)):
        meanings = tuple(dict.fromkeys(part.readings.values()))
        if not meanings:
            wrong.append(Wrong(part.written, part.why))
        elif len(meanings) == 1:
            teeth.extend(meanings[0])
        else:
            unclear.append(Unclear(part.written, tuple(describe_teeth(m) for m in meanings)))
    return TeethRead(tuple(dict.fromkeys(teeth)), tuple(unclear), tuple(wrong))


@dataclass(frozen=True)
class _Part:
    """A stretch of the text with its possible readings, by the notation that would read it so; none: it is wrong."""

    written: str
    readings: dict[str, tuple[str, ...]]
    why: str = ""
    quadrant: str | None = None
    """The quadrant that a digit behind it belongs to."""


_ACROSS = {"upper": ("1", "2"), "lower": ("4", "3")}
_STRENGTH = ("start", "space", "comma", "to")
"""What may stand between two teeth; of several the strongest holds: in “13 - 23” the dash."""
_JOIN = r"AND|TO"
_TOKEN = re.compile(
    rf"""(?P<space>\s+) | (?P<comma>[.,;+&/]|AND\b) | (?P<to>[-–—]|TO\b)
    | (?P<askew>[┘┐]\s?[0-9A-Z]*|[0-9A-Z]+\s?[└┌](?!\s?[0-9A-Z])|[└┌](?!\s?[0-9A-Z]))
    | (?P<left>[0-9A-Z]+\s?[┘┐]) | (?P<right>[└┌]\s?[0-9A-Z]+)
    | (?P<quadrant>(?:{"|".join(QUADRANTS)})(?:[\s.:-]*(?!(?:{_JOIN}|UR|UL|LL|LR)(?![A-Z]))[0-9A-Z]+)?(?![0-9A-Z]))
    | (?P<bare>\#?\w+) | (?P<other>.)""",
    re.VERBOSE,
)


def _parts(text: str, notation: Notation) -> Iterator[_Part]:
    """The parts of a text, ranges drawn together, left to right."""
    normal = text.translate(_DENTISTRY_SIGNS)
    upper = normal.upper() if len(normal.upper()) == len(normal) else normal
    pending: tuple[_Part, int] | None = None
    separator, anchor = "start", 0
    for found in _TOKEN.finditer(upper):
        kind = found.lastgroup
        if kind in ("space", "comma", "to"):
            separator = max(separator, kind, key=_STRENGTH.index)
            continue
        before = pending[0] if pending else None
        part = _part(str(kind), found.group(), normal[found.start() : found.end()], before, separator, notation)
        start = found.start()
        if kind != "bare":
            anchor = start
        elif part.quadrant and len(set(part.readings.values())) > 1:
            # Without the quadrant before it, what was written would read as clear.
            part, start = replace(part, written=normal[anchor : found.end()]), anchor
        if pending and separator == "to":
            start = pending[1]
            part = _range(pending[0], part, normal[start : found.end()])
        elif pending:
            yield pending[0]
        pending, separator = (part, start), "start"
    if pending and separator == "to":
        written = text[pending[1] :].strip()
        yield _Part(written, {}, f"“{written}” is a range without its last tooth; write 13-23 or UR3-UL3")
    elif pending:
        yield pending[0]


def _part(kind: str, token: str, written: str, before: _Part | None, separator: str, notation: Notation) -> _Part:
    if kind == "askew":
        return _Part(written, {}, f"“{written}” is no tooth; the corner signs are written 6┘ (UR6), └6, ┌6 and 6┐")
    if kind in ("left", "right"):
        sign = next(c for c in token if c in CORNERS)
        return _behind_quadrant(CORNERS[sign], token.replace(sign, "").strip(), written)
    if kind == "quadrant":
        return _behind_quadrant(token[:2], re.sub(r"[\s.:-]", "", token[2:]), written)
    return _bare(token, written, before.quadrant if before else None, separator, notation)


def _in_quadrant(quadrant: str, digits: str) -> tuple[str, ...] | None:
    """The teeth that digits or letters behind a quadrant name; None when one of them is no tooth."""
    number = QUADRANTS.index(quadrant) + 1
    if not digits or any(c not in "12345678" + MILK for c in digits):
        return None
    return tuple(f"{number + 4}{MILK.index(c) + 1}" if c in MILK else f"{number}{c}" for c in digits)


def _behind_quadrant(quadrant: str, digits: str, written: str) -> _Part:
    teeth = _in_quadrant(quadrant, digits)
    if teeth is None:
        why = f"“{written}” is no tooth: behind {quadrant} stands 1 to 8, or A to E for a milk tooth"
        return _Part(written, {}, why, quadrant)
    readings = {"quadrant": teeth}
    # “UR16” may be 16 with its quadrant said twice, or the two teeth UR1 and UR6.
    if len(digits) == 2 and digits in _PLACE and quadrant_name(digits)[:2] == quadrant:
        readings["iso"] = (digits,)
    return _Part(written, readings, quadrant=quadrant)


def _bare(token: str, written: str, quadrant: str | None, separator: str, notation: Notation) -> _Part:
    """A number or letter without a quadrant of its own; it may belong to the quadrant before it."""
    readings: dict[str, tuple[str, ...]] = {}
    if notation == "universal":
        token = token.removeprefix("#")
    if notation != "universal" and token in _PLACE:
        readings["iso"] = (token,)
    if token in _FROM_UNIVERSAL and (notation == "universal" or (notation == "ask" and token.isdigit())):
        readings["universal"] = (_FROM_UNIVERSAL[token],)
    belongs = _in_quadrant(quadrant, token) if quadrant else None
    if quadrant and belongs and (len(token) == 1 or separator == "space"):
        # Two digits can be a tooth by themselves, and in Universal so can one digit behind a comma.
        alone = len(token) == 2 or (notation == "universal" and separator == "comma")
        return _Part(written, {"quadrant": belongs, **(readings if alone else {})}, quadrant=quadrant)
    if notation == "ask" and token in tuple("12345678"):
        # In practice a single digit is as often a tooth whose quadrant was left out.
        readings |= {q: _in_quadrant(q, token) or () for q in QUADRANTS}
    return _Part(written, readings, _why_not(token, written, notation))


def _why_not(token: str, written: str, notation: Notation) -> str:
    if len(token) == 1 and token in "12345678" + MILK:
        choices = ", ".join(q + token for q in QUADRANTS[:3])
        return f"“{written}” has no quadrant; write {choices} or {QUADRANTS[3]}{token}"
    if notation == "universal" and token.isdigit():
        return f"“{written}” is no Universal number; they run from 1 to 32, and A to T for milk teeth"
    if token.isdigit():
        return f"“{written}” is no tooth in ISO 3950; it has 11–18, 21–28, 31–38, 41–48, and 51–85 for milk teeth"
    return f"“{written}” is no tooth; write it as 16 or UR6"


def _range(first: _Part, last: _Part, written: str) -> _Part:
    """Draw two parts together to the teeth between them, in every notation that reads both."""
    if first.written == last.written and first.written in tuple("12345678"):
        # “3-3” is the usual short way for canine to canine; the arch is missing.
        tooth = first.written
        return _Part(written, {arch: teeth_between(a + tooth, b + tooth) for arch, (a, b) in _ACROSS.items()})
    if not first.readings or not last.readings:
        return _Part(written, {}, first.why if not first.readings else last.why, last.quadrant)
    if any(" to " in system for system in first.readings):
        return _Part(written, {}, f"“{written}” is no range: it has a first and a last tooth only, such as 13-23")
    readings: dict[str, tuple[str, ...]] = {}
    why = ""
    for system, left in first.readings.items():
        for other, right in last.readings.items():
            if system != other and "quadrant" not in (system, other):
                continue
            try:
                between = teeth_between(left[-1], right[0])
            except ValueError as error:
                why = why or f"“{written}” is no range: {error}"
                continue
            readings[f"{system} to {other}"] = (*left[:-1], *between, *right[1:])
            if left[-1] == right[0] and last.written.isdigit() and "quadrant" in (system, other):
                # “UR3-3” runs to the same tooth of the other side, or names one tooth twice.
                readings["one side to other"] = (*left[:-1], *teeth_between(left[-1], _mirrored(left[-1])))
    why = why or f"“{written}” mixes two notations; write it as 13-23 or UR3-UL3"
    return _Part(written, readings, why, last.quadrant)


def _mirrored(tooth: str) -> str:
    row, index = _PLACE[tooth]
    return _ROWS[row][len(_ROWS[row]) - 1 - index]
