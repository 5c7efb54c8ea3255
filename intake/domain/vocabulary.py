"""The lab's own words, found in what the desk types: any order, any case, beginnings of words, small slips.

A word means a word of the vocabulary when it is the same but for case and plural, begins it with three letters or
more, or is one or two slips away from exactly one of them; the last is always shown as what it was read as.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from intake.domain.case import Arch

FILLERS = frozenset("and at by for from has in it its of on please the to with".split())  # noqa: SIM905
UPPER = ("u", "upper", "max", "maxillary", "maxilla")
LOWER = ("l", "lower", "mand", "mandibular", "mandible")
BOTH = ("both", "ul", "lu")
ARCH_WORDS: Mapping[str, Arch] = {
    **dict.fromkeys(UPPER, "upper"),
    **dict.fromkeys(LOWER, "lower"),
    **dict.fromkeys(BOTH, "both"),
}
SHORTEST_BEGINNING = 3
SHORTEST_SLIP = 5
GAP = "\0"
_WORD = re.compile(r"[^\W_]+")


class Sheet:
    """A text being read: what is understood is taken out of it, and the rest is what was not."""

    def __init__(self, text: str) -> None:
        self.rest = text

    def cut(self, start: int, end: int) -> None:
        """Takes a stretch out; what stands left and right of it stays where it was."""
        self.rest = self.rest[:start] + GAP * (end - start) + self.rest[end:]

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Takes out the first place that fits."""
        found = pattern.search(self.rest)
        if found:
            self.cut(*found.span())
        return found

    def words(self) -> list["Word"]:
        """The words that are still there."""
        return [Word(found.group(), *found.span()) for found in _WORD.finditer(self.rest)]

    def left_over(self, say_nothing: frozenset[str] = frozenset()) -> tuple[str, ...]:
        """What is still there, in the order typed, without punctuation and words that say nothing."""
        nothing = FILLERS | say_nothing | {"a", "an"}
        pieces = re.split(rf"[\s,;{GAP}]+", self.rest)
        stripped = (piece.strip(".:&+/–—-()") for piece in pieces)
        return tuple(piece for piece in stripped if piece and piece.casefold() not in nothing)


@dataclass(frozen=True)
class Word:
    """A word and where it stands."""

    text: str
    start: int
    end: int

    @property
    def plain(self) -> str:
        """Without case and plural."""
        return singular(self.text)


@dataclass(frozen=True)
class Choice:
    """Which names of a vocabulary the words fit best: none, one, or several that fit equally."""

    ids: tuple[str, ...] = ()
    words: tuple[Word, ...] = ()
    """The words that belong to the name, where one fits best, or that all of several share."""
    slips: Mapping[str, str] = field(default_factory=dict)
    """Mistyped words, and what they were read as."""

    @property
    def only(self) -> str | None:
        """The one name that fits best; a single mistyped word is too little to go by."""
        return self.ids[0] if len(self.ids) == 1 and len(self.slips) < len(self.words) else None


@lru_cache(maxsize=4096)
def singular(word: str) -> str:
    """A word without case and plural: “Splints” is “splint”."""
    plain = word.casefold()
    return plain[:-1] if len(plain) > 3 and plain.endswith("s") and not plain.endswith(("ss", "us", "is")) else plain


@lru_cache(maxsize=4096)
def name_words(name: str) -> tuple[str, ...]:
    """The words of a name that tell it from others."""
    return tuple(w for w in map(singular, _WORD.findall(name)) if w not in FILLERS)


def recognise(word: str, words: Iterable[str]) -> frozenset[str]:
    """The words of a vocabulary that a word is, or else begins."""
    known = frozenset(words)
    plain = singular(word)
    if plain in known:
        return frozenset((plain,))
    return _begun(plain, known)


def _begun(plain: str, known: Iterable[str]) -> frozenset[str]:
    if len(plain) < SHORTEST_BEGINNING or not plain.isalpha():
        return frozenset()
    return frozenset(w for w in known if w.startswith(plain))


