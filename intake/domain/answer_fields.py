"""The fields of a prescription that an answer can fill: how each is read from words, and how the case takes it."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from intake.domain.answer_phrases import says_nothing
from intake.domain.case import Appliance, Arch, BiteKind, Case
from intake.domain.form_fields import FormWrong, read_measure, read_shade, read_yes_no
from intake.domain.form_practice import prescriber_meant
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.raised import REQUIREMENT, with_answer
from intake.domain.teeth import describe_teeth, read_teeth
from intake.domain.written_dates import read_moment, shown_moment

_OF_ITEM = re.compile(r"items\[(\d+)\]\.(\w+)")
_OF_APPLIANCE = re.compile(r"appliances\[(\d+)\](?:\.options)?(?:\.(\w+))?")
_ARCHES: dict[str, Arch] = {"u": "upper", "upper": "upper", "l": "lower", "lower": "lower", "b": "both", "both": "both"}
_BITES: dict[str, BiteKind] = {
    "c": "centric",
    "centric": "centric",
    "o": "open",
    "open": "open",
    "opened": "open",
    "p": "protrusive",
    "protrusive": "protrusive",
    "protruded": "protrusive",
}


_YES_NO = ("yes", "y", "no", "n")
MADE = re.compile(r"appliances\[|items\[\d+\]\.(?:kind|mm)|patient\.under_18|raised")
"""How the fields begin that decide what is made: what a bench asks is nearly always how it is to be made."""


class NoSuchField(FormWrong):
    """No answer can fill this field."""


@dataclass(frozen=True)
class Context:
    """What words are read by."""

    lab: Lab
    practice: Practice | None
    now: datetime


Read = tuple[Any, str]
"""A value, and how it is shown."""


def item_place(index: int, name: str) -> str:
    """The field of an item that came: its `kind` and `mm`, when it was `taken`."""
    return f"items[{index}].{name}"


def lasting(place: str, text: str, context: Context) -> str:
    """Words for a field that mean the same on any day and whoever joins the practice. Raises FormWrong, DateUnclear."""
    value, _ = read_field(place, text, context)
    if isinstance(value, date):
        return shown_moment(value)
    return f"“{value}”" if place == "prescriber" else " ".join(text.split())


def read_field(place: str, text: str, context: Context) -> Read:
    """The value that words give a field, and how it is shown. Raises FormWrong or DateUnclear."""
    reader = _reader(place)
    if reader is None:
        raise NoSuchField("Change the prescription itself for this: it is more than an answer can say.")
    return reader(" ".join(text.split()), context)


def put(case: Case, place: str, text: str, context: Context) -> Case:
    """The case with a field filled. Raises FormWrong or DateUnclear."""
    value, _ = read_field(place, text, context)
    if found := _OF_APPLIANCE.fullmatch(place):
        return _put_appliance(case, int(found[1]), found[2], value)
    if place == REQUIREMENT:
        return with_answer(case, value)
    if place == "patient.label":
        return case.model_copy(update={"patient": case.patient.model_copy(update={"label": value})})
    if place == "patient.under_18":
        return case.model_copy(update={"patient": case.patient.model_copy(update={"under_18": value})})
    if found := _OF_ITEM.fullmatch(place):
        return _put_item(case, int(found[1]), found[2], value)
    return case.model_copy(update={place: value})


def can_be_filled(place: str) -> bool:
    """Whether an answer can fill a field at all."""
    return _reader(place) is not None


def _reader(place: str) -> Callable[[str, Context], Read] | None:
    if found := _OF_APPLIANCE.fullmatch(place):
        return _APPLIANCE.get(found[2] or "")
    if found := _OF_ITEM.fullmatch(place):
        return _ITEM.get(found[2])
    return _CASE.get(place)


def _measure(text: str, context: Context) -> Read:
    return read_measure(text)


def _shade(text: str, context: Context) -> Read:
    """A shade; the guide may stand behind it, and is not kept: the lab's own list says which guides it knows."""
    match = re.fullmatch(r"(?:shade\s+)?(.+?)(?:\s+by the guide\b.*)?", text, re.IGNORECASE)
    value, shown = read_shade(match[1] if match else text, context.lab)
    if context.lab.shades and value not in context.lab.shades:
        raise FormWrong(f"“{value}” is not among the lab’s shades. Type one of them, or “yes” when it is meant so.")
    return value, shown


