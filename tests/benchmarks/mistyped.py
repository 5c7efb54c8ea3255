"""What callers say of a job of the archive, typed with one slip; and which jobs it fits, found without the store.

A query is made of words of one job: of its practice, its patient, its reference, what is made, the day when it came.
It counts only where these words, typed right, fit that one job and no other.
"""

import random
import string
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from intake.domain.written_dates import MONTHS
from tests.store.archive import TYPE_WORDS
from tests.store.samples import NOW

FEWEST_LETTERS = 3
"""A shorter word is typed right: a slip in it leaves nothing to go by."""
_COMMON = {"dental", "surgery", "house", "street", "orthodontics", "care"}


@dataclass(frozen=True)
class Query:
    """What is typed, right and with a slip, and the job that is meant."""

    job: int
    said: tuple[str, ...]
    slipped_said: tuple[str, ...]
    day: str
    """The day among the words as a person writes it; empty where none is said."""

    @property
    def right(self):
        """Typed right."""
        return " ".join(self.said)

    @property
    def slipped(self):
        """Typed with a slip."""
        return " ".join(self.slipped_said)


class Beginnings:
    """The places of texts by how they begin."""

    def __init__(self, texts):
        self._texts = np.array(texts)
        self._order = np.argsort(self._texts, kind="stable")

    def of(self, beginning):
        """The places of the texts that begin so."""
        ends = np.array([beginning, beginning + "\U0010ffff"])
        first, last = np.searchsorted(self._texts, ends, sorter=self._order)
        return self._order[first:last]


class Fits:
    """Which jobs of an archive words fit, by its columns."""

    def __init__(self, archive):
        self.archive = archive
        self.small = [name.lower() for name in archive.names]
        self.words = [(code.lower(), *name.lower().split()) for code, name in archive.practices]
        self.joined = ["".join(name.lower().split()) for _, name in archive.practices]
        self.references = Beginnings([reference.lower().replace(" ", "") for reference in archive.references])
        self.digits = Beginnings([reference.lower().split(" ")[-1] for reference in archive.references])
        self.numbers = Beginnings(archive.numbers)
        self.last_digits = Beginnings([number[::-1] for number in archive.numbers])
        self.prescribers = [self.small[(n * 7) % len(self.small)] for n in range(len(archive.practices))]

    def word(self, word):
        """The jobs with a word of their patient, reference, practice, prescriber or number that begins so."""
        of = self.archive
        full, named = of.style == 0, of.style <= 1
        given, first = self._beginning(word), self._with_letter(word[0])
        fits = (full & given[of.given]) | (named & given[of.surname]) | self._practices(word)[of.practice]
        if len(word) == 1:
            fits |= first[of.given] | first[of.surname]
        for cut in range(1, len(word)):  # the names drawn together
            rest = self._beginning(word[cut:])
            fits |= full & self._being(word[:cut])[of.given] & rest[of.surname]
            if cut == 1:
                fits |= (of.style == 1) & first[of.given] & rest[of.surname]
        if len(word) == 2:
            fits |= (of.style == 2) & first[of.given] & self._with_letter(word[1])[of.surname]
        jobs = [self.references.of(word), self.digits.of(word)]
        if word.isdigit():
            jobs += [self.numbers.of(word), self.last_digits.of(word[::-1]) if len(word) >= 3 else []]
            jobs += [self.numbers.of(year + word) for year in ("26", "25") if len(word) >= 6]
        fits[np.concatenate(jobs).astype(int)] = True
        return fits

    def made(self, phrase):
        """The jobs in which something of that word is made."""
        return np.isin(self.archive.type, TYPE_WORDS[phrase])

    def came(self, n):
        """The jobs that came on the day of one."""
        return self.archive.days == self.archive.days[n]

    @lru_cache(maxsize=4096)  # noqa: B019 - one of them lives as long as the test
    def _beginning(self, word):
        return np.array([name.startswith(word) for name in self.small])

    @lru_cache(maxsize=4096)  # noqa: B019
    def _being(self, word):
        return np.array([name == word for name in self.small])

    @lru_cache(maxsize=64)  # noqa: B019
    def _with_letter(self, letter):
        return np.array([name[0] == letter for name in self.small])

    @lru_cache(maxsize=4096)  # noqa: B019
    def _practices(self, word):
        each = zip(self.words, self.joined, self.prescribers, strict=True)
        return np.array(
            [
                any(w.startswith(word) for w in words) or joined.startswith(word) or prescriber.startswith(word)
                for words, joined, prescriber in each
            ]
        )


def queries(archive, count, seed=1):
    """So many queries, each of words that fit one job alone, with a slip in one of them."""
    chance, fits, made = random.Random(seed), Fits(archive), []
    while len(made) < count:
        job = chance.randrange(len(archive.numbers))
        said = _said(archive, job, fits, chance)
        if said is not None:
            day = _written(archive.arrived(job))
            made.append(Query(job, tuple(said), tuple(_with_a_slip(said, chance)), day if day in said else ""))
    return made


def _said(archive, job, fits, chance):
    """Words of a job, one after the other, until they fit it alone; None where they never do."""
    offered = _offers(archive, job, fits)
    chance.shuffle(offered)
    said, left = [], None
    for words, fitting in offered[:4]:
        said.append(words)
        found = fitting()
        left = found if left is None else left & found
        if len(said) > 1 and left.sum() == 1:
            assert left[job]
            return said
    return None


def _offers(archive, job, fits):
    """What can be said of a job, with what finds the jobs that it fits."""
    given, surname = archive.label(job).split(" ") if archive.style[job] == 0 else ("", "")
    surname = surname or (archive.label(job).split(" ")[-1] if archive.style[job] == 1 else "")
    _, practice = archive.practices[archive.practice[job]]
    names = [word for word in practice.split() if word.lower() not in _COMMON]
    words = [given, surname, names[0], names[-1], archive.references[job].split(" ")[-1]]
    offered = [(word, lambda word=word: fits.word(word.lower())) for word in words if word]
    phrase = next(phrase for phrase, types in TYPE_WORDS.items() if archive.type[job] in types)
    written = _written(archive.arrived(job))
    return [*offered, (phrase, lambda: fits.made(phrase)), (written, lambda: fits.came(job))]


def _written(day):
    """A day as it is said, with the year where it is not this one."""
    year = "" if day.year == NOW.year else f" {day.year}"
    return f"{day.day} {MONTHS[day.month - 1][:3].lower()}{year}"


def _with_a_slip(said, chance):
    """The words with one sign of one of them wrong, missing, too many, or swapped with its neighbour."""
    words = [word.split(" ") for word in said]
    places = [(n, m) for n, word in enumerate(words) for m, each in enumerate(word) if len(each) >= FEWEST_LETTERS]
    n, m = chance.choice(places)
    word = words[n][m]
    while (slipped := _slipped(word, chance)) == word:
        pass
    words[n][m] = slipped
    return [" ".join(each) for each in words]


def _slipped(word, chance):
    signs = string.digits if word.isdigit() else string.ascii_lowercase
    place = chance.randrange(len(word))
    match chance.randrange(4):
        case 0:
            return word[:place] + chance.choice(signs) + word[place + 1 :]
        case 1:
            return word[:place] + word[place + 1 :]
        case 2:
            return word[:place] + chance.choice(signs) + word[place:]
    place = min(place, len(word) - 2)
    return word[:place] + word[place + 1] + word[place] + word[place + 2 :]
