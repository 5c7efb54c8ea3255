"""The form of a case as it is typed: text by place, read into a case, and written back.

A place is the path of a value in the prescription file: `practice`, `patient.label`, `appliances[0]`,
`appliances[0].options.thickness_mm`. What cannot be read yet stays text and gets a sentence.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, get_args

from pydantic import ValidationError

from intake.domain.case import Appliance, Case, Item, NewPractice, Options, Patient
from intake.domain.form_fields import (
    FormWrong,
    Said,
    read_hygiene,
    read_measure,
    read_shade,
    read_yes_no,
)
from intake.domain.lab import ApplianceType, Lab, OptionName
from intake.domain.phrases import AppliancePhrase, read_appliance, read_items
from intake.domain.practice import Practice
from intake.domain.practice_search import folded, search_practices, the_practice
from intake.domain.teeth import Notation, describe_teeth, read_teeth
from intake.domain.written_dates import DateUnclear, read_moment, shown_moment

Typed = Mapping[str, str]
DETAILS = ("practice.address", "practice.postcode", "practice.telephone", "practice.email")
OPTION_NAMES: tuple[OptionName, ...] = get_args(OptionName)
TEETH_OPTIONS: tuple[OptionName, ...] = ("pontics", "clasps", "springs")
MEASURES: tuple[OptionName, ...] = ("thickness_mm", "bite_opening_mm")


@dataclass(frozen=True)
class FormRead:
    """What a form says so far."""

    case: Case
    practice: Practice | None
    said: Mapping[str, Said]
    """By place: what was understood, or what is wrong."""
    places: tuple[str, ...]
    """The fields to show, in the order of the paper."""
    lines: tuple[int, ...] = ()
    """For each appliance of the case, the number of its line in the form: unreadable lines are no appliance yet."""

    @property
    def wrong(self) -> tuple[str, ...]:
        """The places whose text cannot be read."""
        return tuple(place for place in self.places if place in self.said and self.said[place].wrong)


@dataclass
class _Reader:
    """Goes through the fields once, gathering what is said of each."""

    typed: Typed
    lab: Lab
    practices: Sequence[Practice]
    now: datetime
    said: dict[str, Said] = field(default_factory=dict)

    def text(self, place: str) -> str:
        return self.typed.get(place, "").strip()

    def read(self, place: str, reader: Any, *args: Any) -> Any:
        """The value of a field by its reader, or None with the reader's sentence kept."""
        text = self.text(place)
        if not text:
            return None
        try:
            value, shown = reader(text, *args)
        except (FormWrong, DateUnclear) as problem:
            self.said[place] = Said(str(problem), wrong=True)
            return None
        if shown:
            self.said[place] = Said(shown)
        return value


def read_form(
    typed: Typed, lab: Lab, practices: Sequence[Practice], now: datetime, kept: Case | None = None
) -> FormRead:
    """Reads what was typed. Nothing is guessed: what means two things is said, and left out of the case.

    `kept` is the case as it was before, whose values without a field of their own stay: waivers, and when it was posted.
    """
    reader = _Reader(typed, lab, practices, now)
    practice, named = _practice(reader)
    notation = (practice.notation if practice else None) or lab.notation
    appliances = [_appliance(reader, index, notation) for index in range(appliance_count(typed))]
    case = Case(
        practice=named,
        prescriber=_prescriber(reader, practice),
        patient=Patient(
            label=reader.text("patient.label") or None,
            reference=reader.text("patient.reference") or None,
            under_18=reader.read("patient.under_18", read_yes_no),
            allergies=tuple(part.strip() for part in reader.text("patient.allergies").split(",") if part.strip()),
        ),
        appliances=tuple(appliance for appliance, _ in appliances if appliance is not None),
        items=_items(reader),
        hygiene=reader.read("hygiene", read_hygiene) or "unknown",
        appointment=reader.read("appointment", _moment, now),
        arrived=_arrived(reader),
        notes=reader.text("notes"),
        posted=kept.posted if kept else None,
        waived=kept.waived if kept else (),
    )
    places = _places(reader, practice, [kind for _, kind in appliances])
    lines = tuple(line for line, (appliance, _) in enumerate(appliances) if appliance is not None)
    return FormRead(case, practice, reader.said, places, lines)


