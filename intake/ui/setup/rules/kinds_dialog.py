"""Picks the kinds of appliances that a rule is for."""

from collections.abc import Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QWidget

from intake.domain.lab import ApplianceType
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.setup.rules.ticks import Ticks
from intake.ui.tall_dialog import TallDialog


class KindsDialog(TallDialog):
    """Picks kinds of appliances.

    Args:
        kinds: All that the lab makes.
        ticked: The ids of those that the rule is for.
        look: For lengths.
        parent: The window over which it opens.
    """

    taken = Signal(object)
    """The ids of the kinds that were picked: a tuple."""

    def __init__(self, kinds: Sequence[ApplianceType], ticked: Sequence[str], look: Look, parent: QWidget) -> None:
        super().__init__(
            "Which appliances", "The rule holds for those that are ticked.", "&Take them  Enter", look, parent=parent
        )
        choices = [(kind.id, kind.name) for kind in kinds]
        self.ticks = Ticks("Appliances", choices, ticked, look, self, most=18)
        set_help(self.ticks, "↑ and ↓ go along it, or the first letters of a name; the space bar ticks.")
        self.add(self.ticks)
        self.ticks.setFocus()
        self.fit()

    @Slot()
    def go_on(self) -> None:
        """Takes the kinds that are ticked."""
        if not self.ticks.ticked:
            self.refuse("Tick at least one; else nothing is ever asked.")
            self.fit()
            return
        self.taken.emit(self.ticks.ticked)
        self.accept()
