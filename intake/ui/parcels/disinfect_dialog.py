"""A disinfection done here: with what, how long, by whom; a second one warns first."""

from collections.abc import Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox, QDialog, QFormLayout, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from intake.domain.parcel_rules import Agent
from intake.ui.look import Look
from intake.ui.plain import Words

MOST_MINUTES = 1440
NO_AGENT = "The setup lists no disinfectant; type its name as it stands on the bottle."
WRONG_MINUTES = f"Minutes are a number from 1 to {MOST_MINUTES}."
WRONG_WHO = "Say who did it: one to eight letters."
WRONG_AGENT = "Say with what it was disinfected."


class DisinfectDialog(QDialog):
    """Asks for a disinfection; it returns what was entered and does nothing with it.

    Args:
        agents: The lab's own disinfectants, with the minutes that their makers ask for.
        who: The initials of who is at the desk.
        warning: What speaks against doing it once more; empty where nothing does.
        look: For lengths.
        parent: The window over which it opens.
    """

    given = Signal(str, int, str)
    """The agent, the minutes, the initials."""

    def __init__(self, agents: Sequence[Agent], who: str, warning: str, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Disinfected here")
        self._agents = {agent.name: agent for agent in agents}
        self.agent, self.minutes, self.who = QComboBox(self), QLineEdit(self), QLineEdit(who, self)
        self.agent.setEditable(not agents)
        self.agent.addItems(list(self._agents))
        self.agent.setAccessibleName("With what")
        self.minutes.setAccessibleName("Minutes")
        self.who.setAccessibleName("Initials")
        self.who.setMaxLength(8)
        self.minutes.setMaxLength(4)
        self.warning = Words(warning, ink="caution", wraps=True)
        self.warning.setVisible(bool(warning))
        self.wrong = Words("" if agents else NO_AGENT, ink="held" if agents else "quiet", wraps=True)
        self.go_button = QPushButton("&Enter it  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self.agent.currentTextChanged.connect(self._on_agent)
        self._on_agent(self.agent.currentText())
        self._lay_out(look)

    @Slot(str)
    def _on_agent(self, name: str) -> None:
        if agent := self._agents.get(name):
            self.minutes.setText(str(agent.minutes))

    @Slot()
    def _on_go(self) -> None:
        agent, minutes, who = self.agent.currentText().strip(), self.minutes.text().strip(), self.who.text().strip()
        number = int(minutes) if minutes.isdecimal() else 0
        for right, says, part in (
            (agent, WRONG_AGENT, self.agent),
            (1 <= number <= MOST_MINUTES, WRONG_MINUTES, self.minutes),
            (who, WRONG_WHO, self.who),
        ):
            if not right:
                self.wrong.set_ink("held")
                self.wrong.setText(says)
                self.wrong.show()
                part.setFocus()
                return
        self.given.emit(agent, number, who)
        self.accept()

    def _lay_out(self, look: Look) -> None:
        form = QFormLayout()
        for label, part in (("&With what", self.agent), ("&Minutes", self.minutes), ("&Initials", self.who)):
            words = Words(label)
            words.setBuddy(part)
            form.addRow(words, part)
        form.setSpacing(look.px(0.5))
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.6))
        told = "Everything in this parcel was disinfected here, by the maker’s instructions."
        column.addWidget(Words(told, wraps=True))
        column.addWidget(self.warning)
        column.addLayout(form)
        column.addWidget(self.wrong)
        column.addLayout(buttons)
        self.wrong.setVisible(bool(self.wrong.text()))
        self.setMinimumWidth(look.px(28))
        self.agent.setFocus()
