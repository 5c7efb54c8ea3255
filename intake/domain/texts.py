"""Every text of the lab setup that is printed, sent or shown as a caution: where it stands, and what can be in it."""

from collections.abc import Iterator
from dataclasses import dataclass
from string import Formatter
from typing import Literal, TypeAlias

from intake.domain.case import Frozen
from intake.domain.lab import LETTER_PLACEHOLDERS, CautionTexts, Lab
from intake.domain.printed.words import PrintedWords
from intake.domain.rulebook import PLACEHOLDERS, Requirement
from intake.domain.wording import requirement_name

TextPlace: TypeAlias = tuple[str | int, ...]
"""Where a text stands, in the setup and in its file alike: `("letter", "subject")`, `("rules", 3, "question")`."""
Part = Literal["letter", "answers", "mail", "cautions", "parcels", "rules", "names", "words"]
NAME_OF_RULE = "requirement"
"""Leads the place of what a requirement is called, which is its id and no text of the setup: it is only translated."""
_MAIL = frozenset({"mail", "mail_subject", "forms_mail", "forms_subject"})
_PARCELS = ("not_disinfected", "sharps", "returned")
_HERE_ALONE = frozenset({("words", "labels", "bench"), ("words", "labels", "box")})
"""What is printed for the lab itself, beside tickets and cautions."""


@dataclass(frozen=True)
class Text:
    """A text of the setup.

    Attributes:
        place: Where it stands.
        part: What it belongs to.
        words: The text; several where it is a list, a line each.
        known: What can stand in braces.
        goes_out: Whether practices read it, so that it can be translated.
    """

    place: TextPlace
    part: Part
    words: str | tuple[str, ...]
    known: frozenset[str] = frozenset()
    goes_out: bool = True

    @property
    def lines(self) -> tuple[str, ...]:
        """The text line by line: one line where it is no list."""
        return (self.words,) if isinstance(self.words, str) else self.words


def texts_of(lab: Lab) -> Iterator[Text]:
    """Every text, in the order in which somebody would look for it."""
    for name, known in LETTER_PLACEHOLDERS.items():
        yield Text(("letter", name), "mail" if name in _MAIL else "letter", getattr(lab.letter, name), known)
    for requirement, answers in lab.letter.answers.items():
        yield Text(("letter", "answers", requirement), "answers", answers)
    for name in CautionTexts.model_fields:
        yield Text(("cautions", name), "cautions", getattr(lab.cautions, name), goes_out=False)
    for name in _PARCELS:
        yield Text(("parcels", name), "parcels", getattr(lab.parcels, name), goes_out=name == "returned")
    for at, rule in enumerate(lab.rules):
        yield Text(("rules", at, "question"), "rules", rule.question, PLACEHOLDERS, goes_out=_asks(rule))
        yield Text(("rules", at, "because"), "rules", rule.because, PLACEHOLDERS, goes_out=_asks(rule))
    asked_for = dict.fromkeys(rule.id for rule in lab.rules if _asks(rule))
    for requirement in asked_for:
        yield Text((NAME_OF_RULE, requirement), "names", requirement_name(requirement))
    for at, kind in enumerate(lab.types):
        yield Text(("types", at, "name"), "names", kind.name)
    for at, material in enumerate(lab.materials):
        yield Text(("materials", at, "name"), "names", material.name)
    yield from _fixed_words(lab)


def _asks(rule: Requirement) -> bool:
    return rule.level != "warns" or any(each.level in ("stops", "asks") for each in rule.exceptions)


def _fixed_words(lab: Lab) -> Iterator[Text]:
    for paper in PrintedWords.model_fields:
        words: Frozen = getattr(lab.words, paper)
        for name, field in type(words).model_fields.items():
            text = getattr(words, name)
            if isinstance(text, bool):
                continue
            place = ("words", paper, name)
            known = frozenset() if isinstance(text, tuple) else known_in(str(field.default))
            known = _OF_DATES if paper == "dates" and name in ("day", "short") else known
            yield Text(place, "words", text, known, goes_out=paper != "ticket" and place not in _HERE_ALONE)


_OF_DATES = frozenset({"weekday", "day", "month", "month_number", "year"})


def known_in(text: str) -> frozenset[str]:
    """The names that stand in braces in a text."""
    return frozenset(name for _, name, _, _ in Formatter().parse(text) if name is not None)


def with_texts(lab: Lab, changes: dict[TextPlace, str | tuple[str, ...]]) -> Lab:
    """The setup with other texts at some places; nothing is checked."""
    changed = _with(lab, changes)
    assert isinstance(changed, Lab), "a text stands within the setup"
    return changed


def _with(value: object, changes: dict[TextPlace, str | tuple[str, ...]]) -> object:
    if () in changes:
        return changes[()]
    within: dict[str | int, dict[TextPlace, str | tuple[str, ...]]] = {}
    for (part, *rest), words in changes.items():
        within.setdefault(part, {})[tuple(rest)] = words
    match value:
        case Frozen():
            parts = {name: getattr(value, name) for name in type(value).model_fields}
            parts |= {str(name): _with(parts[str(name)], inner) for name, inner in within.items()}
            return type(value).model_construct(value.model_fields_set, **parts)
        case dict():
            return value | {name: _with(value[name], inner) for name, inner in within.items()}
        case tuple():
            return tuple(_with(each, within[at]) if at in within else each for at, each in enumerate(value))
    raise AssertionError("a text stands in a model, a table or a list")
