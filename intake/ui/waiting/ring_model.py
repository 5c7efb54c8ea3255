"""Whom to ring, as rows: the whole list, or what of it fits the letters that are typed."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from intake.ui.waiting.standing_marks import WORDS

if TYPE_CHECKING:
    from intake.desk.ring_list import RingLine

LINE = Qt.ItemDataRole.UserRole
DIGITS = 4
"""So many digits of a telephone number find it; fewer stand in too many."""


class RingModel(QAbstractListModel):
    """The rows of the ring list.

    Args:
        parent: The owner.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._all: tuple[RingLine, ...] = ()
        self._words: tuple[str, ...] = ()
        self._rows: tuple[RingLine, ...] = ()

    @property
    def all(self) -> "tuple[RingLine, ...]":
        """Every practice that something is open for, in the order to ring."""
        return self._all

    @property
    def rows(self) -> "tuple[RingLine, ...]":
        """The practices that are shown."""
        return self._rows

    def show_lines(self, lines: "Sequence[RingLine]") -> None:
        """Shows these practices in place of those before."""
        self._all = tuple(lines)
        self._fit()

    def put(self, key: str, line: "RingLine | None") -> None:
        """Puts one practice where it belongs now; takes it away when nothing is open for it."""
        others = [each for each in self._all if each.key != key]
        self.show_lines(sorted([*others, line], key=lambda each: each.urgency) if line is not None else others)

    def narrow(self, text: str) -> None:
        """Shows the practices alone that have every word of a text in their name, code or number."""
        self._words = tuple(text.casefold().split())
        self._fit()

    def row_of(self, key: str) -> int | None:
        """The row of a practice; None when it is not shown."""
        return next((at for at, line in enumerate(self._rows) if line.key == key), None)

    def line_of(self, key: str) -> "RingLine | None":
        """The line of a practice, shown or not."""
        return next((line for line in self._all if line.key == key), None)

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        line = self._rows[index.row()]
        if role == LINE:
            return line
        if role == Qt.ItemDataRole.DisplayRole:
            return line.practice
        return said(line) if role == Qt.ItemDataRole.AccessibleTextRole else None

    def _fit(self) -> None:
        fitting = tuple(line for line in self._all if all(_fits(line, word) for word in self._words))
        if fitting != self._rows:
            self.beginResetModel()
            self._rows = fitting
            self.endResetModel()


def when_words(line: "RingLine") -> str:
    """When to ring, in a few words."""
    if line.can_ring:
        return "Ring now"
    return f"Ring {line.when}" if line.when else "Write"


def said(line: "RingLine") -> str:
    """A row as it is read aloud."""
    parts = (line.practice, when_words(line), WORDS[line.standing], line.told, line.open, _by(line), line.write)
    return ", ".join(filter(None, parts))


def _by(line: "RingLine") -> str:
    return f"reply by {line.reply_by}" if line.reply_by else ""


def _fits(line: "RingLine", word: str) -> bool:
    """Whether a word stands in a practice's name or code; or, where it is a piece of one, in its number."""
    digits = "".join(sign for sign in line.telephone if sign.isdigit())
    is_number = word.isdigit() and len(word) >= DIGITS
    return word in f"{line.practice} {line.key}".casefold() or (is_number and word in digits)
