"""A new language for the texts: its name, and the short name that the directory has for it."""

from PySide6.QtCore import QLocale, Qt, Signal, Slot
from PySide6.QtWidgets import QDialog, QFormLayout, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.setup.text_changes import problem_of_language
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words

TOLD = (
    "Letters, slips, mails, forms and notes of return to the practices of this language are written in it, as far as "
    "it is translated. Weekdays and months are put in where they are known."
)
SHORT_HELP = "Small letters, such as de, or fr-be. The entry of a practice in the directory names its language so."


class NewLanguage(QDialog):
    """Asks for a language.

    Args:
        lab: The setup, whose languages are not offered again.
        look: For lengths.
        parent: The window over which it opens.
    """

    taken = Signal(str, str)
    """Its short name and its name."""

    def __init__(self, lab: Lab, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._lab = lab
        self.setWindowTitle("A new language")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.short, self.name = QLineEdit(self), QLineEdit(self)
        self.wrong = Words("", ink="held", wraps=True)
        self.wrong.hide()
        self.short.setAccessibleName("Short name")
        self.short.setPlaceholderText("de")
        set_help(self.short, SHORT_HELP)
        self.name.setAccessibleName("Name")
        self.name.setPlaceholderText("Deutsch")
        self.short.textEdited.connect(self._on_short)
        self.go_button = QPushButton("Begin it  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        leave = QPushButton("Leave it  Esc", self)
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        rows = QFormLayout()
        rows.addRow("&Short name", self.short)
        rows.addRow("&Name", self.name)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(leave)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.7))
        column.addWidget(Words(TOLD, wraps=True))
        column.addLayout(rows)
        column.addWidget(self.wrong)
        column.addLayout(buttons)
        self.setMinimumWidth(look.px(30))

    @Slot(str)
    def _on_short(self, text: str) -> None:
        """The name that the language gives itself, until another one is typed."""
        locale = locale_of(text)
        if not self.name.isModified():
            self.name.setText(locale.nativeLanguageName() if locale is not None else "")

    @Slot()
    def _on_go(self) -> None:
        short, name = self.short.text().strip().lower(), self.name.text().strip()
        problem = problem_of_language(self._lab, short, name)
        self.wrong.setText(problem)
        self.wrong.setVisible(bool(problem))
        if problem:
            self.short.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.taken.emit(short, name)
            self.accept()


def locale_of(short: str) -> QLocale | None:
    """What is known of a language by its short name, where anything is."""
    locale = QLocale(short.strip().replace("-", "_"))
    known = locale.language() not in (QLocale.Language.C, QLocale.Language.AnyLanguage)
    return locale if len(short.strip()) >= 2 and known else None


def days_and_months(lab: Lab, short: str) -> dict[str, str]:
    """The weekdays and months of a language in short, by the lab's own words for them; empty where nothing is known."""
    locale, dates = locale_of(short), lab.words.dates
    if locale is None:
        return {}
    form = QLocale.FormatType.ShortFormat
    days = {own: locale.dayName(number, form) for number, own in enumerate(dates.weekdays, start=1)}
    months = {own: locale.monthName(number, form) for number, own in enumerate(dates.months, start=1)}
    return {own: said for own, said in (days | months).items() if said}
