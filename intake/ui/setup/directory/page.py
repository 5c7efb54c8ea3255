"""The page Directory of Lab setup: the practices found as one types, and what is known of the one that is chosen."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from intake.domain.practice import Practice
from intake.domain.practice_index import PracticeIndex
from intake.domain.scan_codes import ScanCode
from intake.domain.wording import counted
from intake.errors import IntakeError
from intake.ui.latest import Latest
from intake.ui.plain import Words, button_words
from intake.ui.room import Room
from intake.ui.setup.directory import asked
from intake.ui.setup.directory.deeds import Deeds
from intake.ui.setup.directory.finder import Finder
from intake.ui.setup.directory.keeping import Keeping
from intake.ui.setup.directory.list_view import PracticeList
from intake.ui.setup.directory.practice_view import PracticeView
from intake.ui.setup.directory.words import EMPTY, NONE_FITS, OF_DIRECTORY, READING
from intake.ui.setup.draft import Draft
from intake.ui.waiting.flow import Flow
from intake.ui.waiting.head import compact_button

if TYPE_CHECKING:
    from intake.desk.desk import Desk

QWIDGETSIZE_MAX = 16_777_215  # as wide as it likes
ROOMY = 46
"""From this width on, in heights of text, the list and the practice stand side by side."""


class DirectoryPage(QWidget):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    issued = Signal(object)
    """The documents that were handed to the printer: a tuple of `Issued`."""

    directory_changed = Signal()
    """Something was changed here; told when the page is left, since everything that knows practices reads them anew."""

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self._desk: Desk | None = None
        self._offered: asked.Offered | None = None
        self._changed = False
        self._readings, self._rows = Latest(room.jobs), Latest(room.jobs)
        self.finder = Finder(self)
        self.list = PracticeList(room.look, self)
        self.right_side = PracticeView(room, draft.in_force, self)
        self.form = self.right_side.form
        self.count = Words("", size="small", ink="quiet")
        self._buttons = {name: compact_button(room, name) for name in OF_DIRECTORY}
        self.keeping = Keeping(room, self.form, self)
        self.deeds = Deeds(room, self)
        self._lay_out()
        self._connect()
        self._label()
        self._fit()
        self.list.say_when_empty(READING)
        self._show(None)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        first, self._desk = self._desk is None, desk
        self.keeping.desk = self.deeds.desk = desk
        self.form.offer(self._offered, desk.lab)
        if first:
            self._room.jobs.run(partial(asked.offered, desk), self._on_offered, lane="beside")
        self.read_again()

    @Slot()
    def show_setup(self) -> None:
        """The directory belongs to no draft: services and languages are offered as they are in force."""
        self.form.offer(self._offered, self._draft.in_force)

    @Slot()
    def read_again(self) -> None:
        """Comes into view: what is shown may have changed meanwhile."""
        if self._desk is not None:
            self._readings.ask(partial(asked.directory, self._desk), self._on_read, self._on_trouble)

    def forget(self) -> None:
        """Wants no answer any more; what stands in a field is kept first: the window closes."""
        self.keeping.keep_now()
        self._readings.forget()
        self._rows.forget()

    def take_code(self, code: ScanCode) -> bool:
        """A sticker that is scanned finds its practice."""
        if code.kind != "practice":
            return False
        known = next((p.code for p in self.list.rows.practices if p.code.upper() == code.value), code.value)
        self.finder.setText(known)
        self.list.show_only(known)
        self._to_find()
        return True

    @Slot()
    def row_new(self) -> None:
        """Begins a new practice."""
        self.keeping.begin_new()
        self._show(None, new=True)
        self._to_form()

    @property
    def current(self) -> Practice | None:
        """The practice that is chosen."""
        return None if self.keeping.is_new else self.list.current

    def _on_offered(self, offered: asked.Offered) -> None:
        self._offered = offered
        if self._desk is not None:
            self.form.offer(offered, self._desk.lab)

    def _on_read(self, index: PracticeIndex) -> None:
        self.list.take(index)
        self._count()

    def _on_trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot(str)
    def _on_typed(self, text: str) -> None:
        self.list.show_only(text)
        self._count()

    @Slot(object)
    def _on_chosen(self, practice: Practice | None) -> None:
        if self.keeping.is_new:
            return
        self._show(practice)
        if practice is not None:
            self._ask_row(practice.code)

    @Slot(str)
    def _ask_row(self, code: str) -> None:
        if self._desk is not None:
            self._rows.ask(partial(asked.practice, self._desk, code), self._on_row, self._on_trouble)

    def _on_row(self, practice: Practice | None) -> None:
        """What the store says now: it may have changed since the list was read."""
        if practice is not None and practice != self.list.rows.practice(practice.code):
            self.list.put(practice)
            if self.form.code == practice.code:
                self._show(practice)

    @Slot(object)
    def _on_kept(self, practice: Practice) -> None:
        self._changed = True
        self.list.put(practice)
        self._count()
        if self.form.code in (practice.code, None):
            self._show(practice)

    def _show(self, practice: Practice | None, new: bool = False) -> None:
        self.right_side.show_practice(practice, new, self.keeping.refused_of(practice))

    def _count(self) -> None:
        shown, count = self.list.rows.rowCount(), self.list.rows.count
        of = f"{shown} of " if self.finder.text() else ""
        self.count.setText(f"{of}{counted(count, 'practice')}")
        shown_key = self._room.keys.shown
        self.list.say_when_empty(
            NONE_FITS.format(new=shown_key("row-new"))
            if count
            else EMPTY.format(take_in=shown_key("directory-take-in"), new=shown_key("row-new"))
        )

    def _to_form(self) -> None:
        self.form.take_keys()
        self._fold()

    @Slot()
    def _to_find(self) -> None:
        self.finder.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.finder.selectAll()
        self._fold()

    @Slot()
    def _on_enter(self) -> None:
        if self.list.current is not None:
            self._to_form()

    @Slot(int, bool)
    def _on_moved(self, step: int, pages: bool) -> None:
        self.list.move(step * self.list.page_of_rows if pages else step)

    def _lay_out(self) -> None:
        # Every letter that a label could have belongs to a field of the practice or to a menu; Esc comes back here.
        self._find_label = Words("Find a practice  Esc", size="small", ink="quiet")
        self._find_label.setBuddy(self.finder)
        self.left_side, self._flow = QWidget(self), Flow()
        self._left = QVBoxLayout(self.left_side)
        for button in self._buttons.values():
            self._flow.addWidget(button)
        for part in (self._find_label, self.finder, self.count):
            self._left.addWidget(part)
        self._left.addWidget(self.list, 1)
        self._left.addLayout(self._flow)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.left_side)
        whole.addWidget(self.right_side, 1)
        self.setFocusProxy(self.finder)

    def _connect(self) -> None:
        self.finder.textEdited.connect(self._on_typed)
        self.finder.returnPressed.connect(self._on_enter)
        self.finder.moved.connect(self._on_moved)
        self.list.chosen.connect(self._on_chosen)
        self.list.activated.connect(self._on_enter)
        self.list.left.connect(self._to_find)
        self.keeping.kept.connect(self._on_kept)
        self.keeping.went.connect(self._on_many_changed)
        self.keeping.refused.connect(self._ask_row)
        self.keeping.new_left.connect(self._on_new_left)
        self.keeping.new_came_back.connect(self._on_new_came_back)
        self.deeds.changed.connect(self._on_many_changed)
        self.deeds.issued.connect(self.issued)
        self._room.keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _on_many_changed(self) -> None:
        self._changed = True
        self.read_again()

    @Slot()
    def _on_new_left(self) -> None:
        self._show(self.list.current)
        self._to_find()

    @Slot()
    def _on_new_came_back(self) -> None:
        self._show(None, new=True)
        self._to_form()

    @Slot()
    def _label(self) -> None:
        for name, button in self._buttons.items():
            button.setText(button_words(f"{OF_DIRECTORY[name]}  {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._left.setContentsMargins(px(0.8), px(0.6), px(0.8), px(0.6))
        self._left.setSpacing(px(0.3))
        self._flow.setSpacing(px(0.4))
        self._fold()

    def _fold(self) -> None:
        """List and practice side by side, or the one that has the keys."""
        px = self._room.look.px
        roomy = self.width() >= px(ROOMY)
        in_form = self.form.isAncestorOf(self.focusWidget()) if self.focusWidget() else False
        self.left_side.setVisible(roomy or not in_form)
        self.right_side.setVisible(roomy or in_form)
        self.left_side.setMinimumWidth(min(px(24), self.width() * 2 // 5) if roomy else 0)
        self.left_side.setMaximumWidth(self.left_side.minimumWidth() if roomy else QWIDGETSIZE_MAX)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self._changed:
            self._changed = False
            self.directory_changed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc takes a step back: from what is typed in a field, the practice, what is looked for, then the place."""
        if event.key() != Qt.Key.Key_Escape:
            super().keyPressEvent(event)
        elif self.form.place is not None and self.form.touched(self.form.place) and not self.keeping.is_new:
            self.keeping.put_back(self.form.place)
        elif self.keeping.is_new:
            self.keeping.leave_new()
        elif self.form.isAncestorOf(self.focusWidget()):
            self._to_find()
        elif self.finder.text():
            self.finder.clear()
            self._on_typed("")
        else:
            event.ignore()
