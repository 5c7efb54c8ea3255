"""Finds a practice by a few letters of its code, its name or its town; suggests a code for a new one."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import count
from operator import itemgetter

from intake.domain.case import NewPractice
from intake.domain.folding import fold
from intake.domain.practice import Practice

_ANYWHERE = 3
"""From so many letters on, a part within a word fits as well."""
_OF_NAME = 6
"""So many letters of a practice's name make its code."""


def folded(text: str) -> str:
    """A text for comparing: without accents, in one case, with single spaces."""
    return " ".join(fold(text).split())


@dataclass(frozen=True)
class Fitting:
    """What fits a few letters.

    Attributes:
        practices: The practices that fit, the likeliest first; those alike in the directory's order.
        the: The one that is meant, when nothing else fits as well.
    """

    practices: tuple[Practice, ...]
    the: Practice | None


def fit_practices(text: str, practices: Iterable[Practice]) -> Fitting:
    """The practices that fit: by exact code, the start of the code, of a word, anywhere. Every word has to fit."""
    words = folded(text).split()
    ranked = [(rank, practice) for practice in practices if (rank := _rank(words, _spelled(practice))) is not None]
    ranked.sort(key=itemgetter(0))
    clear = len(ranked) == 1 or (len(ranked) > 1 and ranked[0][0] != ranked[1][0])
    return Fitting(tuple(practice for _, practice in ranked), ranked[0][1] if clear else None)


def search_practices(text: str, practices: Iterable[Practice]) -> tuple[Practice, ...]:
    """The practices that fit what was typed, the likeliest first."""
    return fit_practices(text, practices).practices


def the_practice(text: str, practices: Iterable[Practice]) -> Practice | None:
    """The one practice that is meant, when nothing else fits as well."""
    return fit_practices(text, practices).the


def suggest_code(name: str, practices: Iterable[Practice]) -> str:
    """A code that no practice has: the first letters of the name and a number, “Fernhallow Dental Care” is FERNHA1."""
    letters, taken = letters_of(name), codes_taken(practices)
    return next(code for number in count(1) if (code := f"{letters}{number}").casefold() not in taken)


def letters_of(name: str) -> str:
    """The letters that a code made from a practice's name begins with."""
    words = [word for word in folded(name).split() if word != "the"]
    return "".join(sign for sign in "".join(words).upper() if sign.isalpha())[:_OF_NAME] or "NEW"


def codes_taken(practices: Iterable[Practice]) -> set[str]:
    """The codes that practices have, or had before, in one case of letters."""
    return {code.casefold() for practice in practices for code in (practice.code, *practice.former)}


def same_practice(one: Practice | NewPractice, other: Practice | NewPractice) -> bool:
    """Whether two entries are of the same practice: its name and where it is are written alike."""

    def written(practice: Practice | NewPractice) -> tuple[str, str, str]:
        postcode = "".join(folded(practice.postcode).split())
        return folded(practice.name), folded(" ".join(practice.address)), postcode

    return written(one) == written(other)


@dataclass(frozen=True)
class _Spelling:
    """A practice's code and words, folded. In `words` each word stands behind a space."""

    code: str
    words: str


def _spelled(practice: Practice) -> _Spelling:
    return _spelling(practice.code, practice.name, practice.address, practice.postcode)


@lru_cache(maxsize=65_536)
def _spelling(code: str, name: str, address: tuple[str, ...], postcode: str) -> _Spelling:
    words = (word.strip("(„“”,.'") for word in folded(" ".join((code, name, *address, postcode))).split())
    return _Spelling(folded(code), "".join(f" {word}" for word in words))


def _rank(words: list[str], spelling: _Spelling) -> int | None:
    """0 for the code itself to 3 for a part within a word; None where a word does not fit."""
    if not words or any(word not in spelling.words for word in words):
        return None
    if words == [spelling.code]:
        return 0
    ranks = [_rank_of_word(word, spelling) for word in words]
    return None if None in ranks else max(rank for rank in ranks if rank is not None)


def _rank_of_word(word: str, spelling: _Spelling) -> int | None:
    if spelling.code.startswith(word):
        return 1
    if f" {word}" in spelling.words:
        return 2
    return 3 if len(word) >= _ANYWHERE else None
