"""The usual answers under a field, each with the key that takes it; the arrow keys go through them."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QButtonGroup, QPushButton, QWidget

from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.plain import button_words, restyle
from intake.ui.waiting.asking import Offer
from intake.ui.waiting.flow import Flow

KEYED = 5
"""So many of them have a key."""


class Offers(QWidget):
    """Shows the usual answers. It takes no keys itself: the field that it belongs to moves through it.

    Args:
        look: For lengths.
        keys: Its `offer-1` to `offer-5` actions take one.
        parent: The owner.
        compact: Whether they are shown small.
    """

    taken = Signal(int)

    def __init__(self, look: Look, keys: Keys, parent: QWidget | None = None, compact: bool = False) -> None:
        super().__init__(parent)
        self._compact = compact
        self._look, self._keys = look, keys
        self.at: int | None = None
        self._offers: tuple[Offer, ...] = ()
        self._buttons: list[QPushButton] = []
        self._group = QButtonGroup(self)
        self._group.idClicked.connect(self.taken)
        self._flow = Flow(self)
        self.setAccessibleName("Usual answers")
        look.changed.connect(self._fit)
        keys.changed.connect(self._label)
        self._fit()

    @property
    def offers(self) -> tuple[Offer, ...]:
        """What is offered."""
        return self._offers

    def offer(self, offers: Sequence[Offer]) -> None:
        """Offers these."""
        self._offers = tuple(offers)
        while len(self._buttons) < len(self._offers):
            self._add()
        self._label()
        self.mark(None)
        self.setVisible(bool(self._offers))
        self.updateGeometry()

    def mark(self, at: int | None) -> None:
        """Marks the one that the arrow keys have gone to; none when None."""
        self.at = at
        for number, button in enumerate(self._buttons):
            if bool(button.property("picked")) != (number == at):
                button.setProperty("picked", number == at)
                restyle(button)
        self._label()

    def _add(self) -> None:
        button = QPushButton(self)
        button.setProperty("compact", self._compact)
        button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._group.addButton(button, len(self._buttons))
        self._flow.addWidget(button)
        self._buttons.append(button)

    @Slot()
    def _label(self) -> None:
        for number, button in enumerate(self._buttons):
            button.setVisible(number < len(self._offers))
            if number < len(self._offers):
                key = self._keys.shown(f"offer-{number + 1}") if number < KEYED else ""
                picked = "▸ " if number == self.at else ""
                button.setText(picked + button_words("  ".join(filter(None, (self._offers[number].shown, key)))))

    @Slot()
    def _fit(self) -> None:
        self._flow.setSpacing(self._look.px(0.4))
