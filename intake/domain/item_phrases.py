"""What came with a case, as the desk types it: “u l b”, “imps u l add sil, bite”, “scan both bite”.

A phrase is read in segments parted by commas, and starts afresh behind a semicolon. A word for the kind of record
(impressions, models, scans) holds until the next one; without any, arches are impressions.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal, TypeVar

from intake.domain.case import Arch, BiteKind, Item, ItemKind, Moment
from intake.domain.lab import Lab
from intake.domain.vocabulary import Choice, Sheet, Word, arch_said, choose, mended, name_words, recognise
from intake.domain.written_dates import DAYS, MONTHS, DateUnclear, read_moment, shown_moment

RECORDS: dict[str, ItemKind] = {
    **dict.fromkeys(("impression", "imp"), "impression"),
    **dict.fromkeys(("model", "cast"), "model"),
    "scan": "scan",
}
OTHERS: dict[str, ItemKind] = {
    **dict.fromkeys(("photo", "photograph", "picture", "pic"), "photo"),
    "tab": "shade-tab",
    "appliance": "appliance",
    **dict.fromkeys(("sheet", "form", "prescription", "rx"), "prescription-sheet"),
    **dict.fromkeys(("b", "bite", "record", "registration", "wax"), "bite-record"),
}
KINDS: dict[str, BiteKind | Literal["unknown"]] = {
    **dict.fromkeys(("centric", "retruded"), "centric"),
    **dict.fromkeys(("open", "opened"), "open"),
    **dict.fromkeys(("protrusive", "protruded", "protrusion"), "protrusive"),
    "unknown": "unknown",
}
PHYSICAL = frozenset(("wax", "physical"))
_QUIET = frozenset(("kind", "material", "old", "shade", "taken"))
_WORDS = frozenset((*RECORDS, *OTHERS, *KINDS, *PHYSICAL, *_QUIET))
_ARCHES: dict[str, tuple[Arch, ...]] = {"upper": ("upper",), "lower": ("lower",), "both": ("upper", "lower")}
_SHOWN: dict[ItemKind, str] = {
    "bite-record": "bite record",
    "shade-tab": "shade tab",
    "prescription-sheet": "prescription sheet",
}
_WRITTEN: dict[ItemKind, str] = {"bite-record": "bite", "shade-tab": "shade tab", "prescription-sheet": "sheet"}

_COMMA = re.compile(r"(?:(?<!\d),|,(?!\d))(?!\s*\d{1,2}[.:]\d\d)|\n")
_NUMBER = r"(?<![\w.,/:])(?P<mm>\d{1,2}(?:[.,]\d{1,2})?)"
_MM = re.compile(rf"{_NUMBER}\s*mm\b", re.IGNORECASE)
_BARE = re.compile(rf"{_NUMBER}(?![\w/:]|[.,]\d)")
_PIECE = re.compile(r"[^\s\0]+")
_TIME_ALONE = re.compile(r"\d{1,2}[.:,]\d{1,2}|\d{1,2}(?:[.:]\d\d)?\s*[ap]\.?m\.?|\d{4}", re.IGNORECASE)
_DAY_WORDS = (*(name[:3].casefold() for name in (*DAYS, *MONTHS)), "today", "yesterday", "last", "+", "-")
_LONGEST_DATE = 5
"""In pieces between spaces: “Thu 10 Dec 2026, 09:30”."""
_Value = TypeVar("_Value")


@dataclass(frozen=True)
class ItemsPhrase:
    """The items that a phrase names, a sentence for each, and what was not understood."""

    items: tuple[Item, ...] = ()
    understood: tuple[str, ...] = ()
    left_over: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Segment:
    """What stands between two commas."""

    items: tuple[Item, ...]
    record: ItemKind
    """The kind of record that holds from here on."""
    material: str | None
    taken: Moment | None
    slips: tuple[str, ...]
    left_over: tuple[str, ...]


def read_items(text: str, lab: Lab, today: date) -> ItemsPhrase:
    """Read what came, with the lab's own names of its materials; a record of both arches becomes two items.

    Dates are when a record was taken, so that without a year they are past. A material or date by itself holds for all
    impressions of the phrase that have none, and so does the one material that is named with any of them.
    """
    items: list[Item] = []
    slips: list[str] = []
    left_over: list[str] = []
    for part in text.split(";"):
        segments: list[_Segment] = []
        record: ItemKind = "impression"
        for piece in _COMMA.split(part):
            segments.append(_segment(Sheet(piece), lab, today, record))
            record = segments[-1].record
        items += _spread(segments)
        slips += [slip for segment in segments for slip in segment.slips]
        left_over += [word for segment in segments for word in segment.left_over]
    return ItemsPhrase(tuple(items), (*(_sentence(item, lab) for item in items), *slips), tuple(left_over))


def items_words(items: Iterable[Item], lab: Lab) -> str:
    """Write items as a phrase that reads back to the same."""
    return "; ".join(_item_words(item, lab) for item in items)


def _spread(segments: Sequence[_Segment]) -> list[Item]:
    """The items of all segments, with what was said once for all impressions filled in."""
    names_it = [s for s in segments if not s.items or any(i.item == "impression" for i in s.items)]
    material = _the_one(s.material for s in names_it)
    taken = _the_one(s.taken for s in segments if not s.items)
    spread: list[Item] = []
    for item in (item for segment in segments for item in segment.items):
        if item.item == "impression" and item.material is None:
            item = item.model_copy(update={"material": material})
        if item.item in ("impression", "scan") and item.taken is None:
            item = item.model_copy(update={"taken": taken})
        spread.append(item)
    return spread


def _the_one(values: Iterable[_Value | None]) -> _Value | None:
    said = {value for value in values if value is not None}
    return said.pop() if len(said) == 1 else None


def _segment(sheet: Sheet, lab: Lab, today: date, record: ItemKind) -> _Segment:
    measure = sheet.take(_MM)
    taken = _take_date(sheet, today)
    names = {m.id: (m.name, *m.words) for m in lab.materials}
    spelled = frozenset(word for several in names.values() for name in several for word in name_words(name))
    marks = _take_words(sheet, spelled)
    choice = _take_material(sheet, names)
    slips = [f"“{typed}” read as “{meant}”" for typed, meant in choice.slips.items()]
    marks += _take_mended(sheet, slips)
    marks.sort(key=lambda mark: mark[0])
    has_bite = any(_makes_bite(word) for _, word in marks)
    if has_bite and measure is None:
        measure = sheet.take(_BARE)
    items, record = _items([word for _, word in marks], record)
    mm = float(measure["mm"].replace(",", ".")) if measure else None
    items = _completed(items, choice.only, taken, mm or None)
    unread = (measure.group(),) if measure and not (has_bite and mm) else ()
    return _Segment(tuple(items), record, choice.only, taken, tuple(slips), (*sheet.left_over(), *unread))


def _take_date(sheet: Sheet, today: date) -> Moment | None:
    """Takes the longest stretch that is a date; a time without a day could be any day's."""
    pieces = [found.span() for found in _PIECE.finditer(sheet.rest)]
    for first, (start, _) in enumerate(pieces):
        if not (sheet.rest[start].isdigit() or sheet.rest[start:].casefold().startswith(_DAY_WORDS)):
            continue
        for _, end in reversed(pieces[first : first + _LONGEST_DATE]):
            moment = _moment(sheet.rest[start:end], today)
            if moment is not None:
                sheet.cut(start, end)
                return moment
    return None


