"""The form of a case as it is typed: text by place, read into a case.

A place is the path of a value in the prescription file: `practice`, `patient.label`, `appliances[0]`,
`appliances[0].options.thickness_mm`. What cannot be read yet stays text and gets a sentence.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from pydantic import ValidationError

from intake.domain.case import Case, Item, Moment, Patient
from intake.domain.form_appliances import LineRead, line_source, read_line
from intake.domain.form_fields import FormWrong, Said, read_allergies, read_hygiene, read_yes_no
from intake.domain.form_lines import appliance_count, line_place
from intake.domain.form_practice import PracticeRead, read_practice
from intake.domain.lab import ApplianceType, Lab
from intake.domain.phrases import read_items
from intake.domain.practice import Practice
from intake.domain.teeth import Notation
from intake.domain.written_dates import DateUnclear, read_moment, shown_moment

Typed = Mapping[str, str]
ALWAYS = ("practice", "prescriber", "patient.label", "appliances[0]", "items", "hygiene", "appointment")
"""What every prescription has."""


@dataclass(frozen=True)
class FormRead:
    """What a form says so far.

    Attributes:
        case: What could be read.
        practice: The directory's entry of its practice.
        new_practice: The entry that the directory is to get when the case is saved.
        remembers: Whether the practice's entry is to remember the prescriber, who is not on file there.
        said: By place, what was understood or what is wrong.
        places: The fields to show, in the order of the paper.
        lines: For each appliance of the case its line in the form: a line that cannot be read is no appliance yet.
        unsaid: The fields that matter and are empty.
        fitting: The practices that fit what is typed, the likeliest first.
        line_reads: The appliance lines as they were read.
    """

    case: Case
    practice: Practice | None
    said: Mapping[str, Said]
    places: tuple[str, ...]
    lines: tuple[int, ...] = ()
    unsaid: frozenset[str] = frozenset()
    fitting: tuple[Practice, ...] = ()
    line_reads: tuple[LineRead, ...] = ()
    new_practice: Practice | None = None
    remembers: bool = False

    @property
    def ordering(self) -> Practice | None:
        """The practice to judge by: the directory's entry, as it is or as it will be."""
        return self.practice or self.new_practice

    @property
    def wrong(self) -> tuple[str, ...]:
        """The places whose text cannot be read, in the order of the paper."""
        return tuple(place for place in self.places if place in self.said and self.said[place].wrong)


def read_form(
    typed: Typed,
    lab: Lab,
    practices: Sequence[Practice] | None,
    now: datetime,
    kept: Case | None = None,
    before: FormRead | None = None,
) -> FormRead:
    """Reads what was typed. Nothing is guessed: what means two things is said, and left out of the case.

    Args:
        typed: The text of each field by its place.
        lab: The lab setup.
        practices: The directory; None while it is not known.
        now: The lab's wall clock.
        kept: The case as it was before: what has no field of its own stays, waivers and the day of posting.
        before: The same form one key press ago: appliance lines that have not changed are not read again.
    """
    reader = _Reader(typed, lab, now)
    ordered = read_practice(typed, practices)
    reader.said.update(ordered.said)
    notation = (ordered.practice.notation if ordered.practice else None) or lab.notation
    lines = _lines(typed, lab, notation, before)
    for line in lines:
        reader.said.update(line.said)
    case = Case(
        practice=ordered.named,
        prescriber=ordered.prescriber,
        patient=_patient(reader),
        appliances=tuple(line.appliance for line in lines if line.appliance is not None),
        items=_items(reader),
        hygiene=reader.read("hygiene", read_hygiene) or "unknown",
        appointment=reader.read("appointment", _moment, now),
        arrived=_arrived(reader),
        notes=reader.text("notes"),
        posted=kept.posted if kept else None,
        waived=kept.waived if kept else (),
        spoken=kept.spoken if kept else (),
        scans=kept.scans if kept else (),
        arches=kept.arches if kept else None,
        condition=kept.condition if kept else None,
        raised=kept.raised if kept else (),
    )
    if case.stream == "scan" and not reader.text("hygiene"):
        case = case.model_copy(update={"hygiene": "not-applicable"})
        reader.said["hygiene"] = Said("not applicable: only scans came")
    places = _places(reader, ordered, lines, in_parcel=kept is not None and kept.condition is not None)
    return FormRead(
        case=case,
        practice=ordered.practice,
        said=reader.said,
        places=places,
        lines=tuple(number for number, line in enumerate(lines) if line.appliance is not None),
        unsaid=_unsaid(reader) | ordered.unsaid,
        fitting=ordered.fitting,
        line_reads=tuple(lines),
        new_practice=ordered.new,
        remembers=ordered.remembers,
    )


