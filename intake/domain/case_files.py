"""Which of many files belong to which case, by the folders that they lie in and by their names.

Two scans of one jaw are two cases where their names share nothing else: a wrong patient's scan in a case does harm, a
case in two parts is only a nuisance.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Literal

from intake.domain.jaw_names import jaw_named, stem

_ORDERS = frozenset(("prescription", "order", "case", "form", "rx"))
"""Words by which the file of an order is called beside its scans: common practice, no source."""


@dataclass(frozen=True)
class Lying:
    """One file as it lies among others."""

    folder: str
    """Within what brought it: `week 48/Jones`; empty for its top."""
    name: str
    part: Literal["scan", "order", "beside"]
    """What it is to a case: order: a prescription; beside: a photo, a letter, anything else."""


@dataclass(frozen=True)
class CaseFiles:
    """The files of one case."""

    label: str
    """What tells them from the others: their folder, and what their names share where the folder holds several."""
    rows: tuple[int, ...]


def shared_name(name: str) -> str:
    """What the names of one case's files share: without jaw, numbering and ending, and without words for an order."""
    return " ".join(word for word in stem(name).split() if word not in _ORDERS)


def case_files(files: Sequence[Lying]) -> tuple[CaseFiles, ...]:
    """The cases among files: each has a scan; what belongs to none of them is in none.

    A folder is a case. What lies in a folder without scans goes with those of the nearest folder above it, else with
    those of the only one below it.
    """
    homes = sorted({file.folder for file in files if file.part == "scan"})
    lying: dict[str, list[int]] = {}
    for row, file in enumerate(files):
        home = _home(file.folder, homes)
        if home is not None:
            lying.setdefault(home, []).append(row)
    return tuple(case for home in homes for case in _cases(files, home, lying[home]))


def same_jaw(names: Iterable[str]) -> bool:
    """Whether two of these scans show the upper, or the lower, by their names."""
    jaws = [jaw for jaw in (jaw_named(name).jaw for name in names) if jaw in ("upper", "lower")]
    return len(jaws) != len(set(jaws))


def _home(folder: str, homes: Sequence[str]) -> str | None:
    above = [home for home in homes if _is_in(folder, home)]
    below = [home for home in homes if _is_in(home, folder)]
    if above:
        return max(above, key=len)
    return below[0] if len(below) == 1 else None


def _is_in(inner: str, outer: str) -> bool:
    return not outer or PurePosixPath(inner).is_relative_to(outer)


def _cases(files: Sequence[Lying], home: str, rows: Sequence[int]) -> list[CaseFiles]:
    """One case, or one for each name where the scans of one folder are those of several."""
    scans = [row for row in rows if files[row].part == "scan"]
    shared = {row: shared_name(files[row].name) for row in rows}
    names = sorted({shared[row] for row in scans})
    orders = [row for row in rows if files[row].part == "order"]
    fitting = [row for row in orders if shared[row] in names]
    several = same_jaw(files[row].name for row in scans) or len(fitting) > 1
    variants = any(_begins(other, name) for name in names for other in names if other != name)
    if not several or variants or len(names) == 1:
        strangers = set(orders) - set(fitting) if fitting else ()
        return [CaseFiles(home, tuple(row for row in rows if row not in strangers))]
    with_each = [row for row in rows if files[row].part == "beside" and shared[row] not in names]
    of_name = {name: [row for row in rows if shared[row] == name] for name in names}
    return [CaseFiles(f"{home}|{name}", tuple(sorted([*of_name[name], *with_each]))) for name in names]


def _begins(name: str, beginning: str) -> bool:
    """Whether a name is another one with more words: `jones prep` and `jones` are of one patient."""
    return name.split()[: len(beginning.split())] == beginning.split()
