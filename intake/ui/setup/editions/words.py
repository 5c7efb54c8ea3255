"""The words of the page Editions: a line for each edition, and what is said of two that are compared."""

from typing import TYPE_CHECKING

from intake.domain.written_dates import shown_moment
from intake.ui.setup.in_force_dialog import paragraphs

if TYPE_CHECKING:
    from intake.setup.comparing import Difference
    from intake.store.setup_rows import EditionRow

EMPTY = (
    "No edition is kept yet. Each setup that is put in force becomes one: what it was, when, by whom and why. {open} "
    "opens a setup file of another place."
)
TOLD = (
    "Every setup that was in force, the newest first. {back} puts the chosen one back, {keep} keeps it as a file, "
    "{open} opens a setup file of another place."
)
DRAFT = "Changed, and not in force yet"
ALIKE = "The two are the same but for remarks and the order of lines."
FIRST = "This is the first edition that is kept; there is none before it."
_SOURCES = {
    "first": "as it was found",
    "window": "changed in Lab setup",
    "file": "changed by hand in the file",
    "put-back": "edition {of} put back",
}


def edition_line(row: "EditionRow", in_force: bool) -> str:
    """An edition in two lines: `5 · Thu 12 Nov 2026, 9:30 · AB`, and why."""
    parts = [f"Edition {row.edition}", shown_moment(row.at), row.who]
    why = row.note or _SOURCES[row.source].format(of=row.of)
    return "  ·  ".join([*parts, "in force"] if in_force else parts) + f"\n{why[:1].upper()}{why[1:]}"


def differ_words(found: "tuple[Difference, ...]") -> str:
    """What differs, a paragraph each."""
    return paragraphs([each.sentence for each in found]) or ALIKE
