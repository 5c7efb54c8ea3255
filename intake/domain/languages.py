"""The lab setup as it speaks another language, and what of a language is missing or cannot be printed."""

from collections.abc import Iterator, Mapping, Sequence

from intake.domain.lab import Lab
from intake.domain.placeholders import odd_placeholders
from intake.domain.printed.language import Language
from intake.domain.reply_fields import LINE
from intake.domain.texts import NAME_OF_RULE, Text, TextPlace, texts_of, with_texts
from intake.domain.wording import requirement_name


def spoken(lab: Lab, language: str | None) -> Lab:
    """The setup with its texts in a language; what is not translated stays as it is.

    The lab's own setup where no language is named, or none of that name is in it.
    """
    told = lab.languages.get(language or "")
    if told is None:
        return lab
    changes: dict[TextPlace, str | tuple[str, ...]] = {
        text.place: in_language(text, told.phrases)
        for text in texts_of(lab)
        if text.goes_out and text.place[0] != NAME_OF_RULE
    }
    work = lab.words.work.model_copy(update={"small_names": told.small_names})
    words = lab.words.model_copy(update={"work": work})
    own = lab.model_construct(**{name: getattr(lab, name) for name in Lab.model_fields} | {"words": words})
    return with_texts(own, changes)


def requirement_in(requirement: str, lab: Lab, language: str | None) -> str:
    """What a requirement asks for, inside a sentence: `bite record`."""
    name, told = requirement_name(requirement), lab.languages.get(language or "")
    return told.phrases.get(name, name) if told else name


def in_language(text: Text, phrases: Mapping[str, str]) -> str | tuple[str, ...]:
    """A text in a language, line by line as far as it is translated."""
    lines = tuple(phrases.get(line, line) for line in text.lines)
    return lines[0] if isinstance(text.words, str) else lines


def to_translate(lab: Lab) -> tuple[Text, ...]:
    """The texts that practices read, without those that are empty."""
    return tuple(text for text in texts_of(lab) if text.goes_out and any(text.lines))


def untranslated(lab: Lab, language: Language) -> tuple[Text, ...]:
    """The texts of which something stays as the lab has it."""
    return tuple(text for text in to_translate(lab) if any(line not in language.phrases for line in text.lines if line))


def unused(lab: Lab, language: Language) -> tuple[str, ...]:
    """What is translated and is no text of the lab's, or is none any more."""
    own = {line for text in texts_of(lab) if text.goes_out for line in text.lines}
    return tuple(phrase for phrase in language.phrases if phrase not in own)


def odd_phrase(lab: Lab, own: str, said: str) -> Iterator[str]:
    """What is wrong with the translation of a text, a sentence without its full stop each."""
    texts = [text for text in texts_of(lab) if text.goes_out and own in text.lines]
    if texts:
        yield from _odd(texts, own, said)


def odd_phrases(lab: Lab) -> Iterator[str]:
    """What is wrong with the languages of a setup, a sentence each without its full stop."""
    by_line: dict[str, list[Text]] = {}
    for text in texts_of(lab) if lab.languages else ():
        for line in text.lines if text.goes_out else ():
            by_line.setdefault(line, []).append(text)
    for name, language in lab.languages.items():
        for own, said in language.phrases.items():
            for problem in _odd(by_line.get(own, ()), own, said):
                yield f"language “{name}”, “{own}”: {problem}"


def _odd(texts: Sequence[Text], own: str, said: str) -> Iterator[str]:
    """Where the same words stand in several places, only what is known in all of them can be in braces."""
    if not texts:
        return
    yield from odd_placeholders(said, frozenset.intersection(*(text.known for text in texts)))
    if any(text.place[:2] == ("letter", "answers") for text in texts) and _lines(own) != _lines(said):
        yield f"it has {_lines(said)} lines to fill in, and the laboratory’s own has {_lines(own)}"


def _lines(text: str) -> int:
    return len(LINE.findall(text))
