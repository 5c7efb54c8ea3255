"""Reads one appliance of the form: its line of words, and the fields for what the words did not say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, get_args

from intake.domain.case import Appliance, Options
from intake.domain.form_fields import FormWrong, Said, read_measure, read_shade
from intake.domain.lab import ApplianceType, Lab, OptionName
from intake.domain.phrases import AppliancePhrase, read_appliance
from intake.domain.teeth import Notation, describe_teeth, read_teeth

OPTION_NAMES: tuple[OptionName, ...] = get_args(OptionName)
TEETH_OPTIONS: tuple[OptionName, ...] = ("pontics", "clasps", "springs")
MEASURES: tuple[OptionName, ...] = ("thickness_mm", "bite_opening_mm")


@dataclass(frozen=True)
class LineRead:
    """What one appliance of the form says so far.

    Attributes:
        appliance: None while its type is not known.
        kind: Its type in the setup.
        places: Its fields to show, the line itself first.
        said: By place, what was understood or what is wrong.
        of: What it was read from: the same reads the same again.
    """

    appliance: Appliance | None
    kind: ApplianceType | None
    places: tuple[str, ...]
    said: Mapping[str, Said]
    of: tuple[str, ...] = ()


def option_place(line: str, name: str) -> str:
    """Where an option of the appliance at a place stands: `appliances[0].options.shade`, `appliances[0].teeth`."""
    return f"{line}.teeth" if name == "teeth" else f"{line}.options.{name}"


def line_source(typed: Mapping[str, str], place: str, notation: Notation) -> tuple[str, ...]:
    """Everything that the reading of a line depends on, in one lab."""
    own = [part for where, text in sorted(typed.items()) if where.startswith(place) for part in (where, text)]
    return (place, notation, *own)


def read_line(typed: Mapping[str, str], place: str, lab: Lab, notation: Notation) -> LineRead:
    """Reads the appliance at a place. Its fields are what the type asks for and the words do not say."""
    text = typed.get(place, "").strip()
    phrase = read_appliance(text, lab, notation) if text else AppliancePhrase()
    kind = lab.type_by_id.get(phrase.type) if phrase.type else None
    fields = {name: words for name in OPTION_NAMES if (words := typed.get(option_place(place, name), "").strip())}
    shown = [name for name in _asked(phrase, kind) if name not in fields] + list(fields)
    order = [*(kind.asks if kind else ()), *OPTION_NAMES]
    places = [place, *(option_place(place, name) for name in sorted(shown, key=order.index))]
    if typed.get(f"{place}.notes", "").strip():
        places.append(f"{place}.notes")
    if kind is None:
        said = {place: Said(_which(phrase, lab), wrong=True)} if text or fields else {}
        return LineRead(None, None, tuple(places), said, line_source(typed, place, notation))
    line = _Line(phrase, place, notation, lab)
    for name, words in fields.items():
        line.read(name, words)
    notes = " ".join(filter(None, (*phrase.left_over, typed.get(f"{place}.notes", "").strip())))
    source = line_source(typed, place, notation)
    return LineRead(line.appliance(kind, notes), kind, tuple(places), line.said, source)


class _Line:
    """Gathers the values of one appliance: those of its words, then those of its fields."""

    def __init__(self, phrase: AppliancePhrase, place: str, notation: Notation, lab: Lab) -> None:
        self._phrase, self._place, self._notation, self._lab = phrase, place, notation, lab
        self._values: dict[str, Any] = phrase.options.model_dump()
        self._teeth, self._unclear = list(phrase.teeth), list(phrase.unclear_teeth)
        left = f" · as a note: {' '.join(phrase.left_over)}" if phrase.left_over else ""
        self.said = {place: Said(" · ".join(phrase.understood) + left)}

    def read(self, name: OptionName, words: str) -> None:
        """Reads one field; what contradicts the line is wrong, since nobody can know which is meant."""
        place = option_place(self._place, name)
        try:
            value, shown = self._value(name, words)
        except FormWrong as problem:
            self.said[place] = Said(str(problem), wrong=True)
            return
        before = self._teeth if name == "teeth" else self._values[name]
        if before and name not in (*TEETH_OPTIONS, "teeth") and before != value:
            told = f"{before:g} mm" if name in MEASURES else before
            self.said[place] = Said(f"The line above says {told}. Which is right? Correct one of them.", wrong=True)
            return
        if shown:
            self.said[place] = Said(shown)
        self._keep(name, value)

    def appliance(self, kind: ApplianceType, notes: str) -> Appliance:
        """What has been gathered."""
        return Appliance(
            type=kind.id,
            arch=self._phrase.arch,
            teeth=tuple(dict.fromkeys(self._teeth)),
            unclear_teeth=tuple(dict.fromkeys(self._unclear)),
            options=Options(**self._values),
            notes=notes,
        )

    def _value(self, name: OptionName, words: str) -> tuple[Any, str]:
        if name == "teeth" or name in TEETH_OPTIONS:
            return _read_teeth(words, self._notation)
        if name in MEASURES:
            return read_measure(words)
        return read_shade(words, self._lab) if name == "shade" else (words, "")

    def _keep(self, name: OptionName, value: Any) -> None:
        if name != "teeth" and name not in TEETH_OPTIONS:
            self._values[name] = value
            return
        teeth, unclear = value
        self._unclear += unclear
        if name == "teeth":
            self._teeth += teeth
        else:
            self._values[name] = tuple(dict.fromkeys((*self._values[name], *teeth)))


def _asked(phrase: AppliancePhrase, kind: ApplianceType | None) -> list[OptionName]:
    """What the type asks for and the words do not say."""
    if kind is None:
        return []
    said = phrase.options.model_dump()
    return [name for name in kind.asks if not (phrase.teeth if name == "teeth" else said[name])]


def _which(phrase: AppliancePhrase, lab: Lab) -> str:
    if phrase.candidates:
        names = ", ".join(lab.type_by_id[candidate].name for candidate in phrase.candidates[:5])
        more = ", or another" if len(phrase.candidates) > 5 else ""
        return f"This can be: {names}{more}. Say which."
    return "No appliance of the setup is known by these words. Write its name or short name; F1 lists them."


def _read_teeth(text: str, notation: Notation) -> tuple[tuple[Sequence[str], Sequence[str]], str]:
    read = read_teeth(text, notation)
    if read.wrong:
        raise FormWrong(read.wrong[0].why)
    shown = [describe_teeth(read.teeth)] if read.teeth else []
    if read.unclear:
        meanings = "; ".join(f"“{u.written}” can be {' or '.join(u.meanings)}" for u in read.unclear)
        shown.append(f"{meanings}: ask the practice")
    return (read.teeth, tuple(u.written for u in read.unclear)), "; ".join(shown)
