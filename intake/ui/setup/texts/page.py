"""The page Texts of Lab setup: what is printed, sent or shown as a caution, in every language of the lab's."""

from collections import Counter
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QLineEdit, QScrollArea, QVBoxLayout, QWidget

from intake.domain.folding import fold
from intake.domain.lab import Lab
from intake.domain.languages import to_translate, untranslated, unused
from intake.errors import IntakeError
from intake.setup.editing import SetupText
from intake.setup.text_changes import add_language, put_text, take_language_out, translate
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.texts import asked
from intake.ui.setup.texts.editor import TextEditor
from intake.ui.setup.texts.new_language import NewLanguage, days_and_months
from intake.ui.setup.texts.preview import Preview
from intake.ui.setup.texts.rows import rows_of
from intake.ui.setup.texts.texts_list import TextsList

if TYPE_CHECKING:
    from intake.desk.desk import Desk

FIND_HELP = "Shows only the texts in which all that is typed stands somewhere. ↓ goes to them, Esc shows all again."
LANGUAGE_HELP = (
    "The language that is in view beside the laboratory’s own. Each practice has its language in the directory. "
    "A new language is a new entry of this page; what is not translated stays in the laboratory’s own words."
)
OPEN_HELP = "Shows only what is not translated into the language in view, or not all of it."
OWN = "The laboratory’s own words"
NOTHING_FITS = "No text fits “{text}”."
ALL_TRANSLATED = "All that practices read is translated."
ROOMY = 60
"""From this width on, in heights of text, the texts stand beside the one that is changed."""


