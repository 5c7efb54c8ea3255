"""A blank prescription that came back filled in, as the form of a case that the desk would have typed."""

from collections.abc import Mapping, Sequence
from datetime import date

from intake.domain.blank_fields import (
    ALLERGIES,
    APPLIANCES,
    APPOINTMENT,
    ARCHES,
    BITE_KIND,
    BITE_KINDS,
    BITE_MM,
    FORM,
    HYGIENE,
    HYGIENES,
    IMPRESSION_MATERIAL,
    IMPRESSION_TAKEN,
    ITEMS,
    LABEL,
    NOTES,
    PRESCRIBER,
    REFERENCE,
    TICKED,
    UNDER_18,
    YES_NO,
    appliance_field,
    arch_field,
    item_field,
    notes_field,
    option_field,
    read_blank_number,
)
from intake.domain.case import Appliance, BiteKind, Item, Moment
from intake.domain.form_appliances import OPTION_NAMES, option_place
from intake.domain.form_check import OFF, written
from intake.domain.form_fields import FormWrong, read_measure
from intake.domain.form_lines import line_place
from intake.domain.lab import Lab
from intake.domain.languages import spoken
from intake.domain.phrases import appliance_words, items_words
from intake.domain.practice import Practice
from intake.domain.reading import find_practice
from intake.domain.vocabulary import arch_said
from intake.domain.written_dates import DateUnclear, read_moment

Fields = Mapping[str, str]
Typed = dict[str, str]
UNREADABLE = "?"
"""What no appliance is known by, so that the desk has to look."""
_HYGIENE_TYPED = dict(zip(HYGIENES, ("d", "n"), strict=True))


def typed_blank(fields: Fields, lab: Lab, practices: Sequence[Practice], today: date) -> Typed:
    """The form of a case, ready for `intake.domain.form.read_form`; empty fields are left out.

    What cannot be read there stands as it was written, and is said to be wrong where it stands; what has no place of
    its own there is kept in the notes. A name is never taken for a similar one of the directory.

    Raises:
        BlankNumberRefused: the form's number is none, so that nobody can say which practice it is from.
    """
    code = read_blank_number(fields.get(FORM, ""))
    practice = find_practice(code, practices)
    under_18, hygiene = _chosen(fields, UNDER_18, YES_NO), _chosen(fields, HYGIENE, HYGIENES)
    items, unread = _items(fields, lab, today)
    typed = {
        "practice": code if practice else _quoted(code),
        "prescriber": _quoted(_text(fields, PRESCRIBER)),
        "patient.label": _text(fields, LABEL),
        "patient.reference": _text(fields, REFERENCE),
        "patient.under_18": under_18[:1],
        "patient.allergies": _allergies(_text(fields, ALLERGIES), lab, practice),
        "items": items_words(items, lab),
        "hygiene": _HYGIENE_TYPED.get(hygiene, ""),
        "appointment": _text(fields, APPOINTMENT),
        "notes": " · ".join(filter(None, (_text(fields, NOTES), *unread))),
    }
    for line, index in enumerate(i for i in range(APPLIANCES) if _is_filled(fields, i)):
        typed |= _appliance(fields, index, line_place(line), lab)
    return {place: text for place, text in typed.items() if text}


def _is_filled(fields: Fields, index: int) -> bool:
    return any(_text(fields, name).removeprefix("/") not in ("", OFF) for name in _fields_of(index))


def _fields_of(index: int) -> tuple[str, ...]:
    options = (option_field(index, name) for name in OPTION_NAMES)
    return (appliance_field(index), arch_field(index), notes_field(index), *options)


def _appliance(fields: Fields, index: int, place: str, lab: Lab) -> Typed:
    """An appliance line in the lab's own words, and its fields beside it."""
    line, unread = _line(_text(fields, appliance_field(index)), _chosen(fields, arch_field(index), ARCHES), lab)
    options = {option_place(place, name): _text(fields, option_field(index, name)) for name in OPTION_NAMES}
    notes = " · ".join(filter(None, (_text(fields, notes_field(index)), unread)))
    return {place: line, **options, f"{place}.notes": notes}


def _line(kind: str, arch: str, lab: Lab) -> tuple[str, str]:
    """The words of type and arch; where they contradict each other, a question mark and both as a note."""
    if kind in lab.type_by_id:
        return f"{appliance_words(Appliance(type=kind), lab)} {arch}".strip(), ""
    if arch and {arch_said(word) for word in kind.split()} - {None, arch}:
        return UNREADABLE, f"written: {kind}, ticked: {arch}"
    return f"{kind} {arch}".strip(), ""


def _items(fields: Fields, lab: Lab, today: date) -> tuple[list[Item], list[str]]:
    """What was sent, impressions with their material and when they were taken; and what of it cannot be read."""
    sent = [Item(item=item, arch=arch) for item, arch in ITEMS if _is_ticked(fields, item_field(item, arch))]
    material, unknown = _material(_text(fields, IMPRESSION_MATERIAL), lab)
    taken, unclear = _taken(_text(fields, IMPRESSION_TAKEN), today)
    bite, no_measure = _bite(fields)
    known: dict[str, dict[str, object]] = {
        "impression": {"material": material, "taken": taken},
        "scan": {"taken": taken},
    }
    said = [item.model_copy(update=known.get(item.item, {})) for item in sent if item.item != "bite-record"]
    return [*said, *bite], [note for note in (unknown, unclear, no_measure) if note]


def _material(text: str, lab: Lab) -> tuple[str | None, str]:
    for material in lab.materials:
        if text.casefold() in (name.casefold() for name in (material.id, material.name, *material.words)):
            return material.id, ""
    return None, f"impression material: {text}" if text else ""


def _taken(text: str, today: date) -> tuple[Moment | None, str]:
    try:
        return (read_moment(text, today, past=True) if text else None), ""
    except DateUnclear:
        return None, f"taken: {text}"


def _bite(fields: Fields) -> tuple[list[Item], str]:
    """The bite record with its position and measure, each only where it is said."""
    chosen, measured = _chosen(fields, BITE_KIND, BITE_KINDS), _text(fields, BITE_MM)
    if not (_is_ticked(fields, item_field("bite-record", None)) or chosen or measured):
        return [], ""
    kind: BiteKind | None = next((each for each in BITE_KINDS if each == chosen), None)
    try:
        return [Item(item="bite-record", kind=kind, mm=read_measure(measured)[0] if measured else None)], ""
    except FormWrong:
        return [Item(item="bite-record", kind=kind)], f"bite record: {measured} mm"


def _allergies(text: str, lab: Lab, practice: Practice | None) -> str:
    """What was written of allergies; the form's own word for none of them is the desk's."""
    none = spoken(lab, practice.language if practice else None).words.form.none
    return "none" if text.casefold().strip(".") == none.casefold() else text


def _text(fields: Fields, name: str) -> str:
    return written(fields.get(name, ""))


def _is_ticked(fields: Fields, name: str) -> bool:
    return fields.get(name, "").removeprefix("/") == TICKED


def _chosen(fields: Fields, name: str, choices: Sequence[str]) -> str:
    """The choice of a row of radio buttons, whose value is its place; empty for none."""
    value = fields.get(name, "").removeprefix("/")
    return choices[int(value)] if value.isascii() and value.isdecimal() and int(value) < len(choices) else ""


def _quoted(text: str) -> str:
    """In quotation marks it is taken as written, not for the beginning of another name."""
    plain = text.replace("“", "").replace("”", "").replace('"', "")
    return f"“{plain}”" if plain else ""
