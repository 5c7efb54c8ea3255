"""The standing instructions of a practice, as they were made on the call with it."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QListWidget, QSizePolicy, QWidget

from intake.domain.lab import Lab
from intake.domain.wording import capital, in_sentence, requirement_name
from intake.domain.written_dates import shown_day
from intake.ui.help_panel import set_help
from intake.ui.setup.directory.words import STANDING_HELP

if TYPE_CHECKING:
    from intake.domain.practice import Practice, StandingInstruction


class StandingView(QListWidget):
    """Shows them, a few lines each, and is as high as they are.

    Args:
        parent: The owner.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("Standing instructions")
        set_help(self, STANDING_HELP)
        self.setWordWrap(True)
        self.setProperty("ring", "row")
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_standing(self, practice: "Practice | None", lab: Lab) -> None:
        """Shows those of a practice; whether there are any is `count`."""
        self.clear()
        self.addItems([_told(each, lab) for each in practice.standing] if practice else [])
        self.fit()

    @Slot()
    def fit(self) -> None:
        """Takes the height of its lines in the width that it has."""
        self.doItemsLayout()
        height = sum(self.visualItemRect(self.item(row)).height() for row in range(self.count()))
        self.setFixedHeight(height + 2 * self.frameWidth())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        QTimer.singleShot(0, self.fit)


def _told(instruction: "StandingInstruction", lab: Lab) -> str:
    """What holds, for what, since when, from whom."""
    about = capital(requirement_name(instruction.requirement))
    names = [lab.type_by_id[each].name if each in lab.type_by_id else each for each in instruction.types]
    types = f" ({', '.join(map(in_sentence, names))})" if names else ""
    source = f", {instruction.source}" if instruction.source else ""
    again = f"; to go through again on {shown_day(instruction.review)}" if instruction.review else ""
    gone = ""
    if instruction.withdrawn:
        gone = f"; withdrawn on {shown_day(instruction.withdrawn)}: {instruction.why_withdrawn}"
    return f"{about}{types}: {instruction.says}. Since {shown_day(instruction.since)}{source}{again}{gone}"
