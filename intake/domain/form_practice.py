"""Reads who ordered: a practice of the directory, or a new one that is offered for it, and who signs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from intake.domain.case import NewPractice
from intake.domain.form_fields import FormWrong, Said, unquoted
from intake.domain.practice import Practice
from intake.domain.practice_search import Fitting, fit_practices, folded, same_practice, suggest_code
from intake.domain.reading import find_practice

DETAILS = ("practice.address", "practice.postcode", "practice.telephone", "practice.email")
CODE = "practice.code"
YES = "+"
"""In the place of a code: the one that is suggested. Behind a prescriber's name: to be remembered at the practice."""
_FITTING = 4
"""So many practices are named when several fit."""
_LONGEST = 12
"""So many letters has a code at most: it is typed, and stands in narrow columns."""


@dataclass(frozen=True)
class PracticeRead:
    """Who ordered, as far as the form says.

    Attributes:
        practice: The directory's entry.
        new: The entry that the directory is to get with the case.
        named: The practice as the case names it.
        prescriber: Who signs.
        remembers: Whether the directory's entry is to remember who signs.
        said: By place, what was understood or what is wrong.
        places: The fields to show.
        unsaid: Those of them that are empty and matter.
        fitting: The practices that fit what is typed, the likeliest first.
    """

    practice: Practice | None = None
    new: Practice | None = None
    named: str | NewPractice | None = None
    prescriber: str | None = None
    remembers: bool = False
    said: Mapping[str, Said] = field(default_factory=dict)
    places: tuple[str, ...] = ("practice", "prescriber")
    unsaid: frozenset[str] = frozenset()
    fitting: tuple[Practice, ...] = ()


def read_practice(typed: Mapping[str, str], practices: Sequence[Practice] | None) -> PracticeRead:
    """Who ordered. `practices` is the directory; None while it is not known."""
    text = _text(typed, "practice")
    if not text or practices is None:
        return PracticeRead(named=text or None, prescriber=_signs(typed, None)[0])
    name = unquoted(text)
    details = _details(typed, name or text)
    known = find_practice(text, practices) or _entered_before(typed, details, practices)
    fitting = Fitting((known,), known) if known else fit_practices(text, practices if name is None else ())
    if fitting.the is not None:
        return _known(typed, fitting.the, fitting.practices)
    if fitting.practices:
        wrong = Said(_several(fitting.practices), wrong=True)
        return PracticeRead(prescriber=_signs(typed, None)[0], said={"practice": wrong}, fitting=fitting.practices)
    return _new(typed, details, practices)


def prescriber_meant(text: str, known: Sequence[str]) -> str:
    """The prescriber on file of whose name this is the beginning; else the text, and in quotation marks always."""
    as_written = unquoted(text)
    if as_written is not None:
        return as_written
    fitting = [name for name in known if name == text] or [name for name in known if _is_meant(text, name)]
    return fitting[0] if len(fitting) == 1 else text


def read_code(text: str) -> str:
    """A code for the directory, in capitals. Raises FormWrong."""
    code = text.strip().upper()
    if not 2 <= len(code) <= _LONGEST or not all(sign.isalpha() or sign.isdecimal() for sign in code):
        raise FormWrong(f"A code is 2 to {_LONGEST} letters and digits, such as FERNHA1.")
    return code


def _text(typed: Mapping[str, str], place: str) -> str:
    return typed.get(place, "").strip()


def _known(typed: Mapping[str, str], practice: Practice, fitting: tuple[Practice, ...]) -> PracticeRead:
    prescriber, remembers, told = _signs(typed, practice)
    said = {"practice": Said(", ".join((practice.name, *practice.address[-1:]))), **told}
    return PracticeRead(practice, None, practice.code, prescriber, remembers, said, fitting=fitting)


