"""Finds practices of a large directory on every key: what is known of each is folded once, when it is read."""

from collections.abc import Iterable, Sequence

from intake.domain.folding import fold
from intake.domain.practice import Practice


class PracticeIndex:
    """The practices of a directory, by name, each with everything that it can be found by.

    Code, former codes, name, address, postcode, telephone, e-mail and prescribers are all looked through; every word
    has to be found somewhere. A postcode and a number are found with and without their spaces.

    Args:
        practices: The directory, in any order.
    """

    def __init__(self, practices: Iterable[Practice]) -> None:
        self.practices: list[Practice] = sorted(practices, key=_by_name)
        self._known = [_known_of(practice) for practice in self.practices]

    def found(self, text: str) -> Sequence[int]:
        """The places in `practices` of those that fit; all of them when nothing is asked for.

        First the one whose code it is, then those of which a code or the name begins so; each by name.
        """
        asked = fold(text).strip()
        words = asked.split()
        if not words:
            return range(len(self.practices))
        fits = list(range(len(self._known)))
        for word in words:
            fits = [at for at in fits if word in self._known[at]]
        solid = "".join(words)
        if len(words) > 1 and not fits:  # a number or a postcode with its spaces elsewhere than on file
            fits = [at for at, known in enumerate(self._known) if solid in known]
        begins, code = f"\n{asked}", f"\n{asked}\n"
        ranks: tuple[list[int], list[int], list[int]] = ([], [], [])
        for at in fits:
            known = self._known[at]
            ranks[(begins not in known) + (not known.startswith(code))].append(at)
        return [at for rank in ranks for at in rank]

    def at(self, code: str) -> int | None:
        """The place of a practice by its code; None where the directory does not have it."""
        return next((at for at, practice in enumerate(self.practices) if practice.code == code), None)

    def replace(self, practice: Practice) -> None:
        """Takes a practice in the place of the one with its code, or adds it; where its name stands is kept."""
        at = self.at(practice.code)
        if at is None:
            at = sum(_by_name(other) < _by_name(practice) for other in self.practices)
            self.practices.insert(at, practice)
            self._known.insert(at, "")
        self.practices[at], self._known[at] = practice, _known_of(practice)


def _by_name(practice: Practice) -> tuple[str, str]:
    return fold(practice.name), practice.code


def _known_of(practice: Practice) -> str:
    """Everything that finds a practice, folded; of it its codes and its name begin a line."""
    codes = (practice.code, *practice.former, practice.name)
    others = (*practice.address, practice.postcode, practice.telephone, practice.email, *practice.prescribers)
    solid = ("".join(text.split()) for text in (practice.postcode, practice.telephone))
    return fold("\n".join(("", *codes, "\t".join(("", *others, *solid)))))