@dataclass
class _Reader:
    """Goes through the fields once, gathering what is said of each."""

    typed: Typed
    lab: Lab
    now: datetime
    said: dict[str, Said] = field(default_factory=dict)

    def text(self, place: str) -> str:
        return self.typed.get(place, "").strip()

    def read(self, place: str, reader: Callable[..., tuple[Any, str]], *args: object) -> Any:
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


def _lines(typed: Typed, lab: Lab, notation: Notation, before: FormRead | None) -> list[LineRead]:
    known = {line.of: line for line in before.line_reads} if before else {}
    places = [line_place(index) for index in range(appliance_count(typed))]
    return [
        known.get(line_source(typed, place, notation)) or read_line(typed, place, lab, notation) for place in places
    ]


def _patient(reader: _Reader) -> Patient:
    return Patient(
        label=reader.text("patient.label") or None,
        reference=reader.text("patient.reference") or None,
        found=reader.text("patient.found") or None,
        under_18=reader.read("patient.under_18", read_yes_no),
        allergies=reader.read("patient.allergies", read_allergies) or (),
    )


def _items(reader: _Reader) -> tuple[Item, ...]:
    text = reader.text("items")
    if not text:
        return ()
    try:
        phrase = read_items(text, reader.lab, reader.now.date())
    except (DateUnclear, ValidationError) as problem:
        reader.said["items"] = Said(str(problem), wrong=True)
        return ()
    if phrase.left_over:
        reader.said["items"] = Said(f"Not understood: {' '.join(phrase.left_over)}.", wrong=True)
    else:
        reader.said["items"] = Said("; ".join(phrase.understood))
    return phrase.items


def _moment(text: str, now: datetime, past: bool = False) -> tuple[Moment, str]:
    moment = read_moment(text, now.date(), past=past)
    return moment, shown_moment(moment)


def _arrived(reader: _Reader) -> datetime:
    value = reader.read("arrived", _moment, reader.now, True)
    if value is None:
        return reader.now.replace(second=0, microsecond=0)
    return value if isinstance(value, datetime) else datetime.combine(value, reader.now.time())


def _places(reader: _Reader, ordered: PracticeRead, lines: Sequence[LineRead], in_parcel: bool) -> tuple[str, ...]:
    places = [*ordered.places, "patient.label", "patient.reference"]
    if in_parcel or reader.text("patient.found"):
        places.append("patient.found")
    for line in lines:
        places += line.places
    places += ["items", "hygiene", "patient.allergies"]
    asks_age = any(line.kind is not None and _asks_age(line.kind, reader.lab) for line in lines)
    if asks_age or reader.text("patient.under_18"):
        places.append("patient.under_18")
    return (*places, "appointment", "arrived", "notes")


def _unsaid(reader: _Reader) -> frozenset[str]:
    """What is empty and matters."""
    return frozenset(place for place in ALWAYS if not reader.text(place) and place not in reader.said)


def _asks_age(kind: ApplianceType, lab: Lab) -> bool:
    return any(
        kind.id in rule.types and any("under_18" in type(circumstance).model_fields for circumstance in rule.when)
        for rule in lab.rules
        if not isinstance(rule.types, str)
    )
