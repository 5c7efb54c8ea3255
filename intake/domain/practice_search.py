"""Finds a practice by a few letters of its code, its name or its town."""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from intake.domain.practice import Practice

_STROKED = str.maketrans("łŁøØđĐ", "lLoOdD")
"""Letters that Unicode does not take apart into a letter and an accent."""
_ANYWHERE = 3
"""From so many letters on, a part within a word fits as well."""


def folded(text: str) -> str:
    """A text for comparing: without accents, in one case, with single spaces."""
    plain = unicodedata.normalize("NFKD", text.translate(_STROKED))
    return " ".join("".join(c for c in plain if not unicodedata.combining(c)).casefold().split())


def search_practices(text: str, practices: Iterable[Practice]) -> tuple[Practice, ...]:
    """The practices that fit what was typed, the likeliest first: exact code, start of the code, of a word, anywhere.

    Every word typed has to fit somewhere.
    """
    return tuple(practice for _, practice in _ranked(text, practices))


def the_practice(text: str, practices: Iterable[Practice]) -> Practice | None:
    """The one practice that is meant, when nothing else fits as well."""
    ranked = _ranked(text, practices)
    if not ranked or (len(ranked) > 1 and ranked[0][0] == ranked[1][0]):
        return None
    return ranked[0][1]


def _ranked(text: str, practices: Iterable[Practice]) -> list[tuple[int, Practice]]:
    words = folded(text).split()
    if not words:
        return []
    ranked = [(rank, practice) for practice in practices if (rank := _rank(words, _spelled(practice))) is not None]
    return sorted(ranked, key=lambda pair: (pair[0], pair[1].name))


@dataclass(frozen=True)
class _Spelling:
    """A practice's words, folded."""

    code: str
    starts: tuple[str, ...]
    whole: str


def _spelled(practice: Practice) -> _Spelling:
    return _spelling(practice.code, practice.name, practice.address, practice.postcode)


@lru_cache(maxsize=8192)
def _spelling(code: str, name: str, address: tuple[str, ...], postcode: str) -> _Spelling:
    whole = folded(" ".join((name, *address, postcode)))
    return _Spelling(folded(code), tuple(word.strip("(„“”,.'") for word in whole.split()), whole)


def _rank(words: list[str], spelling: _Spelling) -> int | None:
    if words == [spelling.code]:
        return 0
    worst = 0
    for word in words:
        rank = _rank_of_word(word, spelling)
        if rank is None:
            return None
        worst = max(worst, rank)
    return worst


def _rank_of_word(word: str, spelling: _Spelling) -> int | None:
    if spelling.code.startswith(word):
        return 1
    if any(start.startswith(word) for start in spelling.starts):
        return 2
    return 3 if len(word) >= _ANYWHERE and word in spelling.whole else None
