"""Finds a practice by a few letters of its code, its name or its town."""

import unicodedata
from collections.abc import Iterable

from intake.domain.practice import Practice


def folded(text: str) -> str:
    """A text for comparing: without accents, in one case, with single spaces."""
    stroked = text.translate(_STROKED)
    plain = "".join(c for c in unicodedata.normalize("NFKD", stroked) if not unicodedata.combining(c))
    return " ".join(plain.casefold().split())


_STROKED = str.maketrans("łŁøØđĐ", "lLoOdD")
"""Letters that Unicode does not take apart into a letter and an accent."""


def search_practices(text: str, practices: Iterable[Practice]) -> tuple[Practice, ...]:
    """The practices that fit what was typed, the likeliest first: exact code, start of the code, of a word, anywhere.

    Every word typed has to fit somewhere.
    """
    words = folded(text).split()
    if not words:
        return ()
    ranked = [(rank, practice) for practice in practices if (rank := _rank(words, practice)) is not None]
    return tuple(practice for _, practice in sorted(ranked, key=lambda pair: (pair[0], pair[1].name)))


def the_practice(text: str, practices: Iterable[Practice]) -> Practice | None:
    """The one practice that is meant, when nothing else fits as well."""
    found = search_practices(text, practices)
    if not found:
        return None
    words = folded(text).split()
    best = _rank(words, found[0])
    alone = len(found) == 1 or _rank(words, found[1]) != best
    return found[0] if alone else None


def _rank(words: list[str], practice: Practice) -> int | None:
    code = folded(practice.code)
    if words == [code]:
        return 0
    whole = folded(" ".join((practice.name, *practice.address, practice.postcode)))
    starts = [code, *whole.split()]
    ranks = [_rank_of_word(word, code, starts, whole) for word in words]
    return None if None in ranks else max(rank for rank in ranks if rank is not None)


def _rank_of_word(word: str, code: str, starts: list[str], whole: str) -> int | None:
    if code.startswith(word):
        return 1
    if any(start.startswith(word) for start in starts):
        return 2
    return 3 if len(word) >= 3 and word in whole else None