def appliance_count(typed: Typed) -> int:
    """How many appliance lines the form has; one at least."""
    numbers = [int(match[1]) for place in typed if (match := re.match(r"appliances\[(\d+)\]", place))]
    return max(numbers, default=0) + 1


def _practice(reader: _Reader) -> tuple[Practice | None, str | NewPractice | None]:
    text = reader.text("practice")
    if not text:
        return None, None
    practice = the_practice(text, reader.practices)
    if practice is not None:
        reader.said["practice"] = Said(", ".join(filter(None, (practice.name, *practice.address[-1:]))))
        return practice, practice.code
    fitting = search_practices(text, reader.practices)
    if fitting:
        names = ", ".join(f"{p.name} ({p.code})" for p in fitting[:4])
        reader.said["practice"] = Said(f"{len(fitting)} practices fit: {names}. Type on, or choose with ↓.", wrong=True)
        return None, None
    reader.said["practice"] = Said("Not in the directory. Enter what stands on the paper; it is offered for the directory.")
    address = tuple(part.strip() for part in reader.text("practice.address").split(",") if part.strip())
    details = {name: reader.text(f"practice.{name}") for name in ("postcode", "telephone", "email")}
    return None, NewPractice(name=text, address=address, **details)


def _prescriber(reader: _Reader, practice: Practice | None) -> str | None:
    text = reader.text("prescriber")
    if not text or text == "-":
        return None
    known = practice.prescribers if practice else ()
    fitting = [name for name in known if all(any(part.startswith(word) for part in folded(name).split())
                                             for word in folded(text).split())]  # fmt: skip
    if len(fitting) == 1:
        reader.said["prescriber"] = Said(fitting[0])
        return fitting[0]
    if known and text not in known:
        reader.said["prescriber"] = Said(f"Taken as written; on file there: {', '.join(known)}.")
    return text


def _appliance(reader: _Reader, index: int, notation: Notation) -> tuple[Appliance | None, ApplianceType | None]:
    place = f"appliances[{index}]"
    text = reader.text(place)
    if not text:
        return None, None
    phrase = read_appliance(text, reader.lab, notation)
    kind = reader.lab.type_by_id.get(phrase.type) if phrase.type else None
    if kind is None:
        reader.said[place] = Said(_which(phrase, reader.lab), wrong=True)
        return None, None
    teeth = list(phrase.teeth)
    unclear = list(phrase.unclear_teeth)
    values: dict[str, Any] = dict(phrase.options)
    for name in _offered(reader, place, kind):
        _read_ask(reader, place, name, notation, values, teeth, unclear)
    said = " · ".join(phrase.understood)
    if phrase.left_over:
        said += f" · as a note: {' '.join(phrase.left_over)}"
    reader.said[place] = Said(said)
    notes = " ".join(filter(None, (*phrase.left_over, reader.text(f"{place}.notes"))))
    appliance = Appliance(
        type=kind.id,
        arch=phrase.arch,
        teeth=tuple(dict.fromkeys(teeth)),
        unclear_teeth=tuple(dict.fromkeys(unclear)),
        options=Options(**values),
        notes=notes,
    )
    return appliance, kind


def _offered(reader: _Reader, place: str, kind: ApplianceType) -> list[OptionName]:
    """The options a type asks for, and any other that has been filled in."""
    more = [name for name in OPTION_NAMES if name not in kind.asks and reader.text(_where(place, name))]
    return [*kind.asks, *more]


def _where(place: str, name: str) -> str:
    return f"{place}.teeth" if name == "teeth" else f"{place}.options.{name}"


def _read_ask(
    reader: _Reader,
    place: str,
    name: OptionName,
    notation: Notation,
    values: dict[str, Any],
    teeth: list[str],
    unclear: list[str],
) -> None:
    where = _where(place, name)
    if name == "teeth" or name in TEETH_OPTIONS:
        read = reader.read(where, _teeth, notation)
        if read is not None:
            (teeth.extend(read[0]) if name == "teeth" else values.__setitem__(name, read[0]))
            unclear.extend(read[1])
        return
    if name in MEASURES:
        value = reader.read(where, read_measure)
    elif name == "shade":
        value = reader.read(where, read_shade, reader.lab)
    else:
        value = reader.text(where) or None
    if value is not None:
        values[name] = value


