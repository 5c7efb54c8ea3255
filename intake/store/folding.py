"""Text folded for searching: no case, no accents, no punctuation; what was typed is kept elsewhere."""

from intake.domain.folding import fold

LONGEST = 64
"""Characters of a word that count; the rest is not searched."""
MOST = 50
"""Words of one text that can be found."""


def squash(text: str) -> str:
    """A folded text's letters and digits only: “J.T.” is “jt”."""
    return "".join(c for c in fold(text) if c.isalnum())[:LONGEST]


def words_of_surname(name: str) -> frozenset[str]:
    """Every word that somebody may begin to type for the surname in “Dr S. Nkemelu-Hart”, or in “Nkemelu-Hart, S.”."""
    surname, comma, _ = name.partition(",")
    return words_of(surname if comma else " ".join(name.split()[-1:]))


def words_of(text: str) -> frozenset[str]:
    """Every word that somebody may begin to type for a text.

    Each word squashed, its parts between punctuation, and the whole: “O’Brien-Jones J.T.” is found by obrienjones, o,
    brien, jones, jt, j and t.
    """
    folded = fold(text)
    parts = "".join(c if c.isalnum() else " " for c in folded).split()
    whole = ["".join(parts), *("".join(c for c in word if c.isalnum()) for word in folded.split())]
    return frozenset(list(dict.fromkeys(word[:LONGEST] for word in (*whole, *parts) if word))[:MOST])
