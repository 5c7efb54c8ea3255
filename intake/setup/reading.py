"""Reads a lab setup and a directory of practices from TOML, or says what is wrong with them and where."""

import re
import tomllib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.rulebook import CIRCUMSTANCES, SATISFIERS
from intake.domain.written_dates import DAYS
from intake.errors import IntakeError
from intake.setup.contradictions import Odd, contradictions, oddities, overlap, twice, zone_known

if TYPE_CHECKING:  # the window waits for no import that is only needed where something is wrong
    from intake.setup.editing import Place, SetupText

__all__ = ["Problem", "SetupWrong", "contradictions", "read_practices", "read_setup", "setup_of", "setup_text"]
_FORMAT = Lab.model_fields["format"].default
_PRACTICES = TypeAdapter(tuple[Practice, ...])
_MOST_LINES = 40
"""Of so many problems the line is looked up: nobody mends more at once."""


class Problem(NamedTuple):
    """One thing that is wrong with a file: its line where that is known, its place, a sentence without full stop."""

    line: int | None
    place: "Place"
    what: str

    @property
    def said(self) -> str:
        """The sentence, with the line before it."""
        return f"Line {self.line}: {self.what}." if self.line else f"{self.what}."


class SetupWrong(IntakeError):
    """A setup file cannot be used; the message names the file, the lines, the places and the reasons.

    Args:
        message: What is said.
        problems: The same one by one, where there are lines to name.
    """

    def __init__(self, message: str, problems: Sequence[Problem] = ()) -> None:
        super().__init__(message)
        self.problems = tuple(problems)


def read_setup(path: Path) -> Lab:
    """The lab setup in a TOML file. Raises SetupWrong with every reason at once."""
    return setup_of(setup_text(path), path)


def setup_of(text: str, path: Path, parsed: "SetupText | None" = None) -> Lab:
    """The lab setup in the text of a file, which need not be written yet.

    Args:
        text: The text.
        path: The file's name, for what is said.
        parsed: The same text as it is being changed, where it is at hand: it saves time where something is wrong.

    Raises:
        SetupWrong: with every reason at once.
    """
    data = _toml(text, path)
    _refuse_other_formats(data, text, path)
    try:
        lab = Lab.model_validate(data)
    except ValidationError as error:
        raise _wrong(path, _reasons(error, data), parsed or text) from None
    odd = list(oddities(lab))
    if odd:
        raise _wrong(path, odd, parsed or text)
    return lab


def read_practices(path: Path) -> tuple[Practice, ...]:
    """The practices in a TOML file, `[[practices]]` each. Raises SetupWrong."""
    text = setup_text(path)
    data = _toml(text, path)
    try:
        practices = _PRACTICES.validate_python(data.get("practices", ()))
    except ValidationError as error:
        raise _wrong(path, _reasons(error, data.get("practices"), "practices"), text) from None
    doubles = twice(practice.code.casefold() for practice in practices)
    odd = [Odd(("practices", at), f"two practices share the code “{code}”") for code, at in doubles.items()]
    odd += [Odd(("practices", at), said) for at, practice in enumerate(practices) for said in _hours(practice)]
    if odd:
        raise _wrong(path, odd, text)
    return practices


def _hours(practice: Practice) -> Iterator[str]:
    """What of a practice's hours and time zone cannot hold together."""
    for hours in practice.hours:
        if problem := overlap(hours.open):
            yield f"practice “{practice.code}”, hours: {problem}"
    days = [day for hours in practice.hours for day in hours.weekdays]
    for day in twice(days):
        yield f"practice “{practice.code}”, hours: {DAYS[day]} stands twice"
    for day in sorted(set(days) - set(practice.open_weekdays)):
        yield f"practice “{practice.code}”, hours: {DAYS[day]} is not among its open_weekdays"
    if practice.zone is not None and not zone_known(practice.zone):
        yield f"practice “{practice.code}”: there is no time zone “{practice.zone}”; write it as Europe/London"


def setup_text(path: Path) -> str:
    """The text of a setup file. Raises SetupWrong where it cannot be read."""
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
        line = re.search(r"at line ([0-9]+)", str(error))
        problem = Problem(int(line[1]) if line else None, (), f"this is not TOML: {error}")
        raise SetupWrong(f"{path} is not TOML: {error}.", [problem]) from None


def _refuse_other_formats(data: dict[str, Any], text: str, path: Path) -> None:
    """Raises SetupWrong where a file says that it is written for another version of Intake."""
    named = data.get("format", _FORMAT)
    if named != _FORMAT:
        said = f"format: “{named}” is that of another version of Intake; this one reads “{_FORMAT}”"
        raise _wrong(path, [Odd(("format",), said)], text)


def _reasons(error: ValidationError, data: Any, within: str = "") -> Iterator[Odd]:
    """Each place with what is wrong there, and the id of what it lies in, since nobody counts to `types[14]`."""
    for problem in error.errors(include_url=False):
        named = _named(data, problem["loc"])
        place = f"{within}{_place(problem['loc'])}".lstrip(".") + (f" (“{named}”)" if named else "")
        yield Odd((*filter(None, (within,)), *problem["loc"]), f"{place}: {_said(problem)}")


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


def _wrong(path: Path, odd: Iterable[Odd], text: "SetupText | str") -> SetupWrong:
    """What is wrong with a file, each with its line."""
    from tomlkit.exceptions import TOMLKitError

    from intake.setup.editing import SetupText
    from intake.setup.lines import line_of

    try:
        parsed = SetupText(text) if isinstance(text, str) else text
    except TOMLKitError:  # the two readers of TOML differ about something
        parsed = None
    problems = [
        Problem(line_of(parsed, each.place) if parsed is not None and at < _MOST_LINES else None, *each)
        for at, each in enumerate(odd)
    ]
    return SetupWrong(f"{path} cannot be used. " + " ".join(problem.said for problem in problems), problems)
