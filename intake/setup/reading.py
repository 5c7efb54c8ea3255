"""Reads a lab setup and a directory of practices from TOML, or says what is wrong with them and where."""

import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from string import Formatter
from typing import Any, TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from intake.domain.answer_fields import Context, read_field
from intake.domain.form_appliances import option_place
from intake.domain.form_fields import FormWrong
from intake.domain.lab import LETTER_PLACEHOLDERS, Lab
from intake.domain.practice import Practice, read_span
from intake.domain.rulebook import CIRCUMSTANCES, PLACEHOLDERS, SATISFIERS
from intake.domain.written_dates import DAYS
from intake.errors import IntakeError

T = TypeVar("T")
_PRACTICES = TypeAdapter(tuple[Practice, ...])


class SetupWrong(IntakeError):
    """A setup file cannot be used; the message names the file, the places and the reasons."""


def read_setup(path: Path) -> Lab:
    """The lab setup in a TOML file. Raises SetupWrong with every reason at once."""
    return setup_of(_text(path), path)


def setup_of(text: str, path: Path) -> Lab:
    """The lab setup in the text of a file, which need not be written yet. Raises SetupWrong as `read_setup` does."""
    data = _toml(text, path)
    try:
        lab = Lab.model_validate(data)
    except ValidationError as error:
        raise SetupWrong(_all(path, _reasons(error, data))) from None
    problems = list(contradictions(lab))
    if problems:
        raise SetupWrong(_all(path, problems))
    return lab


def read_practices(path: Path) -> tuple[Practice, ...]:
    """The practices in a TOML file, `[[practices]]` each. Raises SetupWrong."""
    data = _toml(_text(path), path)
    try:
        practices = _PRACTICES.validate_python(data.get("practices", ()))
    except ValidationError as error:
        raise SetupWrong(_all(path, _reasons(error, data.get("practices"), "practices"))) from None
    twice = _twice(practice.code.casefold() for practice in practices)
    problems = [f"two practices share the code “{code}”" for code in twice]
    problems += [problem for practice in practices for problem in _hours(practice)]
    if problems:
        raise SetupWrong(_all(path, problems))
    return practices


def _hours(practice: Practice) -> Iterator[str]:
    """What of a practice's hours and time zone cannot hold together."""
    for hours in practice.hours:
        if problem := _overlap(hours.open):
            yield f"practice “{practice.code}”, hours: {problem}"
    days = [day for hours in practice.hours for day in hours.weekdays]
    for day in _twice(days):
        yield f"practice “{practice.code}”, hours: {DAYS[day]} stands twice"
    for day in sorted(set(days) - set(practice.open_weekdays)):
        yield f"practice “{practice.code}”, hours: {DAYS[day]} is not among its open_weekdays"
    if practice.zone is not None and not _zone_known(practice.zone):
        yield f"practice “{practice.code}”: there is no time zone “{practice.zone}”; write it as Europe/London"


def _overlap(stretches: Iterable[str]) -> str:
    """Why stretches of a day cannot stand together; empty where they can."""
    spans = sorted(read_span(text) for text in stretches)
    for (_, closes), (opens, _) in pairwise(spans):
        if opens < closes:
            return f"two stretches overlap at {opens:%H:%M}"
    return ""


def _zone_known(zone: str) -> bool:
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def contradictions(lab: Lab) -> Iterator[str]:
    """What a setup says that cannot hold together, a sentence each."""
    yield from _doubles(lab)
    yield from _strangers(lab)
    yield from _usual(lab)
    yield from _benches(lab)
    yield from _calendar(lab)
    yield from _ringing(lab)
    yield from _parcels(lab)
    yield from _texts(lab)


def _doubles(lab: Lab) -> Iterator[str]:
    for what, ids in {
        "categories": [category.id for category in lab.categories],
        "appliance types": [kind.id for kind in lab.types],
        "impression materials": [material.id for material in lab.materials],
        "disinfectants": [agent.name.casefold() for agent in lab.parcels.agents],
        "boxes": [category.box.colour.casefold() for category in lab.categories],
    }.items():
        for twice in _twice(ids):
            yield f"{what}: “{twice}” stands twice"


def _strangers(lab: Lab) -> Iterator[str]:
    """What names something that is not there, or has nothing where something has to be."""
    for kind in lab.types:
        if kind.category not in lab.category_by_id:
            yield f"appliance type “{kind.id}”: there is no category “{kind.category}”"
    for category in lab.categories:
        if not category.route:
            yield f"category “{category.id}”: its route has no bench"
    for requirement in lab.rules:
        if not isinstance(requirement.types, str):
            for unknown in sorted(set(requirement.types) - set(lab.type_by_id)):
                yield f"rule “{requirement.id}”: there is no appliance type “{unknown}”"
    for unknown in sorted(set(lab.letter.answers) - {requirement.id for requirement in lab.rules}):
        yield f"letter.answers: the rule book has no requirement “{unknown}”"


def _usual(lab: Lab) -> Iterator[str]:
    """What stands as the lab's usual and could not be typed as an answer."""
    context = Context(lab, None, datetime.min)
    for kind in lab.types:
        for name, text in kind.usual.items():
            if name not in kind.asks:
                yield f"appliance type “{kind.id}”: its usual has {name}, which it does not ask for"
                continue
            try:
                read_field(option_place("appliances[0]", name), text, context)
            except FormWrong as problem:
                yield f"appliance type “{kind.id}”, usual {name}: {str(problem).rstrip('.')}"


