"""What somebody types to look a job up, taken as it comes: “held whitening from Marlow last week”.

Whatever is a state, a day, an appliance, a bench or a stream is read as one, and as a word of a name all the same: a
practice may be called Held & Son, and a patient May. Small words fall away where something else is said.
"""

from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from intake.domain.lab import Lab
from intake.domain.look_up_days import DAY_WORDS, LONGEST_DAY, days_meant, days_near, span_of
from intake.domain.slips import Slip, allowed, one_slip_off, whole_slip
from intake.domain.vocabulary import FILLERS, SHORTEST_BEGINNING, name_words, singular
from intake.domain.wanted import (
    At,
    Came,
    Late,
    Leaves,
    Made,
    Mended,
    Part,
    Reading,
    Sent,
    Span,
    Standing,
    StandingWord,
    Wanted,
)

_SAYS_NOTHING = """
a an and all any are arrived arriving booked came case cases did dr find for from got have is it job jobs
miss mr mrs ms my no number on our patient practice ref reference than that the their them they was we
were what when where which who with you your
"""
SMALL = FILLERS | frozenset(_SAYS_NOTHING.split())
"""Words that say nothing where another one does."""
MOST_WORDS = 12
"""So many words are read; a caller says fewer."""
LONGEST = 4
"""So many words make one thing at the most: “bite guard of soft ...”."""
_STANDINGS: Mapping[str, StandingWord] = {
    "held": "held",
    "on hold": "held",
    "clear": "clear",
    "gone": "gone",
    "handed over": "gone",
    "withdrawn": "withdrawn",
    "cancelled": "withdrawn",
    "open": "open",
    "finished": "finished",
}
_LATE = ("late", "overdue")
_STREAMS: Mapping[str, Sent] = {
    "post": Sent("post"),
    "scan": Sent("scan"),
    "scans": Sent("scan"),
    "scanned": Sent("scan"),
}
_LEAVING = (("must", "leave"), ("leaves",), ("leave",), ("leaving",), ("due",))
_COMING = (("booked", "in"), ("arrived",), ("arriving",), ("came",), ("booked",))
_WHERE = ("at", "in", "on")
_RECEPTION = "reception"