def _moment(text: str, today: date) -> Moment | None:
    if "\0" in text or _TIME_ALONE.fullmatch(text):
        return None
    for past in (True, False):
        try:
            return read_moment(text, today, past=past)
        except DateUnclear:
            continue
    return None


def _take_words(sheet: Sheet, materials: frozenset[str]) -> list[tuple[int, str]]:
    """The words for records, arches and bites with their places; the lab's own words for materials come first."""
    marks: list[tuple[int, str]] = []
    for word in sheet.words():
        if recognise(word.text, materials) & {word.plain}:
            continue
        if mark := _mark(word):
            marks.append((word.start, mark))
            sheet.cut(word.start, word.end)
    return marks


def _mark(word: Word) -> str | None:
    if arch := arch_said(word.text):
        return arch
    fits = recognise(word.text, _WORDS)
    meanings = {(RECORDS.get(w), OTHERS.get(w), KINDS.get(w), w in PHYSICAL, w in _QUIET) for w in fits}
    return min(fits) if len(meanings) == 1 else None


def _take_material(sheet: Sheet, names: Mapping[str, tuple[str, ...]]) -> Choice:
    choice = choose(sheet.words(), names, _WORDS)
    if choice.only:
        for word in choice.words:
            sheet.cut(word.start, word.end)
        return choice
    return Choice()


def _take_mended(sheet: Sheet, slips: list[str]) -> list[tuple[int, str]]:
    marks: list[tuple[int, str]] = []
    for word in sheet.words():
        if right := mended(word.text, _WORDS):
            marks.append((word.start, right))
            slips.append(f"“{word.text}” read as “{right}”")
            sheet.cut(word.start, word.end)
    return marks