def _benches(lab: Lab) -> Iterator[str]:
    """What of benches and boxes cannot be."""
    of_routes = dict.fromkeys(step.bench for category in lab.categories for step in category.route)
    for name in dict.fromkeys(bench.name for bench in lab.benches):
        if name not in of_routes:
            yield f"bench “{name}”: no route goes there; the routes name {', '.join(of_routes)}"
    for name in _twice(bench.name for bench in lab.benches):
        yield f"benches: “{name}” stands twice"
    folded = Counter(name.casefold() for name in of_routes)
    for name in of_routes:
        if folded[name.casefold()] > 1:
            yield f"routes: “{name}” is written with other capitals too; write every bench in one way"
    if lab.boxes is not None and lab.boxes.first > lab.boxes.last:
        yield f"boxes: the first, {lab.boxes.first}, is more than the last, {lab.boxes.last}"


def _calendar(lab: Lab) -> Iterator[str]:
    for name, weekdays in {
        "calendar.weekdays": lab.calendar.weekdays,
        "deadlines.delivery_weekdays": lab.deadlines.delivery_weekdays,
    }.items():
        if not weekdays:
            yield f"{name}: at least one weekday is needed, Monday is 0"
    for closure in lab.calendar.closures:
        if closure.last < closure.first:
            yield f"closure “{closure.name}”: its last day, {closure.last}, is before its first, {closure.first}"
    for material in lab.materials:
        if material.limit_hours < material.usual_hours:
            yield f"impression material “{material.id}”: its limit is shorter than its usual time"
    if not _zone_known(lab.calendar.zone):
        yield f"calendar.zone: there is no time zone “{lab.calendar.zone}”; write it as Europe/London"


def _ringing(lab: Lab) -> Iterator[str]:
    """What of ringing and mail cannot be."""
    for name, stretches in {
        "ringing.lab_hours": lab.ringing.lab_hours,
        "ringing.usual_hours": lab.ringing.usual_hours,
    }.items():
        if problem := _overlap(stretches):
            yield f"{name}: {problem}"
        if not stretches:
            yield f"{name}: at least one stretch of the day is needed, such as 09:00-13:00"
    if lab.mail.server and "@" not in (lab.mail.sender or lab.email):
        yield "mail.server: mails need an address that they are sent from; give mail.sender, or the laboratory’s email"


def _parcels(lab: Lab) -> Iterator[str]:
    """What of opening parcels cannot be."""
    if not lab.parcels.sharps:
        yield "parcels.sharps: at least one step is needed for what is sharp or dangerous"


def _texts(lab: Lab) -> Iterator[str]:
    for requirement in lab.rules:
        for text in (requirement.question, requirement.because):
            yield from (f"rule “{requirement.id}”: {problem}" for problem in _odd_placeholders(text, PLACEHOLDERS))
    for name, known in LETTER_PLACEHOLDERS.items():
        text = getattr(lab.letter, name)
        yield from (f"letter.{name}: {problem}" for problem in _odd_placeholders(text, known))


def _odd_placeholders(text: str, known: frozenset[str]) -> Iterator[str]:
    try:
        braces = [brace for brace in Formatter().parse(text) if brace[1] is not None]
    except ValueError:
        yield f"“{text}” has a brace too many or too few"
        return
    for _, name, more, conversion in braces:
        if name not in known:
            yield f"“{{{name}}}” is not known here; known are {', '.join(sorted(known))}"
        elif more or conversion:
            yield f"between the braces of “{{{name}}}” stands the name alone"


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")  # Windows' own editor may put a mark in front
    except FileNotFoundError:
        raise SetupWrong(f"There is no file {path}.") from None
    except UnicodeDecodeError:
        raise SetupWrong(f"{path} is not a text file in UTF-8.") from None
    except OSError as error:
        raise SetupWrong(f"{path} cannot be read: {error.strerror or error}.") from None


def _toml(text: str, path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SetupWrong(f"{path} is not TOML: {error}.") from None


def _twice(names: Iterable[T]) -> list[T]:
    return [name for name, count in Counter(names).items() if count > 1]


def _reasons(error: ValidationError, data: Any, within: str = "") -> Iterator[str]:
    """Each place with what is wrong there, and the id of what it lies in, since nobody counts to `types[14]`."""
    for problem in error.errors(include_url=False):
        named = _named(data, problem["loc"])
        place = f"{within}{_place(problem['loc'])}".lstrip(".") + (f" (“{named}”)" if named else "")
        yield f"{place}: {_said(problem)}"


_PATTERNS = "a colour is # and six digits or letters a to f; an id is small letters and digits parted by hyphens"


def _said(problem: ErrorDetails) -> str:
    if problem["type"] in ("union_tag_not_found", "union_tag_invalid"):
        of_when = "when" in problem["loc"]
        what, known = ("circumstance", CIRCUMSTANCES) if of_when else ("way to meet a requirement", SATISFIERS)
        return f"this is no {what} that is known; known are {', '.join(known)}"
    said = {
        "missing": "this is missing",
        "extra_forbidden": "this is no part of the file",
        "string_too_short": "this is empty",
        "string_pattern_mismatch": f"“{problem.get('input')}” is not written as it has to be: {_PATTERNS}",
    }
    text = said.get(problem["type"]) or problem["msg"].removeprefix("Value error, ")
    return f"{text[:1].lower()}{text[1:]}"


def _named(data: Any, location: tuple[int | str, ...]) -> str:
    """The id, code or name of the innermost entry of a list that a place lies in."""
    named = ""
    for part in location:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            break
        if isinstance(part, int) and isinstance(data, dict):
            named = str(data.get("id") or data.get("code") or data.get("name") or named)
    return named


def _place(location: tuple[int | str, ...]) -> str:
    return "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in location)


def _all(path: Path, reasons: Iterable[str]) -> str:
    return f"{path} cannot be used. " + " ".join(f"{reason}." for reason in reasons)