def _words(text: str, context: Context) -> Read:
    if not re.search(r"[^\W\d_]", text) or says_nothing(text):
        raise FormWrong("Type what it is to be, in words.")
    return text, text


def _arch(text: str, context: Context) -> Read:
    arch = _ARCHES.get(text.casefold().removesuffix(" arch"))
    if arch is None:
        raise FormWrong("Type upper, lower or both.")
    return arch, arch


def _teeth(text: str, context: Context) -> Read:
    notation = (context.practice.notation if context.practice else None) or context.lab.notation
    read = read_teeth(re.sub(r"^(?:teeth|tooth)\s+", "", text, flags=re.IGNORECASE), notation)
    if read.wrong:
        raise FormWrong(read.wrong[0].why)
    if read.unclear:
        meanings = "; ".join(f"“{each.written}” can be {' or '.join(each.meanings)}" for each in read.unclear)
        raise FormWrong(f"{meanings}. Ask which.")
    return tuple(read.teeth), describe_teeth(read.teeth)


def _moment(text: str, context: Context) -> Read:
    said = re.sub(r"^(?:on|moved to)\s+", "", text, flags=re.IGNORECASE)
    moment = read_moment(re.sub(r"\s+at\s+", " ", said), context.now.date())
    return moment, shown_moment(moment)


def _taken(text: str, context: Context) -> Read:
    said = re.sub(r"^taken\s+", "", text, flags=re.IGNORECASE)
    moment = read_moment(re.sub(r"\s+at\s+", " ", said.removeprefix("on ")), context.now.date(), past=True)
    return moment, f"taken {shown_moment(moment)}"


def _prescriber(text: str, context: Context) -> Read:
    name = prescriber_meant(text, context.practice.prescribers if context.practice else ())
    return _words(name, context)


def _bite_kind(text: str, context: Context) -> Read:
    kind = _BITES.get(text.casefold().removeprefix("in "))
    if kind is None:
        raise FormWrong("Type centric, or opened or protruded with its measure, such as opened 3.")
    return kind, kind


def _label(text: str, context: Context) -> Read:
    if says_nothing(text):
        raise FormWrong("Type the label or reference by which the practice knows the patient.")
    return text, text


def _reply(text: str, context: Context) -> Read:
    """What the practice says to a question of the lab's own, word for word; “yes” may be all there is to say."""
    plain = text.casefold().strip(" .!")
    if not any(sign.isalnum() for sign in text) or (says_nothing(text) and plain not in _YES_NO):
        raise FormWrong("This leaves the question open. Type what the practice says, or “- ” and words to keep a note.")
    return text, text


def _under_18(text: str, context: Context) -> Read:
    return read_yes_no(text)


_APPLIANCE: dict[str, Callable[[str, Context], Read]] = {
    "thickness_mm": _measure,
    "bite_opening_mm": _measure,
    "shade": _shade,
    "material": _words,
    "colour": _words,
    "arch": _arch,
    "teeth": _teeth,
}
_CASE: dict[str, Callable[[str, Context], Read]] = {
    "prescriber": _prescriber,
    "patient.label": _label,
    "patient.under_18": _under_18,
    "appointment": _moment,
    REQUIREMENT: _reply,
}
_ITEM: dict[str, Callable[[str, Context], Read]] = {"kind": _bite_kind, "mm": _measure, "taken": _taken}


def _put_appliance(case: Case, index: int, name: str | None, value: Any) -> Case:
    appliances = list(case.appliances)
    if index >= len(appliances):
        raise NoSuchField("This appliance is no longer on the prescription.")
    appliances[index] = _filled(appliances[index], name or "", value)
    return case.model_copy(update={"appliances": tuple(appliances)})


def _filled(appliance: Appliance, name: str, value: Any) -> Appliance:
    if name == "arch":
        return appliance.model_copy(update={"arch": value})
    if name == "teeth":
        return appliance.model_copy(update={"teeth": value, "unclear_teeth": ()})
    return appliance.model_copy(update={"options": appliance.options.model_copy(update={name: value})})


def _put_item(case: Case, index: int, name: str, value: Any) -> Case:
    items = list(case.items)
    if index >= len(items):
        raise NoSuchField("This is no longer among what came.")
    items[index] = items[index].model_copy(update={name: value})
    return case.model_copy(update={"items": tuple(items)})