class TextsPage(QWidget):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self._desk: Desk | None = None
        self._counts = Latest(room.jobs)
        self._written_to: Counter[str] = Counter()
        self._turning = False
        self.find_field = QLineEdit(self)
        self.languages = QComboBox(self)
        self.only_open = QCheckBox("&Only what is not translated", self)
        self.said = Words("", size="small", ink="quiet", wraps=True)
        self.list = TextsList(room.look, self)
        self.editor = TextEditor(room.look, self)
        self.preview = Preview(room, self)
        self._lay_out()
        self._connect()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        self.preview.set_desk(desk)

    @Slot()
    def show_setup(self) -> None:
        """Shows the draft as it is now; what is chosen and what is half typed stay."""
        lab = self._draft.lab
        offered: dict[str | None, str] = {None: OWN}
        offered |= {code: language.name for code, language in lab.languages.items()}
        if [self.languages.itemText(at) for at in range(self.languages.count())] != list(offered.values()):
            chosen = self.languages.currentData()
            self.languages.blockSignals(True)
            self.languages.clear()
            for code, name in offered.items():
                self.languages.addItem(name, code)
            self.languages.setCurrentIndex(max(0, self.languages.findData(chosen)))
            self.languages.blockSignals(False)
        self._fill()
        self._show_text()

    @Slot()
    def read_again(self) -> None:
        """Comes into view: another letter may be the newest, another practice may have a language."""
        self._count()
        self._show_text()

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._counts.forget()
        self.preview.forget()

    @property
    def language(self) -> str | None:
        """The language in view; None for the lab's own."""
        language: str | None = self.languages.currentData()
        return language

    def row_new(self) -> None:
        """Asks for a new language."""
        if self._draft.ready:
            dialog = NewLanguage(self._draft.lab, self._room.look, self)
            dialog.taken.connect(self._on_language)
            dialog.open()

    def row_out(self) -> None:
        """Takes the language in view out; the way back is the draft's."""
        language = self.language
        if language is None:
            self._room.news.tell("Choose the language that is to go first. The laboratory’s own words always stay.")
            return
        name = self._draft.lab.languages[language].name
        count = self._written_to[language]
        self._draft.change(lambda text: take_language_out(text, language))
        told = f" {_practices(count)} written to in it so far." if count else ""
        self._room.news.tell(f"{name} is taken out.{told}")

    @Slot(str, str)
    def _on_language(self, short: str, name: str) -> None:
        known = days_and_months(self._draft.lab, short)
        self._draft.change(lambda text: add_language(text, short, name, known))
        self.languages.setCurrentIndex(self.languages.findData(short))
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot(object)
    def _on_own(self, words: str | tuple[str, ...]) -> None:
        text, lab = self.editor.text, self._draft.lab
        if text is not None:
            self._draft.change(lambda file: put_text(file, lab, text, words))

    @Slot(object)
    def _on_said(self, words: str | tuple[str, ...]) -> None:
        text, language = self.editor.text, self.language
        if text is None or language is None:
            return
        lines = (words,) if isinstance(words, str) else words or ("",) * len(text.lines)

        def change(file: SetupText) -> None:
            for own, said in zip(text.lines, lines, strict=True):
                if own:
                    translate(file, language, own, said)

        self._draft.change(change)

    @Slot()
    def _fill(self) -> None:
        lab, typed = self._draft.lab, self.find_field.text().strip()
        words, rows = fold(typed).split(), rows_of(lab, self.language, self.only_open.isChecked())
        fit = [row for row in rows if all(word in row.found_by for word in words)]
        self.list.say_when_empty(NOTHING_FITS.format(text=typed) if typed else ALL_TRANSLATED)
        self.list.show_rows(fit)
        self.only_open.setVisible(self.language is not None)
        self.said.setText(self._told(lab))
        self.said.setVisible(bool(self.said.text()) and not self._top.isHidden())

    def _told(self, lab: Lab) -> str:
        """How far the language in view has got."""
        if self.language is None:
            return (
                "" if lab.languages else f"{self._room.keys.shown('row-new')} begins a language for practices abroad."
            )
        told = lab.languages[self.language]
        left, whole = len(untranslated(lab, told)), len(to_translate(lab))
        far = f"{whole - left} of {whole} texts are translated; the rest stays in the laboratory’s own words."
        gone = len(unused(lab, told))
        old = {0: "", 1: " 1 translation is"}.get(gone, f" {gone} translations are")
        stale = f"{old} of words that the laboratory has no more." if gone else ""
        return f"{far}{stale} {_practices(self._written_to[self.language])} written to in it."

    @Slot()
    def _on_language_chosen(self) -> None:
        self._fill()
        self._show_text()
        self._count()

    @Slot()
    def _show_text(self) -> None:
        row, lab = self.list.row, self._draft.lab
        text = row.text if row is not None else None
        self.editor.show_text(lab, text, self.language)
        self.preview.show_text(lab, text, self.language)

    def _count(self) -> None:
        if self._desk is not None and self._draft.lab.languages:
            work = partial(asked.written_to, self._desk)
            self._counts.ask(work, self._on_counted, self._trouble)

    def _on_counted(self, counts: Counter[str]) -> None:
        self._written_to = counts
        self.said.setText(self._told(self._draft.lab))

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot()
    def _on_find(self) -> None:
        self._fill()
        self.list.choose_first()

    @Slot()
    def _open(self) -> None:
        self._turn(to_editor=True)
        field = self.editor.said if self.language and not self.editor.said.isHidden() else None
        (field or next(iter(self.editor.fields), self.list)).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc leaves what is half typed first, then the text, then what is looked for."""
        focus = self.focusWidget() or self
        if event.key() != Qt.Key.Key_Escape:
            super().keyPressEvent(event)
        elif self.editor.isAncestorOf(focus) or self.preview.isAncestorOf(focus):
            if not self.editor.leave_half():
                self._turn(to_editor=False)
                self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
        elif self.find_field.text():
            self.find_field.clear()
        else:
            super().keyPressEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """From the field the arrows go down to the texts, and Enter too; whoever looks for a text sees the texts."""
        if event.type() == QEvent.Type.FocusIn and not self._turning:
            self._turn(to_editor=False)
        if watched is self.find_field and event.type() == QEvent.Type.KeyPress and _goes_down(event):
            self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
            return True
        return super().eventFilter(watched, event)

    def _lay_out(self) -> None:
        self.find_field.setAccessibleName("Find a text")
        self.find_field.setPlaceholderText("find: closing, allergy, Please send …")
        set_help(self.find_field, FIND_HELP)
        self.languages.setAccessibleName("Language in view")
        set_help(self.languages, LANGUAGE_HELP)
        set_help(self.only_open, OPEN_HELP)
        self._top = QWidget(self)
        self._head = QHBoxLayout(self._top)
        self._head.setContentsMargins(0, 0, 0, 0)
        self._head.addWidget(self.find_field, 1)
        self._head.addWidget(self.languages)
        self._head.addWidget(self.only_open)
        inner, self._right = QWidget(), QScrollArea(self)
        self._right.setWidget(inner)
        self._right.setWidgetResizable(True)
        self._right.setFrameShape(QScrollArea.Shape.NoFrame)
        self._right.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._right.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._beside = QVBoxLayout(inner)
        self._beside.setContentsMargins(0, 0, 0, 0)
        self._beside.addWidget(self.editor)
        self._beside.addWidget(self.preview, 1)
        self._sides = QHBoxLayout()
        self._sides.addWidget(self.list, 5)
        self._sides.addWidget(self._right, 6)
        self._whole = QVBoxLayout(self)
        self._whole.addWidget(self._top)
        self._whole.addWidget(self.said)
        self._whole.addLayout(self._sides, 1)
        self.setFocusProxy(self.list)
        self._fit()

    def _connect(self) -> None:
        self.find_field.textChanged.connect(self._on_find)
        self.languages.currentIndexChanged.connect(self._on_language_chosen)
        self.only_open.toggled.connect(self._fill)
        for part in (self.find_field, self.languages, self.only_open):
            part.installEventFilter(self)
        self.list.chosen.connect(self._show_text)
        self.list.opened.connect(self._open)
        self._right.verticalScrollBar().rangeChanged.connect(self._on_range)
        self.editor.own_written.connect(self._on_own)
        self.editor.said_written.connect(self._on_said)
        self._room.look.changed.connect(self._fit)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn(to_editor=self._right.isAncestorOf(self.focusWidget() or self))

    def _turn(self, to_editor: bool) -> None:
        """Both side by side where there is room; else the texts, or the one that is changed."""
        roomy, self._turning = self.width() >= self._room.look.px(ROOMY), True  # what is hidden hands its focus on
        self._right.setVisible(roomy or to_editor)
        self.list.setVisible(roomy or not to_editor)
        self._top.setVisible(roomy or not to_editor)
        self.said.setVisible((roomy or not to_editor) and bool(self.said.text()))
        self._turning = False

    @Slot()
    def _keep_in_view(self) -> None:
        """The field in focus, and what is wrong with it, stay in view where something has grown."""
        focus = self.window().focusWidget()
        wrong = {self.editor.own: self.editor.own_wrong, self.editor.said: self.editor.said_wrong}
        for field, problem in wrong.items():
            if field is focus:
                self._right.ensureWidgetVisible(problem if problem.isVisible() else field, 0, 0)
                self._right.ensureWidgetVisible(field, 0, 0)

    @Slot()
    def _on_range(self) -> None:
        QTimer.singleShot(0, self._keep_in_view)  # once everything has its new place

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._whole.setContentsMargins(px(1), px(0.7), px(1), px(0.7))
        self._whole.setSpacing(px(0.6))
        self._head.setSpacing(px(0.6))
        self._sides.setSpacing(px(1))
        self._beside.setSpacing(px(0.8))
        self.preview.setMinimumHeight(px(15))
        self._turn(to_editor=self._right.isAncestorOf(self.focusWidget() or self))


def _practices(count: int) -> str:
    return {0: "No practice is", 1: "1 practice is"}.get(count, f"{count} practices are")


def _goes_down(event: QEvent) -> bool:
    downward = (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter)
    return (
        isinstance(event, QKeyEvent)
        and event.key() in downward
        and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    )
