"""The cases with a word that is near a mistyped one.

Where few cases come into question, the word is compared with each word of those; else every word that is one slip away
is sought by index, which is some hundred short steps.
"""

from collections.abc import Collection, Iterable, Set
from dataclasses import replace
from functools import cached_property

from sqlalchemy import ColumnElement, select

from intake.domain.slips import FEWEST_BEGUN, Slip, allowed, one_slip_off, slip, whole_near
from intake.store.at_once import Column, among, gathered, listed
from intake.store.conditions import FEWEST_OF_A_LABEL, LAST, TYPE_MARK, Named
from intake.store.physical_tables import ParcelTable
from intake.store.searching import MANY, Search
from intake.store.tables import ArrivalTable, CaseTable, CaseWordTable, JobTable


class NearWord:
    """A mistyped word.

    Args:
        search: The look-up.
        word: The word, squashed.
    """

    def __init__(self, search: Search, word: str) -> None:
        """Take a word."""
        self._search, self._connection = search, search.connection
        self.word, self._most = word, allowed(word)
        self._known: dict[str, Slip | None] = {}

    def near(self, words: Iterable[str]) -> tuple[Slip, str] | None:
        """The nearest of some words, if one is near."""
        return min(((how, word) for word in words if (how := self._near(word))), default=None)

    def compared(self, words: dict[int, set[str]]) -> dict[int, Slip]:
        """The cases, by their words, of which one is near."""
        found = {case: self.near(of_case) for case, of_case in words.items()}
        return {case: near[0] for case, near in found.items() if near}

    def sought(self, cases: frozenset[int] | None = None) -> dict[int, Slip]:
        """The cases with a word that is near, of some cases or of all; whole words, and where none is beginnings."""
        near = _of(self._of_practices() | self._whole(), cases)
        return near or _of(self._begun() | self._of_parcels(), cases)

    def _near(self, other: str) -> Slip | None:
        if other not in self._known:
            self._known[other] = slip(self.word, other, self._most)
        return self._known[other]

    @cached_property
    def _others(self) -> frozenset[str]:
        return one_slip_off(self.word)

    def _whole(self) -> dict[int, Slip]:
        words = among(self._connection, CaseWordTable.word, self._others)
        # The words first, each once: a frequent one has thousands of cases.
        known = gathered(self._connection, select(CaseWordTable.word).where(words).distinct())
        return self._cases({word: how for word in known if (how := self._near(word))})

    def _begun(self) -> dict[int, Slip]:
        """By the words that begin with one that is a slip away, which alone says how far that is."""
        beginnings = [other for other in self._others if len(other) >= FEWEST_BEGUN]
        each = listed(self._connection, beginnings)
        some = select(CaseWordTable.word).where(CaseWordTable.word >= each, CaseWordTable.word < each + LAST)
        known = gathered(self._connection, select(each).where(some.exists()))
        return self._cases({word: replace(how, begun=True) for word in known if (how := self._near(word))})

    def _cases(self, words: dict[str, Slip]) -> dict[int, Slip]:
        """The cases of words that are, or begin, near; each is as near as its nearest word."""
        found: dict[int, Slip] = {}
        for how in sorted(set(words.values())):
            these = [word for word, each in words.items() if each == how]
            cases = self._beginning(these) if how.begun else self._being(these)
            found = dict.fromkeys(cases, how) | found
        return found

    def _being(self, words: Collection[str]) -> list[int]:
        said = among(self._connection, CaseWordTable.word, words)
        return gathered(self._connection, select(CaseWordTable.case_id).where(said).limit(MANY))

    def _beginning(self, words: Collection[str]) -> list[int]:
        each = listed(self._connection, words)
        said = CaseWordTable.word >= each, CaseWordTable.word < each + LAST
        return gathered(self._connection, select(CaseWordTable.case_id).where(*said).limit(MANY))

    def _of_practices(self) -> dict[int, Slip]:
        """The cases of practices with a word that is near."""
        codes = self._search.practices_by_word
        found: dict[int, Slip] = {}
        near = (
            {}
            if self.word.isdigit()
            else {word: how for word in self._likely(codes.keys()) if (how := self._near(word))}
        )
        for how in sorted(set(near.values())):
            these = {code for word, each in near.items() if each == how for code in codes[word]}
            said = among(self._connection, CaseTable.practice_code, these)
            cases = gathered(self._connection, select(CaseTable.id).where(said).limit(MANY))
            found = dict.fromkeys(cases, how) | found
        return found

    def _likely(self, words: Set[str]) -> set[str]:
        """Of many words those that are one slip away, or begin so; of a long one also those that are two away."""
        size, likely = len(self.word), self._others & words
        for end in range(max(size - 1, FEWEST_BEGUN), size + 2):
            likely |= {word for word in words if word[:end] in self._others}
        if self._most > 1:
            likely |= whole_near(self.word, words, self._most)
        return set(likely)

    def _of_parcels(self) -> dict[int, Slip]:
        """The cases of parcels whose label is near."""
        if len(self.word) < FEWEST_OF_A_LABEL or not any(sign.isdigit() for sign in self.word):
            return {}
        labels = among(self._connection, ParcelTable.label, [other.upper() for other in self._others])
        return dict.fromkeys(gathered(self._connection, Named.in_parcels(labels).limit(MANY)), Slip(1))


def words_of_cases(search: Search, cases: Collection[int]) -> dict[int, set[str]]:
    """The words of cases: their own, those of their practice and parcel, and their numbers as they are read out."""
    connection, found = search.connection, {case: set[str]() for case in cases}
    practices = {code: words for code, _, words in (line.rpartition("\t") for line in search.directory.splitlines())}

    def of_those(column: Column) -> ColumnElement[bool]:
        return among(connection, column, cases)

    words = select(CaseWordTable.case_id, CaseWordTable.word).where(of_those(CaseWordTable.case_id))
    for case, word in connection.execute(words).all():
        if not word.startswith(TYPE_MARK):
            found[case].add(word)
    for case, code in connection.execute(
        select(CaseTable.id, CaseTable.practice_code).where(of_those(CaseTable.id))
    ).all():
        found[case].update(practices.get(code or "", "").split())
    numbers = select(JobTable.case_id, JobTable.number).where(of_those(JobTable.case_id))
    for case, number in connection.execute(numbers).all():
        found[case].update((number, number[2:-2], number[2:-2].lstrip("0")))
    labels = Named.in_parcels(of_those(ArrivalTable.case_id)).add_columns(ParcelTable.label)
    for case, label in connection.execute(labels).all():
        found[case].add(label.casefold())
    return found


def _of(near: dict[int, Slip], cases: frozenset[int] | None) -> dict[int, Slip]:
    return near if cases is None else {case: how for case, how in near.items() if case in cases}