def mended(word: str, words: Iterable[str]) -> str | None:
    """The one word of a vocabulary that a mistyped word must be, if there is exactly one."""
    plain = singular(word)
    if len(plain) < SHORTEST_SLIP or not plain.isalpha():
        return None
    from rapidfuzz.distance import OSA  # 20 ms to import, and most words are typed right

    near = 2 if len(plain) > 7 else 1
    fits = {w for w in words if w[0] == plain[0] and len(w) >= SHORTEST_SLIP and OSA.distance(w, plain) <= near}
    return fits.pop() if len(fits) == 1 else None


def arch_said(word: str) -> Arch | None:
    """The arch that a word says: upper, u, max, lower, l, mand, both ..."""
    arches = {ARCH_WORDS[known] for known in recognise(word, ARCH_WORDS)}
    return arches.pop() if len(arches) == 1 else None


def arch_of_all(arches: Iterable[Arch]) -> Arch | None:
    """One arch for all that was said: both, where upper and lower were."""
    said = frozenset(arches)
    return None if not said else next(iter(said)) if len(said) == 1 else "both"


def choose(words: Sequence[Word], names: Mapping[str, Iterable[str]], others: Iterable[str] = ()) -> Choice:
    """Find the id whose names explain the words best.

    Args:
        words: what was typed.
        names: the names of each id, the lab's own.
        others: words that mean something else; a beginning shared with one of them is not taken.

    Returns:
        The ids that explain most of the words; of those, the ones of which most words make up a whole name.
    """
    spelled = {key: [name_words(name) for name in all_names] for key, all_names in names.items()}
    known = frozenset(word for several in spelled.values() for name in several for word in name)
    meanings, slips = _meanings(_joined(words, known), known, frozenset(others) - known)
    scores = {key: _score(several, meanings) for key, several in spelled.items()}
    best = max(scores.values(), default=(0, 0))
    if best == (0, 0):
        return Choice()
    ids = tuple(key for key, score in scores.items() if score == best)
    shared = [w for w in meanings if all(meanings[w] & _all_words(spelled[key]) for key in ids)]
    return Choice(ids, tuple(shared), {w.text: slips[w] for w in shared if w in slips})


def _joined(words: Sequence[Word], known: frozenset[str]) -> list[Word]:
    """The words, with “mouth guard” drawn together where the lab writes it as one."""
    joined: list[Word] = []
    for word in words:
        if joined and joined[-1].plain not in known and singular(joined[-1].text + word.text) in known:
            joined[-1] = Word(joined[-1].text + word.text, joined[-1].start, word.end)
        else:
            joined.append(word)
    return joined


def _meanings(
    words: Sequence[Word], known: frozenset[str], others: frozenset[str]
) -> tuple[dict[Word, frozenset[str]], dict[Word, str]]:
    """What each word may mean among the known ones, and which of them were mended."""
    meanings: dict[Word, frozenset[str]] = {}
    slips: dict[Word, str] = {}
    for word in words:
        if word.plain in known:
            # “ret” is a name of its own, and in “wire ret” the beginning of another's.
            meanings[word] = frozenset((word.plain,)) | _begun(word.plain, known)
        elif word.plain in FILLERS or recognise(word.text, others):
            continue
        elif begun := recognise(word.text, known):
            meanings[word] = begun
        elif not arch_said(word.text) and (right := mended(word.text, known)):
            meanings[word] = frozenset((right,))
            slips[word] = right
    return meanings, slips


def _all_words(names: Iterable[tuple[str, ...]]) -> frozenset[str]:
    return frozenset(word for name in names for word in name)


def _score(names: Sequence[tuple[str, ...]], meanings: Mapping[Word, frozenset[str]]) -> tuple[int, int]:
    """How many words belong to any of the names, and how many make up the longest name that is there whole."""
    own = _all_words(names)
    # An arch word belongs to a name only where the name is there whole: “mandibular” alone says the arch.
    plain = [word for word, fits in meanings.items() if fits & own and not arch_said(word.text)]
    explained = sum(1 for word in plain if not word.text.isdigit())
    whole = max((len(name) for name in names if _is_there(name, meanings)), default=0)
    return max(explained, whole), whole


def _is_there(name: tuple[str, ...], meanings: Mapping[Word, frozenset[str]]) -> bool:
    return bool(name) and all(any(word in fits for fits in meanings.values()) for word in name)
