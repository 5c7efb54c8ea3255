"""One text of the setup: the lab's own words, their translation, and what keeps either from counting."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.domain.text_checks import known_words, own_problem, said_problem
from intake.domain.texts import Text
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.setup.texts.box import TextBox
from intake.ui.setup.texts.named import changed_where, heading_of, name_of

OWN = "The laboratory’s own"
NOT_TRANSLATED = "What is left empty stands in the laboratory’s own words."
AT_HOME = "It is printed for the laboratory itself, so it has no translation."


class TextEditor(QWidget):
    """The text.

    Args:
        look: For lengths.
        parent: The owner.
    """

    own_written = Signal(object)
    """The lab's own words are to be these."""
    said_written = Signal(object)
    """In the language in view they are to be these."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._lab: Lab | None = None
        self.text: Text | None = None
        self.language: str | None = None
        self.title = Words("", bold=True, wraps=True)
        self.own_name = Words(OWN, size="small", ink="quiet")
        self.own = TextBox(OWN, look, self)
        self.fixed = Words("", wraps=True)
        self.told = Words("", size="small", ink="quiet", wraps=True)
        self.own_wrong = Words("", ink="held", wraps=True)
        self.said_name = Words("", size="small", ink="quiet", wraps=True)
        self.said = TextBox("Translation", look, self)
        self.said_wrong = Words("", ink="held", wraps=True)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        self._column = QVBoxLayout(self)
        for part in (
            self.title,
            self.own_name,
            self.own,
            self.fixed,
            self.told,
            self.own_wrong,
            self.said_name,
            self.said,
            self.said_wrong,
        ):
            self._column.addWidget(part)
        self.own.textChanged.connect(self._check)
        self.said.textChanged.connect(self._check)
        self.own.finished.connect(self._on_own)
        self.said.finished.connect(self._on_said)
        look.changed.connect(self._fit)
        self._fit()
        self.show_text(None, None, None)

    @property
    def fields(self) -> tuple[TextBox, ...]:
        """What can be typed in, in order."""
        return tuple(field for field in (self.own, self.said) if not field.isHidden())

    def show_text(self, lab: Lab | None, text: Text | None, language: str | None) -> None:
        """Shows a text, in a language too where one is in view; what is half typed in the same text stays."""
        same = self.text is not None and text is not None and (self.text.place, self.language) == (text.place, language)
        self._lab, self.text, self.language = lab, text, language
        is_shown = lab is not None and text is not None
        for head in (self.title, self.own_name, self.told):
            head.setVisible(is_shown)
        if lab is None or text is None:
            for gone in (self.own, self.fixed, self.said_name, self.said, self.own_wrong, self.said_wrong):
                gone.setVisible(False)
            return
        where, told = changed_where(text), lab.languages.get(language or "")
        self.title.setText(f"{heading_of(text)}: {name_of(text, lab)}")
        self.told.setText(" ".join(filter(None, (known_words(text), where))))
        self.told.setVisible(bool(self.told.text()))
        self.fixed.setText(text.words if isinstance(text.words, str) else "\n".join(text.words))
        self.fixed.setVisible(bool(where))
        self.own.setVisible(not where)
        self.own.setAccessibleName(f"{name_of(text, lab)}, {OWN.lower()}")
        self.said_name.setVisible(told is not None)
        self.said.setVisible(told is not None and text.goes_out)
        if told is not None:
            self.said_name.setText(f"{told.name}. {NOT_TRANSLATED}" if text.goes_out else AT_HOME)
            self.said.setAccessibleName(f"{name_of(text, lab)}, {told.name}")
        if not (same and self.own.is_modified()):
            _show(self.own, text.words)
        if told is not None and not (same and self.said.is_modified()):
            lines = tuple(told.phrases.get(line, "") for line in text.lines)
            _show(self.said, lines[0] if isinstance(text.words, str) else lines if any(lines) else ())
        self._check()

    def leave_half(self) -> bool:
        """Puts back what is half typed; whether anything was."""
        half = [field for field in self.fields if field.is_modified()]
        for field in half:
            field.setModified(False)
        if half:
            self.show_text(self._lab, self.text, self.language)
        return bool(half)

    @Slot()
    def _check(self) -> None:
        """Says what is wrong while it is typed."""
        if self._lab is None or self.text is None:
            return
        wrong = own_problem(self.text, self.own.words) if not self.own.isHidden() else ""
        said = said_problem(self._lab, self.text, self.said.words) if not self.said.isHidden() else ""
        for words, problem in ((self.own_wrong, wrong), (self.said_wrong, said)):
            words.setText(problem)
            words.setVisible(bool(problem))

    @Slot()
    def _on_own(self) -> None:
        if self.own.is_modified() and self.text is not None and not self.own_wrong.text():
            self.own.setModified(False)
            if self.own.words != self.text.words:
                self.own_written.emit(self.own.words)

    @Slot()
    def _on_said(self) -> None:
        if self.said.is_modified() and self.text is not None and not self.said_wrong.text():
            self.said.setModified(False)
            self.said_written.emit(self.said.words)

    @Slot()
    def _fit(self) -> None:
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(self._look.px(0.4))
        self._column.setAlignment(Qt.AlignmentFlag.AlignTop)


def _show(field: TextBox, words: str | tuple[str, ...]) -> None:
    if field.words != words or field.is_modified():
        field.show_words(words)
