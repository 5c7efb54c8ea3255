"""Reads a prescription file; says everything that is wrong with it at once."""

import difflib
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from intake.domain.case import Appliance, Case, Frozen, Item, NewPractice, Options, Patient, Waiver
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.errors import IntakeError

_LONGEST = 60
"""So many characters of what a file holds are quoted in a sentence."""


@dataclass(frozen=True)
class CaseError:
    """One thing that makes a file no case: its place and a sentence."""

    where: str
    what: str


class CaseUnreadable(IntakeError):
    """The file is no case at all."""

    def __init__(self, errors: tuple[CaseError, ...]) -> None:
        """Keeps every error, each with its place."""
        super().__init__(" ".join(f"{e.where}: {e.what}" if e.where else e.what for e in errors))
        self.errors = errors


@dataclass(frozen=True)
class ReadingContext:
    """What a prescription may say in this lab: handed to the model while it reads."""

    types: frozenset[str]
    notation: str


def read_case(text: str | bytes, lab: Lab, practices: Iterable[Practice] = ()) -> Case:
    """The case that a prescription file holds.

    Teeth become ISO 3950; numbers are read in the practice's notation where it has one, else in the lab's.
    Raises CaseUnreadable with every error at once.
    """
    twice: dict[str, None] = {}
    try:
        data = json.loads(text, object_pairs_hook=partial(_object, twice=twice))
    except UnicodeDecodeError:
        raise CaseUnreadable((CaseError("", "This is not a text file in UTF-8."),)) from None
    except json.JSONDecodeError as error:
        what = f"This is not JSON: {error.msg.lower()} in line {error.lineno}, column {error.colno}."
        raise CaseUnreadable((CaseError("", what),)) from None
    except ValueError:  # Python refuses numbers of thousands of digits
        raise CaseUnreadable((CaseError("", "This is not a prescription file: a number in it is too long."),)) from None
    except RecursionError:
        raise CaseUnreadable((CaseError("", "This is not a prescription file: it is nested too deeply."),)) from None
    said_twice = [CaseError("", _sentence(f"“{key}” stands twice in one place; which is meant?")) for key in twice]
    return _case_of(data, lab, practices, said_twice)


def case_of(data: Any, lab: Lab, practices: Iterable[Practice] = ()) -> Case:
    """The case in a parsed prescription file. Raises CaseUnreadable as `read_case` does."""
    return _case_of(data, lab, practices, [])


def _object(pairs: list[tuple[str, Any]], twice: dict[str, None]) -> dict[str, Any]:
    """A JSON object; of a key that stands twice, which is kept in `twice`, JSON readers silently take the last."""
    read: dict[str, Any] = {}
    for key, value in pairs:
        if key in read:
            twice[key] = None
        read[key] = value
    return read


def _case_of(data: Any, lab: Lab, practices: Iterable[Practice], found: list[CaseError]) -> Case:
    if not isinstance(data, dict):
        raise CaseUnreadable((CaseError("", "A prescription file is a JSON object, {…}."),))
    errors = found + _missing(data)
    context = ReadingContext(frozenset(lab.type_by_id), _notation(data, lab, practices))
    try:
        case = Case.model_validate(data, context=context)
    except ValidationError as error:
        errors += [CaseError(_place(e["loc"]), _say(e)) for e in error.errors(include_url=False)]
    else:
        errors += _idle_waivers(case, lab)
    if errors:
        raise CaseUnreadable(tuple(dict.fromkeys(errors)))
    return case


def find_practice(code: object, practices: Iterable[Practice]) -> Practice | None:
    """The directory’s practice with a code, in any case of letters; where none has it, the one that had it before."""
    if not isinstance(code, str):
        return None
    folded, had_it = code.strip().casefold(), None
    for practice in practices:
        if practice.code.casefold() == folded:
            return practice
        if practice.former and had_it is None and any(former.casefold() == folded for former in practice.former):
            had_it = practice
    return had_it


def _notation(data: dict[str, Any], lab: Lab, practices: Iterable[Practice]) -> str:
    practice = find_practice(data.get("practice"), practices)
    return (practice.notation if practice else None) or lab.notation