def _items(words: Sequence[str], held: ItemKind) -> tuple[list[Item], ItemKind]:
    """The items of a segment's words in order, and the kind of record that holds behind it."""
    records = [place for place, word in enumerate(words) if word in RECORDS]
    last = RECORDS[words[records[-1]]] if records else held
    record_of = _records_of_arches(words, records)
    bite: Item | None = _bite(words, last) if any(map(_makes_bite, words)) else None
    items: list[Item] = []
    for place, word in enumerate(words):
        if _describes_next(words, place):
            continue
        if place in record_of:
            record = record_of[place]
            kind = held if record is None else RECORDS[words[record]]
            items += [Item(item=kind, arch=arch) for arch in _ARCHES[word]]
        elif word in RECORDS and place not in record_of.values():
            # “bite scan” is one thing: the bite, scanned.
            items += [] if bite and RECORDS[word] == "scan" else [Item(item=RECORDS[word])]
        elif _makes_bite(word):
            items += [bite] if bite and bite not in items else []
        elif word in OTHERS and (place == 0 or OTHERS.get(words[place - 1]) != OTHERS[word]):
            arch = arch_said(words[place - 1]) if place and _describes_next(words, place - 1) else None
            items.append(Item(item=OTHERS[word], arch=arch))
    return items, last


def _describes_next(words: Sequence[str], place: int) -> bool:
    """Whether an arch, the only one there, belongs to the word behind it: “upper appliance”, “lower photo”."""
    if words[place] not in _ARCHES or (place and words[place - 1] in _ARCHES):
        return False
    return place + 1 < len(words) and OTHERS.get(words[place + 1]) in ("appliance", "photo")


def _makes_bite(word: str) -> bool:
    return OTHERS.get(word) == "bite-record" or KINDS.get(word, "unknown") != "unknown"


def _records_of_arches(words: Sequence[str], records: Sequence[int]) -> dict[int, int | None]:
    """For the place of each arch the place of its record: before it, or behind it where the arches come first."""
    arches = [place for place, word in enumerate(words) if word in _ARCHES]
    if not arches or not records:
        return dict.fromkeys(arches)
    if arches[0] < records[0]:
        return {place: next((r for r in records if r > place), records[-1]) for place in arches}
    return {place: [r for r in records if r < place][-1] for place in arches}


def _bite(words: Sequence[str], record: ItemKind) -> Item:
    kinds = [KINDS[word] for word in words if word in KINDS]
    kind = kinds[0] if kinds else "centric"
    physical = any(word in PHYSICAL for word in words)
    source: Literal["physical", "scan"] | None = "physical" if physical else "scan" if record == "scan" else None
    return Item(item="bite-record", kind=None if kind == "unknown" else kind, source=source)


def _completed(items: Sequence[Item], material: str | None, taken: Moment | None, mm: float | None) -> list[Item]:
    """The items of a segment with its material, date and measure, each where it belongs."""
    impressions = [i for i in items if i.item == "impression"] or items
    dated = [i for i in items if i.item in ("impression", "scan")] or items
    completed: list[Item] = []
    for item in items:
        said: dict[str, object] = {}
        if item in impressions:
            said["material"] = material
        if item in dated:
            said["taken"] = taken
        if item.item == "bite-record":
            said["mm"] = mm
        completed.append(item.model_copy(update=said))
    return completed


def _sentence(item: Item, lab: Lab) -> str:
    """An item in words: “Upper impression, Addition silicone, taken Tue 24 Nov 2026, 15:30”."""
    name = _SHOWN.get(item.item, item.item)
    material = lab.material_by_id.get(item.material or "")
    parts = (
        f"{item.arch} {name}".capitalize() if item.arch else name.capitalize(),
        "scanned" if item.item == "bite-record" and item.source == "scan" else "",
        (item.kind or "kind not known") if item.item == "bite-record" else "",
        f"{item.mm:g} mm" if item.mm else "",
        material.name if material else "",
        f"taken {shown_moment(item.taken)}" if item.taken else "",
    )
    return ", ".join(filter(None, parts))


def _item_words(item: Item, lab: Lab) -> str:
    parts = [item.arch or "", _WRITTEN.get(item.item, item.item)]
    if item.item == "bite-record":
        parts += [item.kind or "unknown kind", item.source or ""]
    if item.mm is not None:
        parts.append(f"{item.mm:g} mm")
    if item.material is not None:
        parts.append(_material_words(item.material, lab))
    if item.taken is not None:
        clock = f" {item.taken:%H:%M}" if isinstance(item.taken, datetime) else ""
        parts.append(f"{item.taken.day} {MONTHS[item.taken.month - 1][:3]} {item.taken.year}{clock}")
    return " ".join(filter(None, parts))


def _material_words(material: str, lab: Lab) -> str:
    """The first of a material's names that means this material alone."""
    names = {m.id: (m.name, *m.words) for m in lab.materials}
    own = names.get(material, (material,))
    return next((name for name in own if choose(Sheet(name).words(), names, _WORDS).only == material), own[0])