@dataclass(frozen=True)
class LookUpWords:
    """Reads what is typed.

    Args:
        lab: the lab setup, whose words are understood.
        today: the lab's day.
        start: the day from which work that has not begun counts.
    """

    lab: Lab
    today: date
    start: date

    def read(self, typed: str) -> Wanted:
        """What is looked for."""
        return self._read(typed.split()[:MOST_WORDS], {})

    def mended(self, typed: str) -> tuple[Mended, ...]:
        """What may be looked for if one of the lab's own words, or a day, was mistyped."""
        tokens = typed.split()[:MOST_WORDS]
        return (*self._mended_words(tokens), *self._mended_days(tokens))

    def _mended_words(self, tokens: list[str]) -> Iterator[Mended]:
        for place, token in enumerate(tokens):
            plain = _plain(token)
            if plain in self._own_words:
                continue
            for word, each in self._near(plain, self._own_words, allowed(plain)):
                others = [*tokens[:place], word, *tokens[place + 1 :]]
                yield Mended(_as_meant(self._read(others, {})), token, word, each)

    def _mended_days(self, tokens: list[str]) -> Iterator[Mended]:
        """The longest stretches that are days but for a slip; of many days just one is unlikely."""
        place = 0
        while place < len(tokens):
            count, spans = self._near_days(tokens[place:])
            if spans:
                typed = " ".join(tokens[place : place + count])
                wanted = self._read(tokens, {place: (count, Came(spans))})
                yield Mended(_as_meant(wanted), typed, "", Slip(1, unlikely=len(spans) > 1))
            place += count

    def _near_days(self, tokens: list[str]) -> tuple[int, tuple[Span, ...]]:
        for count in range(min(LONGEST_DAY, len(tokens)), 0, -1):
            stretch = tuple(map(_small, tokens[:count]))
            near = {word: self._near(word, DAY_WORDS, _slips_of_a_day(word)) for word in stretch}
            mended = {word: tuple(other for other, _ in others) for word, others in near.items()}
            if spans := days_near(stretch, self.today, mended):
                return count, spans
        return 1, ()

    @staticmethod
    def _near(token: str, words: Set[str], most: int) -> list[tuple[str, Slip]]:
        """The words that a token is a slip from, the likeliest first."""
        if not most:
            return []
        likely = one_slip_off(token) & words if most == 1 else {w for w in words if abs(len(w) - len(token)) <= most}
        near = sorted((each, word) for word in likely if (each := whole_slip(token, word, most)) and each.count)
        return [(word, each) for each, word in near[:3]]

    def _read(self, tokens: list[str], fixed: Mapping[int, tuple[int, Reading]]) -> Wanted:
        parts, said, place = [], False, 0
        while place < len(tokens):
            part, count = self._part(tokens, place, fixed)
            said = said or bool(part)
            parts.append(part or Part(tokens[place], (tokens[place],)))
            small = part is None
            if small:
                parts[-1] = Part(tokens[place])
            place += count
        if not said:
            return Wanted(tuple(Part(token, (token,)) for token in tokens))
        return Wanted(tuple(part for part in parts if part.words or part.readings))

    def _part(self, tokens: list[str], place: int, fixed: Mapping[int, tuple[int, Reading]]) -> tuple[Part | None, int]:
        """The part that begins at a place and its count of words; no part for a word that says nothing."""
        if place in fixed:
            count, reading = fixed[place]
            return Part(" ".join(tokens[place : place + count]), (), (reading,)), count
        rest = [_small(token) for token in tokens[place:]]
        for read in (self._led, self._meant):
            count, readings = read(rest)
            if readings:
                stretch = tokens[place : place + count]
                return Part(" ".join(stretch), tuple(stretch), readings), count
        token = tokens[place]
        return (None, 1) if rest[0] in SMALL or not any(c.isalnum() for c in token) else (Part(token, (token,)), 1)

    def _led(self, rest: list[str]) -> tuple[int, tuple[Reading, ...]]:
        """What a leading word makes of those after it: “leaves tomorrow”, “arrived monday”, “at casting”."""
        for leads, ahead in ((_LEAVING, True), (_COMING, False)):
            for lead in leads:
                if tuple(rest[: len(lead)]) == lead:
                    count, span = self._span(rest[len(lead) :], ahead)
                    made = Leaves if ahead else Came
                    return (len(lead) + count, (made((span,)),)) if span else (0, ())
        if rest[0] == "since" and (found := self._span(rest[1:], ahead=False))[1]:
            return 1 + found[0], (Came(((found[1][0], self.today),)),)
        if rest[0] in _WHERE:
            for count in range(min(LONGEST, len(rest) - 1), 0, -1):
                if bench := self._bench(" ".join(rest[1 : 1 + count])):
                    return 1 + count, (bench,)
        return 0, ()

    def _span(self, rest: list[str], ahead: bool) -> tuple[int, Span | None]:
        skipped = next((n for n, word in enumerate(rest) if word not in ("on", "in", "by", "the")), len(rest))
        for count in range(min(LONGEST_DAY, len(rest) - skipped), 0, -1):
            if span := span_of(tuple(rest[skipped : skipped + count]), self.today, ahead):
                return skipped + count, span
        return 0, None

    def _meant(self, rest: list[str]) -> tuple[int, tuple[Reading, ...]]:
        """What the longest stretch from here means."""
        for count in range(min(LONGEST, len(rest)), 0, -1):
            stretch = tuple(rest[:count])
            text = " ".join(stretch)
            found: list[Reading] = list(days_meant(stretch, self.today)) if count <= LONGEST_DAY else []
            if text in _STANDINGS:
                found.append(Standing(_STANDINGS[text]))
            if text in _LATE:
                found.append(Late(self.today, self.start))
            if text in _STREAMS:
                found.append(_STREAMS[text])
            made = self._made(stretch)
            if made:
                found.append(made)
            elif bench := self._bench(text):
                found.append(bench)
            if found:
                return count, tuple(found)
        return 0, ()

    def _bench(self, text: str) -> At | None:
        if text == _RECEPTION:
            return At(None)
        return next((At(name) for name in self.lab.bench_by_name if name.casefold() == text), None)

    def _made(self, stretch: tuple[str, ...]) -> Made | None:
        """The appliance types whose own words all words of a stretch are; one word may be the beginning of one."""
        words = [singular(word) for word in stretch]
        if any(word in SMALL for word in words):
            return None
        types = [key for key, own in self._type_words.items() if all(word in own for word in words)]
        if not types and len(words) == 1 and len(words[0]) >= SHORTEST_BEGINNING and words[0].isalpha():
            types = [key for key, own in self._type_words.items() if any(word.startswith(words[0]) for word in own)]
        if not types:
            return None
        named = self.lab.type_by_id[types[0]].name if len(types) == 1 else " ".join(stretch).capitalize()
        categories = dict.fromkeys(self.lab.type_by_id[key].category for key in types)
        return Made(tuple(types), named, tuple(categories))

    @cached_property
    def _type_words(self) -> dict[str, frozenset[str]]:
        """Of each appliance type the words of its names and of its category."""
        categories = {category.id: category.name for category in self.lab.categories}
        return {
            each.id: frozenset(
                word
                for name in (each.name, *each.words, categories.get(each.category, ""))
                for word in name_words(name)
            )
            for each in self.lab.types
        }

    @cached_property
    def _own_words(self) -> frozenset[str]:
        """Every single word that means something by itself, as it is typed in full."""
        words = {word for own in self._type_words.values() for word in own}
        words |= {f"{word}s" for word in words if word.isalpha()}
        words |= {word for text in (*_STANDINGS, *_LATE, *_STREAMS) for word in text.split()}
        words |= {word for lead in (*_LEAVING, *_COMING) for word in lead}
        words |= {word for name in self.lab.bench_by_name for word in name.casefold().split()} | {_RECEPTION}
        return frozenset(word for word in words | SMALL | DAY_WORDS if allowed(word))


def _as_meant(wanted: Wanted) -> Wanted:
    """What has a meaning is no name as well: one guess is enough."""
    return Wanted(tuple(replace(part, words=()) if part.readings else part for part in wanted.parts))


def _slips_of_a_day(word: str) -> int:
    """How many slips a word of a day may have: one in “ot” too, which was “oct”."""
    return max(allowed(word), 1 if len(word) == 2 and word.isalpha() else 0)


def _small(token: str) -> str:
    """A word in small letters, without the punctuation around it that says nothing; a day keeps its last dot."""
    small = token.casefold().strip(",;:!?“”\"'()")
    return small if small[:1].isdigit() else small.rstrip(".")


def _plain(token: str) -> str:
    return "".join(sign for sign in _small(token) if sign.isalnum())
