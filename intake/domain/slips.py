"""Slips of the hand in a typed word: a sign wrong, missing or too many, or two neighbours swapped.

Two words are so many slips apart as their optimal string alignment distance says (Damerau and Levenshtein's edits, no
stretch edited twice). That most misspelled words are one such edit away is F. J. Damerau's finding, Communications of
the ACM 7 (1964) 171-176, cited from memory.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from string import ascii_lowercase, digits

from intake.domain.job_number import LENGTHS, NumberRefused, read_number

SHORTEST = 3
"""A shorter word is taken as it is typed."""
LONG = 8
"""From so many letters on, a word may have two slips."""
FEWEST_BEGUN = 4
"""So many signs of a word have to be near what was typed, where the word goes on."""


def allowed(word: str) -> int:
    """How many slips a word may have: none, one, or two in a long one that is not a number."""
    if len(word) < SHORTEST:
        return 0
    return 2 if len(word) >= LONG and not word.isdigit() else 1


@lru_cache(maxsize=256)
def one_slip_off(word: str) -> frozenset[str]:
    """Every word that is one slip away; letters in a word of letters, digits in a number, both in a mixed one."""
    signs = digits if word.isdigit() else ascii_lowercase if word.isalpha() else ascii_lowercase + digits
    halves = [(word[:n], word[n:]) for n in range(len(word) + 1)]
    missing = {a + b[1:] for a, b in halves if b}
    swapped = {a + b[1] + b[0] + b[2:] for a, b in halves if len(b) > 1}
    wrong = {a + sign + b[1:] for a, b in halves if b for sign in signs}
    more = {a + sign + b for a, b in halves for sign in signs}
    return frozenset((missing | swapped | wrong | more) - {word, ""})


@dataclass(frozen=True, order=True)
class Slip:
    """How far what was typed is from a word; the smallest is the likeliest.

    Attributes:
        count: How many slips.
        begun: Whether it is near the beginning of the word only, not the whole.
        unlikely: Whether a sign is wrong or too many, rather than missing or swapped. A word can lose a sign, or swap
            two, in as many ways as it has places, but get a wrong one in as many times more ways as there are signs:
            where the kinds are as frequent, it is as many times less likely that it was just this one.
    """

    count: int
    begun: bool = False
    unlikely: bool = False

    def __add__(self, other: "Slip") -> "Slip":
        """Both of them."""
        return Slip(self.count + other.count, self.begun or other.begun, self.unlikely or other.unlikely)


RIGHT = Slip(0)
"""Typed right."""


def slip(typed: str, word: str, most: int) -> Slip | None:
    """How far a typed word is from another; None where it has more slips than `most`.

    Args:
        typed: what was typed, folded.
        word: the word that may be meant, folded.
        most: so many slips at the most.
    """
    whole = whole_slip(typed, word, most)
    least = whole.count if whole else most + 1
    for end in range(max(len(typed) - most, FEWEST_BEGUN), min(len(typed) + most, len(word) - 1) + 1):
        begun = whole_slip(typed, word[:end], least - 1)
        if begun:
            whole, least = Slip(begun.count, True, sorted(typed) != sorted(word[: len(typed)])), begun.count
    return whole


def whole_slip(typed: str, word: str, most: int) -> Slip | None:
    """How far a typed word is from the whole of another; None where it has more slips than `most`."""
    from rapidfuzz.distance import OSA  # 20 ms to import, and most words are typed right

    if most < 0 or abs(len(typed) - len(word)) > most:
        return None
    count = OSA.distance(typed, word, score_cutoff=most)
    likely = len(typed) < len(word) or sorted(typed) == sorted(word)
    return None if count > most else Slip(count, unlikely=not likely)


def whole_near(typed: str, words: Iterable[str], most: int) -> set[str]:
    """Of many words those the whole of which is at most so many slips away."""
    from rapidfuzz.distance import OSA  # 20 ms to import, and most words are typed right

    return {word for word in words if OSA.distance(typed, word, score_cutoff=most) <= most}


def sound_numbers_near(typed: str) -> tuple[str, ...]:
    """The digits of every sound job number that is one slip from the digits that were typed, in order.

    The check digits leave few of them: one in 97 of those that are no number's.
    """
    return tuple(sorted(number for number in one_slip_off(typed) if len(number) in LENGTHS and _is_sound(number)))


def _is_sound(number: str) -> bool:
    try:
        return bool(read_number(number))
    except NumberRefused:
        return False
