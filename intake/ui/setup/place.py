"""The place itself: the list of pages, the page in view, and below it what is changed and not in force yet."""

from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.ui.latest import Latest
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup import asked
from intake.ui.setup.draft import Draft
from intake.ui.setup.draft_keeping import DraftKeeping
from intake.ui.setup.foot import Foot
from intake.ui.setup.page_list import PageList
from intake.ui.setup.putting_in_force import PuttingInForce, settle

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.lab_setup import InForce
    from intake.domain.scan_codes import ScanCode

PAGES = {
    "setup-laboratory": ("Laboratory", "intake.ui.setup.laboratory", "LaboratoryPage"),
    "setup-directory": ("Directory", "intake.ui.setup.directory.page", "DirectoryPage"),
    "setup-work": ("Work and benches", "intake.ui.setup.work.page", "WorkPage"),
    "setup-colours": ("Colours", "intake.ui.setup.colours.page", "ColoursPage"),
    "setup-rules": ("Rule book", "intake.ui.setup.rules.page", "RulesPage"),
    "setup-calendar": ("Calendar", "intake.ui.setup.calendar.page", "CalendarPage"),
    "setup-texts": ("Texts", "intake.ui.setup.texts.page", "TextsPage"),
    "setup-people": ("People", "intake.ui.setup.people.page", "PeoplePage"),
    "setup-editions": ("Editions", "intake.ui.setup.editions.page", "EditionsPage"),
}
"""Each page by the action that goes there: its name, and the module and class that make it when it is first shown."""
ROWS = ("row-new", "row-out", "row-up", "row-down")
UNCHANGED, CHANGED = "As it is in force.", "Changed, and not in force yet."
ROOMY = 54
"""From this width on, in heights of text, the list of pages has room of its own."""
TOLD = ("issued", "directory_changed", "people_changed")
"""What a page tells that goes beyond Lab setup."""


