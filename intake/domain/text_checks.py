"""What keeps a text of the setup, or its translation, from being printed."""

from collections.abc import Iterable

from intake.domain.lab import Lab
from intake.domain.languages import odd_phrase
from intake.domain.placeholders import odd_placeholders
from intake.domain.texts import Text
from intake.domain.wording import capital

Words = str | tuple[str, ...]
_OF_EACH = {("words", "dates", "weekdays"): (7, "weekday, Monday first"), ("words", "dates", "months"): (12, "month")}
_MAY_BE_EMPTY = ("letter", "mail", "answers")


def own_problem(text: Text, words: Words) -> str:
    """Why a text cannot be so, in a sentence; empty where it can."""
    lines = (words,) if isinstance(words, str) else words
    if text.place in _OF_EACH:
        many, each = _OF_EACH[text.place]
        return "" if len(lines) == many and all(lines) else f"It needs {many} lines, one for each {each}."
    if not any(lines):
        return "" if text.part in _MAY_BE_EMPTY else "This cannot be empty: it is printed, or read out, as it is."
    if not all(lines) and not isinstance(words, str):
        return "A line of the list is empty."
    if text.known or text.part == "words":
        return _sentence(odd_placeholders(str(words), text.known))
    return ""


def said_problem(lab: Lab, text: Text, words: Words) -> str:
    """Why a text cannot be translated so, in a sentence; empty where it can. What is left empty stays the lab's own."""
    lines = (words,) if isinstance(words, str) else words
    if not any(lines):
        return ""
    if len(lines) != len(text.lines):
        return f"It has {len(lines)} lines, and the laboratory’s own has {len(text.lines)}: each line is translated."
    problems = (problem for own, said in zip(text.lines, lines, strict=True) for problem in odd_phrase(lab, own, said))
    return _sentence(problems)


def known_words(text: Text) -> str:
    """What can stand in braces, in a sentence; empty where nothing can."""
    if not text.known:
        return ""
    return f"Can stand in it: {', '.join(f'{{{name}}}' for name in sorted(text.known))}."


def _sentence(problems: Iterable[str]) -> str:
    return " ".join(f"{capital(problem)}." for problem in problems)
