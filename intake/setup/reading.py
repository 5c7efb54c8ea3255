"""Reads a lab setup and a directory of practices from TOML, or says what is wrong with them and where."""

import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from string import Formatter
from typing import Any

from pydantic import TypeAdapter, ValidationError

from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.rulebook import PLACEHOLDERS
from intake.errors import IntakeError

_PRACTICES = TypeAdapter(tuple[Practice, ...])


class SetupWrong(IntakeError):
    """A setup file cannot be used; the message names the file, the places and the reasons."""


def read_setup(path: Path) -> Lab:
    """The lab setup in a TOML file. Raises SetupWrong with every reason at once."""
    data = _toml(path)
    try:
        lab = Lab.model_validate(data)
    except ValidationError as error:
        raise SetupWrong(_all(path, (f"{_place(e['loc'])}: {e['msg']}" for e in error.errors()))) from None
    problems = list(contradictions(lab))
    if problems:
        raise SetupWrong(_all(path, problems))
    return lab


def read_practices(path: Path) -> tuple[Practice, ...]:
    """The practices in a TOML file, `[[practices]]` each. Raises SetupWrong."""
    data = _toml(path)
    try:
        practices = _PRACTICES.validate_python(data.get("practices", ()))
    except ValidationError as error:
        raise SetupWrong(_all(path, (f"practices{_place(e['loc'])}: {e['msg']}" for e in error.errors()))) from None
    twice = _twice(practice.code.casefold() for practice in practices)
    if twice:
        raise SetupWrong(_all(path, [f"two practices share the code “{code}”" for code in twice]))
    return practices


def contradictions(lab: Lab) -> Iterator[str]:
    """What a setup says that cannot hold together, a sentence each."""
    for what, ids in {
        "categories": [category.id for category in lab.categories],
        "appliance types": [kind.id for kind in lab.types],
        "impression materials": [material.id for material in lab.materials],
        "boxes": [category.box.colour.casefold() for category in lab.categories],
    }.items():
        for twice in _twice(ids):
            yield f"{what}: “{twice}” stands twice"
    for kind in lab.types:
        if kind.category not in lab.category_by_id:
            yield f"appliance type “{kind.id}”: there is no category “{kind.category}”"
    for category in lab.categories:
        if not category.route:
            yield f"category “{category.id}”: its route has no bench"
    for requirement in lab.rules:
        if not isinstance(requirement.types, str):
            for unknown in set(requirement.types) - set(lab.type_by_id):
                yield f"rule “{requirement.id}”: there is no appliance type “{unknown}”"
        for text in (requirement.question, requirement.because):
            yield from (f"rule “{requirement.id}”: {problem}" for problem in _odd_placeholders(text, PLACEHOLDERS))
    for name in ("subject", "subject_of_one", "opening", "otherwise", "late", "slip", "caution", "closing"):
        text = getattr(lab.letter, name)
        yield from (f"letter.{name}: {problem}" for problem in _odd_placeholders(text, LETTER_PLACEHOLDERS))


LETTER_PLACEHOLDERS = frozenset({"count", "practice", "reply_by", "appointment", "earliest", "lab"})


def _odd_placeholders(text: str, known: frozenset[str]) -> Iterator[str]:
    try:
        names = [name for _, name, _, _ in Formatter().parse(text) if name is not None]
    except ValueError:
        yield f"“{text}” has a brace too many or too few"
        return
    for name in names:
        if name not in known:
            yield f"“{{{name}}}” is not known here; known are {', '.join(sorted(known))}"


def _toml(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise SetupWrong(f"There is no file {path}.") from None
    except UnicodeDecodeError:
        raise SetupWrong(f"{path} is not a text file in UTF-8.") from None
    except OSError as error:
        raise SetupWrong(f"{path} cannot be read: {error.strerror}.") from None
    except tomllib.TOMLDecodeError as error:
        raise SetupWrong(f"{path} is not TOML: {error}.") from None


def _twice(names: Any) -> list[str]:
    return [name for name, count in Counter(names).items() if count > 1]


def _place(location: tuple[int | str, ...]) -> str:
    return "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in location).lstrip(".")


def _all(path: Path, reasons: Any) -> str:
    return f"{path} cannot be used. " + " ".join(f"{reason}." for reason in reasons)