def _new(typed: Mapping[str, str], details: NewPractice, practices: Sequence[Practice]) -> PracticeRead:
    """A practice that the directory does not have; with a code it gets it, when the case is saved."""
    prescriber = _signs(typed, None)[0]
    code, told = _code(_text(typed, CODE), details.name, practices)
    signs = (prescriber,) if prescriber else ()
    new = Practice(code=code, prescribers=signs, **dict(details)) if code else None
    return PracticeRead(
        new=new,
        named=code or _as_case_names(details),
        prescriber=prescriber,
        said={"practice": Said(_not_there(details.name, practices)), CODE: told},
        places=("practice", *DETAILS, CODE, "prescriber"),
        unsaid=_unsaid(typed),
    )


def _details(typed: Mapping[str, str], name: str) -> NewPractice:
    """What stands on the paper of a practice."""
    address = tuple(part.strip() for part in _text(typed, DETAILS[0]).split(",") if part.strip())
    rest = {place.removeprefix("practice."): _text(typed, place) for place in DETAILS[1:]}
    return NewPractice(name=name, address=address, **rest)


def _as_case_names(details: NewPractice) -> str | NewPractice:
    """One word alone is a code that nobody knows here."""
    return details if " " in details.name or details != NewPractice(name=details.name) else details.name


def _entered_before(typed: Mapping[str, str], details: NewPractice, practices: Sequence[Practice]) -> Practice | None:
    """The practice that this form has put in the directory already, before it was taken back or a crash."""
    known = find_practice(_text(typed, CODE), practices)
    return known if known and same_practice(known, details) else None


def _code(text: str, name: str, practices: Sequence[Practice]) -> tuple[str | None, Said]:
    suggestion = suggest_code(name, practices)
    if not text:
        return None, Said(f"{YES} adds it as {suggestion}")
    try:
        code = suggestion if text == YES else read_code(text)
    except FormWrong as wrong:
        return None, Said(str(wrong), wrong=True)
    taken = find_practice(code, practices)
    if taken is not None:
        return None, Said(f"{code} is {taken.name}’s. {suggestion} is free.", wrong=True)
    return code, Said(f"will be added as {code}")


def _not_there(name: str, practices: Sequence[Practice]) -> str:
    alike = [practice.code for practice in practices if folded(practice.name) == folded(name)]
    if alike:
        return f"There is one of this name: type {' or '.join(alike)} if it is meant, else what the paper says."
    return "Not in the directory: enter what the paper says of it."


def _several(fitting: Sequence[Practice]) -> str:
    names = ", ".join(f"{p.name} ({p.code})" for p in fitting[:_FITTING])
    more = " and more" if len(fitting) > _FITTING else ""
    return f"{len(fitting)} practices fit: {names}{more}. Type on, or choose with ↓."


def _unsaid(typed: Mapping[str, str]) -> frozenset[str]:
    """The ways to reach a practice that nobody knows, until one is there; and the offer to remember it."""
    ways = () if any(_text(typed, place) for place in DETAILS) else ("practice.address", "practice.telephone")
    return frozenset(place for place in (*ways, CODE) if not _text(typed, place))


def _signs(typed: Mapping[str, str], practice: Practice | None) -> tuple[str | None, bool, dict[str, Said]]:
    """Who signs, whether the practice is to remember it, and what is said of it.

    A name is never remembered unasked: handwriting is misread, and a misread name on file would make the beginning of
    the right one mean two people from then on.
    """
    written = _text(typed, "prescriber")
    text = written.removesuffix(YES).strip()
    if not text or text == "-":
        return None, False, {}
    known = practice.prescribers if practice else ()
    meant = prescriber_meant(text, known)
    if meant in known:
        return meant, False, {"prescriber": Said(meant if meant != written else "")}
    if practice is None:
        return meant, False, {}
    if text != written:
        return meant, True, {"prescriber": Said("New there; will be remembered")}
    return meant, False, {"prescriber": Said(f"New there; {YES} behind adds it")}


def _is_meant(text: str, name: str) -> bool:
    parts = folded(name).split()
    return all(any(part.startswith(word) for part in parts) for word in folded(text).split())