class LabSetup(QWidget):
    """Lab setup.

    Args:
        room: What every place shares.
        lab: The lab setup in force.
    """

    issued = Signal(object)
    """The documents that were handed to the printer: a tuple of `Issued`."""
    left = Signal()
    """The desk goes back to where it was."""
    in_force = Signal(object)
    """The desk with another setup: everything that shows the setup has to be made anew."""

    people_changed = Signal(object)
    """The desk, knowing who works at it now."""

    directory_changed = Signal()
    """Practices came into the directory, went or changed."""

    def __init__(self, room: Room, lab: Lab) -> None:
        super().__init__()
        self._room = room
        self._desk: Desk | None = None
        self.draft = Draft(lab, self)
        self.page_by_name: dict[str, Any] = {}
        self._files = Latest(room.jobs)
        self._offers_undo = False
        self.keeping = DraftKeeping(room, self.draft, self)
        self.putting = PuttingInForce(room, self.draft, self)
        self._lay_out()
        self._connect()
        self._label()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        first = self._desk is None
        self._desk = self.keeping.desk = self.putting.desk = desk
        for page in self.page_by_name.values():
            page.set_desk(desk)
        if desk.folder is None:  # such a desk has no setup that could be changed
            return
        if first:
            self._files.ask(partial(asked.begin_first, desk), self._on_begun, self.trouble)
        elif self.draft.ready and desk.edition not in (None, self.draft.edition):
            self._files.ask(partial(asked.begin, desk), self._on_meanwhile, self.trouble)

    @Slot()
    def read_again(self) -> None:
        """Comes into view: what is shown may have changed meanwhile."""
        self.show_page(self.page_name or next(iter(PAGES)))

    def take_code(self, code: "ScanCode") -> bool:
        """Takes a code that was scanned while the place is in view, where the page wants it."""
        take = getattr(self.page, "take_code", None)
        return bool(take is not None and take(code))

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        settle(self)
        self.keeping.keep_now()
        self._files.forget()
        for page in self.page_by_name.values():
            page.forget()

    @property
    def page_name(self) -> str:
        """The name of the page in view; empty before the first."""
        row = self.list.currentRow()
        return list(PAGES)[row] if row >= 0 else ""

    @property
    def page(self) -> Any:
        """The page in view."""
        return self.page_by_name.get(self.page_name)

    def show_page(self, name: str) -> None:
        """Brings a page into view; it is made the first time."""
        if name not in self.page_by_name:
            _, module, kind = PAGES[name]
            made = getattr(import_module(module), kind)(self._room, self.draft)
            self.page_by_name[name] = made
            self.stack.addWidget(made)
            for told in TOLD:
                if hasattr(made, told):
                    getattr(made, told).connect(getattr(self, told))
            if hasattr(made, "in_force_wanted"):
                made.in_force_wanted.connect(self.putting.begin)
            if self._desk is not None:
                made.set_desk(self._desk)
            made.show_setup()
        with QSignalBlocker(self.list):
            self.list.setCurrentRow(list(PAGES).index(name))
        self.stack.setCurrentWidget(self.page_by_name[name])
        self.setFocusProxy(self.page_by_name[name])
        self._enable_rows()
        self._label()
        if self._desk is not None:
            self.page_by_name[name].read_again()

    @Slot()
    def put_in_force(self) -> None:
        """Puts what is changed in force, with a word on why."""
        self.putting.begin()

    @Slot()
    def throw_away(self) -> None:
        """Goes back to what is in force; the way back is offered."""
        settle(self)
        if self._desk is not None and self.draft.is_changed:
            was = self.draft.text
            self._files.ask(partial(asked.begin, self._desk), partial(self._on_thrown_away, was), self.trouble)

    def trouble(self, problem: Exception) -> None:
        """Says what went wrong, where it is a sentence for the desk."""
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def _on_begun(self, begun: asked.Begun) -> None:
        self.draft.begin(begun.file, begun.lab, begun.parsed)
        if begun.kept is not None:
            self.keeping.bring_back(begun.kept)

    def _on_meanwhile(self, begun: asked.Begun) -> None:
        """Another setup came in force."""
        if self.draft.is_changed:
            self.keeping.go_on_from(begun)
        else:
            self._on_begun(begun)

    def _on_thrown_away(self, was: str, begun: asked.Begun) -> None:
        self._on_begun(begun)
        self._room.news.offer_undo("The setup is as it was.", partial(self.draft.replace, was), "the changes")

    @Slot(object)
    def _on_in_force(self, done: "InForce") -> None:
        self._desk, self._offers_undo = done.desk, False  # the way back that is on offer now is another one
        self.keeping.is_settled()
        if done.text == self.draft.text:
            self.draft.is_in_force(done.edition)
        else:
            self._files.ask(partial(asked.begin, done.desk), self._on_begun, self.trouble)
        self.in_force.emit(done.desk)

    @Slot()
    def _on_changed(self) -> None:
        for page in self.page_by_name.values():
            page.show_setup()
        self._say()
        if self.draft.can_undo:
            self._offers_undo = True
            self._room.news.offer_undo("", self.draft.undo, "the last change of the setup")
        elif self._offers_undo:
            self._offers_undo = False
            self._room.news.withdraw_undo()

    def _say(self) -> None:
        """Says in the foot how the draft stands."""
        draft, problems = self.draft, self.draft.problems
        said = draft.problem or (CHANGED if draft.is_changed else UNCHANGED)
        if problems:
            said = problems[0].said + (f" ({len(problems) - 1} more, see Editions)" if len(problems) > 1 else "")
        self.foot.show_state(said, bool(draft.problem), draft.is_changed)

    @Slot()
    def _between(self) -> None:
        """Between the list of pages and the page."""
        if self.list.hasFocus() and self.page is not None:
            self.page.setFocus(Qt.FocusReason.ShortcutFocusReason)
        else:
            self.list.take_keys()

    def _move_page(self, step: int) -> None:
        names = list(PAGES)
        self.show_page(names[(names.index(self.page_name or names[0]) + step) % len(names)])
        self.page.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _on_row(self, name: str) -> None:
        deed = getattr(self.page, name.replace("-", "_"), None)
        if deed is not None:
            deed()

    def _enable_rows(self) -> None:
        for name in ROWS:
            self._room.keys.action(name).setEnabled(hasattr(self.page, name.replace("-", "_")))

    @Slot(int)
    def _on_listed(self, row: int) -> None:
        if row >= 0:
            self.show_page(list(PAGES)[row])

    def _lay_out(self) -> None:
        self.list = PageList([words for words, _, _ in PAGES.values()], self._room.look, self)
        self.title = Words("", bold=True)
        self.stack = QStackedWidget(self)
        self.foot = Foot(self._room, self)
        self.said = self.foot.said
        right = QVBoxLayout()
        right.setSpacing(0)
        right.addWidget(self.title)
        right.addWidget(self.stack, 1)
        right.addWidget(self.foot)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.list)
        whole.addLayout(right, 1)
        self._fit()

    def _connect(self) -> None:
        action = self._room.keys.action
        for name in PAGES:
            action(name).triggered.connect(partial(self.show_page, name))
        for name in ROWS:
            action(name).triggered.connect(partial(self._on_row, name))
        action("setup-pages").triggered.connect(self._between)
        action("setup-page-before").triggered.connect(partial(self._move_page, -1))
        action("setup-page-after").triggered.connect(partial(self._move_page, 1))
        action("setup-in-force").triggered.connect(self.put_in_force)
        action("setup-throw-away").triggered.connect(self.throw_away)
        self.list.currentRowChanged.connect(self._on_listed)
        self.list.entered.connect(self._between)
        self.draft.changed.connect(self._on_changed)
        self.putting.done.connect(self._on_in_force)
        self.putting.issued.connect(self.issued)
        self._room.keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _label(self) -> None:
        name = PAGES[self.page_name][0] if self.page_name else ""
        self.title.setText(f"{name}   {self._room.keys.shown('setup-pages')}")

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot()
    def _fit(self) -> None:
        """Where the window is narrow the list of pages makes room, and the page has its name above it."""
        px = self._room.look.px
        folds = self.width() < px(ROOMY)
        self.list.fit(folds)
        self.title.setVisible(folds)
        self.title.setContentsMargins(px(1), px(0.3), px(1), 0)

    def minimumSizeHint(self) -> QSize:
        return QSize(self._room.look.px(22), self._room.look.px(16))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)