def _missing(data: dict[str, Any]) -> list[CaseError]:
    errors = []
    if "format" not in data:
        errors.append(CaseError("format", "Say which form this is: “intake-case/1”."))
    if data.get("appliances") in (None, [], ()):
        errors.append(CaseError("appliances", "Name at least one appliance."))
    return errors


def _idle_waivers(case: Case, lab: Lab) -> list[CaseError]:
    """Waivers that would waive nothing: of an unknown requirement, or for an appliance that is not there."""
    errors = []
    known = sorted({requirement.id for requirement in lab.rules})
    for index, waiver in enumerate(case.waived):
        if waiver.requirement not in known:
            what = (
                f"The rule book has no requirement “{_short(waiver.requirement)}”; {_hint(waiver.requirement, known)}"
            )
            errors.append(CaseError(f"waived[{index}].requirement", what))
        if waiver.appliance is not None and not 0 <= waiver.appliance < len(case.appliances):
            what = f"There is no appliance {waiver.appliance}; the first one is 0, the last {len(case.appliances) - 1}."
            errors.append(CaseError(f"waived[{index}].appliance", what))
        if not waiver.by.strip():
            errors.append(CaseError(f"waived[{index}].by", "Say whose word it is: only the prescriber can waive it."))
    return errors


def _place(location: tuple[int | str, ...]) -> str:
    place = ""
    for part in location:
        if isinstance(part, int):
            place += f"[{part}]"
        elif part not in ("code", "details"):
            place += f".{_short(part)}" if place else _short(part)
    return place


_MODELS: dict[str, type[Frozen]] = {
    "": Case,
    "patient": Patient,
    "appliances": Appliance,
    "options": Options,
    "items": Item,
    "practice": NewPractice,
    "waived": Waiver,
}


def _say(error: ErrorDetails) -> str:
    kind, given, context = error["type"], error.get("input"), error.get("ctx", {})
    if kind == "value_error":
        return _sentence(str(context["error"]))
    if kind == "extra_forbidden":
        return _unknown_key(error["loc"])
    if kind == "missing":
        return "This is missing."
    if kind == "literal_error":
        return _not_one_of(given, str(context["expected"]))
    sentences = {
        "greater_than": f"{_shown(given)} has to be more than {context.get('gt', 0):g}." if "gt" in context else "",
        "finite_number": f"{_shown(given)} is no measure.",
        "float_parsing": f"{_shown(given)} is no number.",
        "float_type": f"{_shown(given)} is no number.",
        "bool_type": f"Write true or false, not {_shown(given)}.",
        "string_type": f"{_shown(given)} has to be text.",
        "tuple_type": "This has to be a list, […].",
        "model_type": "This has to be an object, {…}.",
        "model_attributes_type": "This has to be an object, {…}.",
    }
    return sentences.get(kind) or _sentence(error["msg"])


def _unknown_key(location: tuple[int | str, ...]) -> str:
    key = str(location[-1])
    parents = [part for part in location[:-1] if isinstance(part, str) and part in _MODELS]
    known = sorted(_MODELS[parents[-1] if parents else ""].model_fields)
    return f"“{_short(key)}” is no part of a prescription file; {_hint(key, known)}"


def _hint(written: str, known: list[str]) -> str:
    near = difflib.get_close_matches(written, known, n=1)
    return f"did you mean “{near[0]}”?" if near else f"known here: {', '.join(known)}."


def _not_one_of(given: object, expected: str) -> str:
    """Pydantic lists what it expects as `'upper', 'lower' or 'both'`."""
    choices = re.sub(r"'([^']*)'", r"“\1”", expected)
    if " or " not in choices:
        return f"This has to be {choices}, not {_shown(given)}."
    return f"{_shown(given)} is not one of {choices}."


def _shown(value: object) -> str:
    if isinstance(value, str):
        return f"“{_short(value)}”"
    return _short(json.dumps(value, ensure_ascii=False, default=str))


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"


def _sentence(text: str) -> str:
    """A message as a sentence; what it quotes is shortened, since a file can hold anything."""
    text = re.sub(r"“([^”]+)”", lambda quoted: f"“{_short(quoted[1])}”", text)
    return f"{text[0].upper()}{text[1:]}{'' if text.endswith(('.', '?')) else '.'}"
