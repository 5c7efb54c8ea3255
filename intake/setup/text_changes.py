"""Changes the texts of a setup's file, and what they are in its languages."""

from collections.abc import Mapping
from typing import Any

import tomlkit

from intake.domain.lab import Lab
from intake.domain.texts import NAME_OF_RULE, Text, TextPlace, texts_of
from intake.setup.editing import SetupText

Words = str | tuple[str, ...]


def put_text(text: SetupText, lab: Lab, what: Text, words: Words) -> None:
    """Sets a text of the lab's own; what it is in other languages goes along, and is to be looked through.

    Args:
        text: The file.
        lab: The setup that it says now.
        what: The text as it is now.
        words: What it is to be; no line of a list of answers takes the list out.
    """
    value = words if isinstance(words, str) else list(words)
    if what.place[0] == "words":
        _put_fixed(text, what.place, None if words == _shipped(what) else value)
    else:
        text.put(what.place, None if value == [] else value)
    lines = (words,) if isinstance(words, str) else words
    if len(lines) == len(what.lines):
        for before, now in zip(what.lines, lines, strict=True):
            if before != now:
                _carry_over(text, lab, what, before, now)


def translate(text: SetupText, language: str, own: str, said: str) -> None:
    """Sets what a line of a text is in a language; empty leaves it as the lab has it."""
    phrases = ("languages", language, "phrases")
    if said.strip():
        text.put((*phrases, own), said.strip())
    elif text.get((*phrases, own)) is not None:
        text.put((*phrases, own), None)


def add_language(text: SetupText, language: str, name: str, phrases: Mapping[str, str]) -> None:
    """Begins a language, with what is known of it already."""
    languages = _tables(text, "languages")
    told, entry = tomlkit.table(), tomlkit.table()
    for own, said in phrases.items():
        told.add(own, said)
    entry.add("name", name)
    entry.add("phrases", told)
    languages[language] = entry


def take_language_out(text: SetupText, language: str) -> None:
    """Takes a language out with all that was translated into it."""
    text.put(("languages", language), None)
    if not text.get(("languages",)):
        text.put(("languages",), None)


def problem_of_language(lab: Lab, language: str, name: str) -> str:
    """Why a language cannot be begun, in a sentence; empty where it can."""
    if not name.strip():
        return "Give it its name, such as Deutsch."
    if language in lab.languages or name.strip() in (each.name for each in lab.languages.values()):
        return f"{name.strip()} is there already."
    plain = language.replace("-", "")
    if not (plain.isascii() and plain.isalnum() and plain == plain.lower() and language.strip("-") == language):
        return f"“{language}” is no short name; write small letters, digits and hyphens, such as de."
    return ""


def _put_fixed(text: SetupText, place: TextPlace, value: str | list[str] | None) -> None:
    """Sets a fixed word in the table of its paper; a table that says nothing any more goes."""
    words, paper = _tables(text, "words"), str(place[1])
    if value is not None:
        if paper not in words:
            words[paper] = tomlkit.table()
        words[paper][str(place[2])] = value
    elif paper in words:
        words[paper].pop(str(place[2]), None)
    if paper in words and not words[paper]:
        del words[paper]
    if not words:
        del text.document["words"]


def _tables(text: SetupText, name: str) -> Any:
    """What holds tables, `[words.letter]` and others, and says nothing itself."""
    if name not in text.document:
        text.document.append(name, tomlkit.table(is_super_table=True))
    return text.document[name]


def _carry_over(text: SetupText, lab: Lab, what: Text, before: str, now: str) -> None:
    """A translation follows its text; where the same words stand elsewhere too, it stays for those as well."""
    elsewhere = any(before in each.lines for each in texts_of(lab) if each.place != what.place)
    for code, language in lab.languages.items():
        said = language.phrases.get(before)
        if said is None:
            continue
        if now and now not in language.phrases:
            translate(text, code, now, said)
        if not elsewhere:
            translate(text, code, before, "")


def _shipped(what: Text) -> Words | None:
    """What a fixed word is where the file does not say it."""
    from intake.domain.printed.words import PrintedWords

    assert what.place[0] != NAME_OF_RULE, "what a rule is called is its id"
    _, paper, name = what.place
    words: Words | None = getattr(getattr(PrintedWords(), str(paper)), str(name))
    return words
