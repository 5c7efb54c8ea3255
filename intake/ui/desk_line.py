"""The right end of the news bar: which printer the tickets go to, which of them wait, and who is at the desk."""

from PySide6.QtCore import QSettings, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QWidget

from intake.ui.help_panel import set_help
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.plain import Words, button_words

INITIALS_HELP = "Who is at the desk: your initials, up to four letters. Everything that you do is kept under them."


class DeskLine(QWidget):
    """Says where tickets go and who is at the desk.

    Args:
        look: For lengths.
        keys: Its `send-again` action sends the waiting tickets.
        settings: Where the initials are kept.
        parent: The owner.
    """

    initials_changed = Signal(str)

    def __init__(self, look: Look, keys: Keys, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._keys, self._settings = look, keys, settings
        self._waiting = 0, 0
        self.printer = Words("", size="small", ink="quiet")
        self.waiting_button = QPushButton(self)
        self.waiting_button.clicked.connect(keys.action("send-again").trigger)
        self.initials_field = QLineEdit(str(settings.value("desk/initials", "")), self)
        self.initials_field.setMaxLength(4)
        self.initials_field.setAccessibleName("Initials")
        set_help(self.initials_field, INITIALS_HELP)
        self.initials_field.editingFinished.connect(self._on_initials)
        self._label = Words("&Initials", size="small", ink="quiet")
        self._label.setBuddy(self.initials_field)
        self.person_button = QPushButton(self)
        self.person_button.clicked.connect(keys.action("initials").trigger)
        self.person_button.hide()
        self._signed_in = ""
        self._line = QHBoxLayout(self)
        self._line.setContentsMargins(0, 0, 0, 0)
        self._line.addStretch(1)
        for part in (self.printer, self.waiting_button, self._label, self.initials_field, self.person_button):
            self._line.addWidget(part)
        look.changed.connect(self._fit)
        keys.changed.connect(self._show_waiting)
        keys.changed.connect(self._show_signed_in)
        keys.action("initials").triggered.connect(self.ask_initials)
        self._fit()
        self._show_waiting()

    @property
    def initials(self) -> str:
        """The initials of who is at the desk; empty when nobody has said."""
        return self.initials_field.text().strip()

    def show_person(self, person: str) -> None:
        """Says who the desk takes the person to be until the initials are entered."""
        self.initials_field.setPlaceholderText(person)

    def show_signed_in(self, initials: str) -> None:
        """Names who has signed in; empty where nobody has to, and initials are typed."""
        self._signed_in = initials
        self._show_signed_in()

    def show_printer(self, queue: str | None) -> None:
        """Names the print queue that tickets go to; None when none is set."""
        self.printer.setText(f"Tickets go to {queue}" if queue else "No printer for tickets")

    def show_waiting(self, tickets: int, letters: int = 0) -> None:
        """Says how many tickets and letters wait to be sent again."""
        self._waiting = tickets, letters
        self._show_waiting()

    @Slot()
    def ask_initials(self) -> None:
        """Takes the keys to the field for the initials, where they are typed."""
        if not self._signed_in:
            self.initials_field.setFocus()
            self.initials_field.selectAll()

    @Slot()
    def _on_initials(self) -> None:
        if self.initials != self._settings.value("desk/initials", ""):
            self._settings.setValue("desk/initials", self.initials)
            self.initials_changed.emit(self.initials)

    @Slot()
    def _show_signed_in(self) -> None:
        self.person_button.setText(button_words(f"{self._signed_in}  {self._keys.shown('initials')}".rstrip()))
        self.person_button.setAccessibleName(f"At the desk: {self._signed_in}")
        self.person_button.setVisible(bool(self._signed_in))
        for part in (self._label, self.initials_field):
            part.setVisible(not self._signed_in)

    @Slot()
    def _show_waiting(self) -> None:
        kinds = zip(self._waiting, ("ticket", "letter"), strict=True)
        many = " and ".join(f"{count} {kind}{'s' if count > 1 else ''}" for count, kind in kinds if count)
        many += " waits" if sum(self._waiting) == 1 else " wait"
        self.waiting_button.setVisible(any(self._waiting))
        self.waiting_button.setText(button_words(f"{many}  {self._keys.shown('send-again')}".rstrip()))
        self._keys.action("send-again").setEnabled(any(self._waiting))

    @Slot()
    def _fit(self) -> None:
        self._line.setSpacing(self._look.px(0.7))
        self.initials_field.setFixedWidth(self._look.px(5.4))
