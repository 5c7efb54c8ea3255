"""Asks for a word on why before a setup is put in force, with what would change by it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.tall_dialog import TallDialog

if TYPE_CHECKING:
    from intake.desk.setup_changes import Weighed

WHY_HELP = "A few words for whoever reads the editions later, such as: box of Splints is blue now. It may stay empty."
DIFFERENCES_HELP = "Everything that is other than in the setup in force, from what it was to what it is."
LINES = 12
"""So many lines of what changes are seen at once."""
LONG = 80
"""Sentences of more characters run over several lines."""


class InForceDialog(TallDialog):
    """Shows what would change, and asks why.

    Args:
        weighed: What would change, and what speaks against it.
        note: The words that are offered as the reason.
        look: For lengths.
        parent: The window over which it opens.
    """

    given = Signal(str)
    """Why it is changed: it is to be put in force."""

    def __init__(self, weighed: "Weighed", note: str, look: Look, parent: QWidget | None = None) -> None:
        count = len(weighed.differences)
        told = (
            f"{'One thing changes' if count == 1 else f'{count} things change'}. Booked cases keep their questions "
            "until they are changed; the dates of open jobs are counted anew."
            if count
            else "Nothing changes but remarks and the order of lines."
        )
        super().__init__("Put the setup in force", told, "P&ut in force  Enter", look, 40, parent)
        for caution in weighed.cautions:
            self.add(Words(caution, ink="caution", wraps=True))
        self.why = QLineEdit(note, self)
        self.why.setMaxLength(200)
        self.why.setAccessibleName("Why")
        set_help(self.why, WHY_HELP)
        label = Words("W&hy (for the list of editions)", ink="quiet")
        label.setBuddy(self.why)
        self.add(label)
        self.add(self.why)
        self.differences = difference_view(look, [each.sentence for each in weighed.differences], self)
        self.differences.setVisible(bool(count))
        self.add(self.differences)
        if weighed.problems:
            self.refuse(" ".join(weighed.problems))
            self.go_button.setEnabled(False)
            self.why.setEnabled(False)
            self.leave_button.setFocus()
        else:
            self.why.selectAll()
            self.why.setFocus()
        self.fit()

    @Slot()
    def go_on(self) -> None:
        """Puts it in force."""
        self.given.emit(self.why.text().strip())
        self.accept()


def difference_view(look: Look, sentences: list[str], parent: QWidget) -> QPlainTextEdit:
    """A text that can only be read: a paragraph for each difference."""
    view = QPlainTextEdit(paragraphs(sentences), parent)
    view.setReadOnly(True)
    view.setTabChangesFocus(True)
    view.setAccessibleName("What changes")
    set_help(view, DIFFERENCES_HELP)
    lines = min(LINES, max(2, sum(1 + len(each) // 70 for each in sentences) + len(sentences) - 1))
    view.setFixedHeight(lines * view.fontMetrics().lineSpacing() + look.px(1))
    return view


def paragraphs(sentences: Sequence[str]) -> str:
    """Sentences one under the other, parted by empty lines where there are long ones among them."""
    return ("\n\n" if any(len(each) > LONG for each in sentences) else "\n").join(sentences)