def _which(phrase: AppliancePhrase, lab: Lab) -> str:
    if phrase.candidates:
        names = ", ".join(lab.type_by_id[candidate].name for candidate in phrase.candidates[:5])
        return f"This can be: {names}. Say which."
    return "No appliance of the setup is known by these words. F1 lists them."


def _teeth(text: str, notation: Notation) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], str]:
    read = read_teeth(text, notation)
    if read.wrong:
        raise FormWrong(read.wrong[0].why)
    shown = describe_teeth(read.teeth)
    if read.unclear:
        meanings = "; ".join(f"“{u.written}” can be {' or '.join(u.meanings)}" for u in read.unclear)
        shown = f"{shown}; {meanings}: ask the practice" if shown else f"{meanings}: ask the practice"
    return (read.teeth, tuple(u.written for u in read.unclear)), shown


def _items(reader: _Reader) -> tuple[Item, ...]:
    text = reader.text("items")
    if not text:
        return ()
    try:
        phrase = read_items(text, reader.lab, reader.now.date())
    except (DateUnclear, ValidationError) as problem:
        reader.said["items"] = Said(str(problem), wrong=True)
        return ()
    said = ", ".join(phrase.understood)
    if phrase.left_over:
        reader.said["items"] = Said(f"Not understood: {' '.join(phrase.left_over)}.", wrong=True)
    else:
        reader.said["items"] = Said(said)
    return phrase.items


def _moment(text: str, now: datetime) -> tuple[Any, str]:
    moment = read_moment(text, now.date())
    return moment, shown_moment(moment)


def _arrived(reader: _Reader) -> datetime:
    value = reader.read("arrived", _past_moment, reader.now)
    if value is None:
        return reader.now.replace(second=0, microsecond=0)
    return value if isinstance(value, datetime) else datetime.combine(value, reader.now.time())


def _past_moment(text: str, now: datetime) -> tuple[Any, str]:
    moment = read_moment(text, now.date(), past=True)
    return moment, shown_moment(moment)


def _places(reader: _Reader, practice: Practice | None, kinds: Sequence[ApplianceType | None]) -> tuple[str, ...]:
    places = ["practice"]
    if practice is None and reader.text("practice") and not reader.said["practice"].wrong:
        places += DETAILS
    places += ["prescriber", "patient.label", "patient.reference"]
    for index, kind in enumerate(kinds):
        place = f"appliances[{index}]"
        places.append(place)
        if kind is not None:
            places += [_where(place, name) for name in _offered(reader, place, kind)]
        if reader.text(f"{place}.notes"):
            places.append(f"{place}.notes")
    if any(kind is not None and _asks_age(kind, reader.lab) for kind in kinds):
        places.append("patient.under_18")
    return (*places, "items", "hygiene", "patient.allergies", "appointment", "arrived", "notes")


def _asks_age(kind: ApplianceType, lab: Lab) -> bool:
    return any(
        kind.id in rule.types and any("under_18" in type(circumstance).model_fields for circumstance in rule.when)
        for rule in lab.rules
        if not isinstance(rule.types, str)
    )


def place_in_form(form: FormRead, place: str) -> str:
    """The field of the form that a finding's place leads to: itself, or the nearest one that is shown."""
    match = re.match(r"appliances\[(\d+)\](.*)", place)
    if match:
        index = int(match[1])
        line = form.lines[index] if index < len(form.lines) else index
        place = f"appliances[{line}]{match[2]}"
    while place and place not in form.places:
        place = place.rpartition(".")[0]
    return place or form.places[0]


def next_place(form: FormRead, current: str, asked: Sequence[str]) -> str | None:
    """Where Enter goes on to: the next field that matters, or None at the end.

    A field matters when a finding asks for it, when every prescription has it, or when its text cannot be read.
    """
    wanted = {place_in_form(form, place) for place in asked} | set(form.wrong) | set(ALWAYS)
    start = form.places.index(current) + 1 if current in form.places else 0
    return next((place for place in form.places[start:] if place in wanted), None)


ALWAYS = ("practice", "prescriber", "patient.label", "appliances[0]", "items", "hygiene", "appointment")
