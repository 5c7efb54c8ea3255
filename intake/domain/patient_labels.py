"""Whether two labels may be of one patient: a name in full, an initial, or initials, in any spelling of the desk."""

from collections.abc import Sequence
from itertools import combinations, permutations, product

from intake.domain.practice_search import folded

_TITLES = frozenset(("dr", "miss", "mr", "mrs", "ms", "mx", "prof"))
_MOST_WORDS = 5
"""So many words of a label are compared, each in every place; a longer one keeps its last."""
_A_SLIP = 0.8
"""From this share of the letters on two words are one with a slip of the pen: one letter of five (Smith, Smyth)."""
SAME, INITIAL, SLIP = 1.0, 0.7, 0.6
"""How well two words fit that are the same, of which one is the other's initial, or that differ by a slip."""
_INITIALS = 3
"""A label of up to so many capitals is a name or initials: LEE, JT."""
_DOUBTFUL = 0.4
"""What is left where one word alone can be compared and is not the same (“J.” is nearly anybody), or where initials
stand in another order: too little to tell a patient by, and no other patient plainly."""


def alike(one: str, other: str) -> float | None:
    """How alike two labels of a patient are, from 0 (plainly two patients') to 1; None where one of them is empty.

    Case, accents, titles and the order of whole names do not count. An initial fits a name that begins with it;
    initials alone have to stand in the order of the names to say much.
    """
    mine, theirs = readings(one), readings(other)
    return max((_alike(*words) for words in product(mine, theirs)), default=None)


def _alike(one: Sequence[str], other: Sequence[str]) -> float:
    shorter, longer = sorted((one, other), key=len)
    best = max(_fit(shorter, way) for way in permutations(longer, len(shorter)))
    if any(all(len(word) == 1 for word in words) for words in (one, other)):
        in_order = max(_fit(shorter, way) for way in combinations(longer, len(shorter)))
        best = in_order or best * _DOUBTFUL
    if len(shorter) == 1 and (best < SAME or len(shorter[0]) == 1):
        return best * _DOUBTFUL
    return best * (0.9 + 0.1 * len(shorter) / len(longer))


def _fit(words: Sequence[str], others: Sequence[str]) -> float:
    """How well words fit others, each its own; 0 where one does not fit."""
    fits = [word_fit(word, other) for word, other in zip(words, others, strict=True)]
    return sum(fits) / len(fits) if all(fits) else 0


def word_fit(word: str, other: str) -> float:
    """How well two words of names fit, folded: `SAME`, `INITIAL`, `SLIP`, or 0 where they do not."""
    if word == other:
        return SAME
    if min(len(word), len(other)) == 1:
        return INITIAL if word[0] == other[0] else 0
    if not (word.isalpha() and other.isalpha()):
        return 0  # another number is another patient
    from rapidfuzz.distance import OSA  # slow to import, and most words are the same or plainly others

    return SLIP if OSA.normalized_similarity(word, other) >= _A_SLIP else 0


def readings(label: str) -> list[list[str]]:
    """The words that a label may be, folded, given names first: “Thornley, J.” is j, thornley; “JT” jt, or j, t."""
    last, comma, first = label.partition(",")
    plain = folded(f"{first} {last}" if comma else label).replace("'", "").replace("’", "")
    words = "".join(sign if sign.isalnum() else " " for sign in plain).split()
    words = [word for word in words if word not in _TITLES] or words
    if not words:
        return []
    kept = words if len(words) <= _MOST_WORDS else [*words[: _MOST_WORDS - 1], words[-1]]
    typed = label.strip().rstrip(".")
    is_short = len(words) == 1 and 1 < len(typed) <= _INITIALS and typed.isalpha() and typed.isupper()
    return [kept, list(words[0])] if is_short else [kept]
