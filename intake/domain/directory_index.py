"""Finds the practice of a directory that an entry from elsewhere is of: the same, or one that looks like it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from rapidfuzz import fuzz

from intake.domain.practice import Practice
from intake.domain.practice_search import codes_taken, folded, letters_of

NEAR = 88.0
"""So alike are two names of one practice at the same place, in hundredths of their letters: “Marlowe House Dental” and
“The Marlow House Practice” are; two practices in one house mostly are not. Common practice, no source: set by trying,
and a person decides."""
NEAR_WORD = 80.0
"""And so alike is each word of the shorter name to one of the longer, so that Cedarwood is not Alderwood."""
_MOST_AT_A_PLACE = 20
"""A number or an address that more practices share is a company's, and tells nothing of one of them."""
_TRADE = (
    "the and of dr dental dentist dentists dentistry practice surgery clinic care centre center group studio praxis "
    "zahnarztpraxis zahnarzte cabinet dentaire dentistico clinica tandartspraktijk"
)
_OF_THE_TRADE = frozenset(_TRADE.split())
"""Words that tell no practice from another."""


class Likeness(NamedTuple):
    """What two entries of one practice have alike, folded."""

    name: str
    postcode: str
    telephone: str
    email: str

    @classmethod
    def of(cls, name: str, postcode: str, telephone: str, email: str) -> "Likeness":
        """From what is written."""
        digits = "".join(filter(str.isdecimal, telephone)).lstrip("0")
        return cls(folded(name), "".join(folded(postcode).split()), digits, email.strip().casefold())


class _Entry(NamedTuple):
    practice: Practice
    looks: Likeness


class DirectoryIndex:
    """The practices of a directory, and those that a file adds.

    Args:
        practices: The directory.
    """

    def __init__(self, practices: Iterable[Practice]) -> None:
        self._by_code: dict[str, Practice] = {}
        self._by_former: dict[str, Practice] = {}
        self._by_name: dict[str, Practice] = {}
        self._by_place: defaultdict[str, list[_Entry]] = defaultdict(list)
        self._by_both: defaultdict[tuple[str, str], list[_Entry]] = defaultdict(list)
        self._added: set[str] = set()
        self._numbers: dict[str, int] = {}
        known = tuple(practices)
        self._taken = codes_taken(known)
        for practice in known:
            self._enter(practice)

    def of_code(self, code: str) -> Practice | None:
        """The practice with a code, or that had it before, in any case of letters."""
        key = code.strip().casefold()
        return self._by_code.get(key) or self._by_former.get(key)

    def same(self, looks: Likeness) -> Practice | None:
        """The one practice of the same name at the same place; without a postcode, with the same number or address.

        None where there is none, and where there are several.
        """
        fits = {entry.practice.code: entry.practice for entry in self._of_name_and_place(looks)}
        return next(iter(fits.values())) if len(fits) == 1 else None

    def like(self, looks: Likeness) -> tuple[Practice | None, str]:
        """A practice that looks like an entry, and in what, as the end of a sentence."""
        for entry in self._of_name_and_place(looks):
            return entry.practice, "the name and the place are the same"
        if looks.name in self._by_name and not any(looks[1:]):
            return self._by_name[looks.name], "the name is the same, and this row does not say where it is"
        for key, what in _places(looks):
            entries = self._by_place.get(key, ())
            for entry in entries if len(entries) <= _MOST_AT_A_PLACE else ():
                if _near(entry.looks.name, looks.name):
                    return entry.practice, f"the {what} is the same, and the name nearly so"
        return None, ""

    def add(self, practice: Practice) -> None:
        """Takes in a practice that a file adds."""
        self._added.add(practice.code)
        self._taken |= codes_taken((practice,))
        self._enter(practice)

    def is_added(self, code: str) -> bool:
        """Whether a practice is one that the file adds."""
        return code in self._added

    def free_code(self, name: str) -> str:
        """A code that no practice has or had: the first letters of the name, and a number."""
        letters = letters_of(name)
        number = self._numbers.get(letters, 1)
        while f"{letters}{number}".casefold() in self._taken:
            number += 1
        self._numbers[letters] = number
        return f"{letters}{number}"

    def _enter(self, practice: Practice) -> None:
        looks = Likeness.of(practice.name, practice.postcode, practice.telephone, practice.email)
        entry = _Entry(practice, looks)
        self._by_code[practice.code.casefold()] = practice
        for former in practice.former:
            self._by_former.setdefault(former.casefold(), practice)
        self._by_name.setdefault(looks.name, practice)
        for key, _ in _places(looks):
            self._by_place[key].append(entry)
            self._by_both[looks.name, key].append(entry)

    def _of_name_and_place(self, looks: Likeness) -> Iterator[_Entry]:
        for key, _ in _places(looks):
            for entry in self._by_both.get((looks.name, key), ()):
                if not (looks.postcode and entry.looks.postcode) or looks.postcode == entry.looks.postcode:
                    yield entry


def _places(looks: Likeness) -> Iterator[tuple[str, str]]:
    for kind, what, text in zip("pte", ("postcode", "telephone number", "e-mail address"), looks[1:], strict=True):
        if text:
            yield f"{kind}{text}", what


def _near(one: str, other: str) -> bool:
    mine, theirs = _own_words(one), _own_words(other)
    if not mine or not theirs:
        mine, theirs = one, other
    if not fuzz.token_sort_ratio(mine, theirs, score_cutoff=NEAR):
        return False
    fewer, more = sorted((mine.split(), theirs.split()), key=len)
    return all(any(fuzz.ratio(word, other) >= NEAR_WORD for other in more) for word in fewer)


@lru_cache(maxsize=50_000)
def _own_words(name: str) -> str:
    """The words of a name by which it is known."""
    words = ("st" if word == "street" else word for word in "".join(c if c.isalnum() else " " for c in name).split())
    return " ".join(word for word in words if word not in _OF_THE_TRADE)
