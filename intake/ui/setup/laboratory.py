"""The page Laboratory of Lab setup: every single setting as a field, found by typing a word of it."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QScrollArea, QVBoxLayout, QWidget

from intake.errors import IntakeError
from intake.setup.laboratory_settings import GROUPS, settings_found
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.entries.panel import EntryPanel
from intake.ui.setup.settings import asked
from intake.ui.setup.settings.field import SettingField
from intake.ui.setup.settings.group_view import GroupView
from intake.ui.setup.settings.keeping import SettingsKept

if TYPE_CHECKING:
    from intake.desk.desk import Desk

FIND = "Find a setting: a word of it, such as queue, port or again"
FIND_HELP = "Shows the settings that have these words in their name or in what they mean. Esc shows all of them again."
NOTHING = "No setting has these words. Categories, benches and appliances are on the page Work and benches."
ROOMY = 46
"""From this width on, in heights of text, the names stand beside the fields."""


class LaboratoryPage(QWidget):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self._desk: Desk | None = None
        self._queues = Latest(room.jobs)
        self.search = QLineEdit(self)
        self.nothing = Words(NOTHING, ink="quiet", wraps=True)
        self.form = QWidget()
        self._to_make = list(GROUPS)
        self._made: list[GroupView] = []
        self._kept = SettingsKept((), draft, self)
        self._stale = True
        self._soon = QTimer(self)  # a hundred fields at once would keep the window from answering
        self._soon.timeout.connect(self._make_one)
        self._lay_out()
        self._connect()
        self._make_one()
        self._soon.start()

    @property
    def groups(self) -> list[GroupView]:
        """All groups; those that are not made yet are made now."""
        while self._to_make:
            self._make_one()
        return self._made

    @property
    def fields(self) -> dict[str, SettingField]:
        """All fields by the names of their settings."""
        return {name: field for group in self.groups for name, field in group.fields.items()}

    @property
    def panels(self) -> list[EntryPanel]:
        """All lists."""
        return [panel for group in self.groups for panel in group.panels]

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        if self.isVisible():
            self.read_again()

    @Slot()
    def show_setup(self) -> None:
        """Shows the draft as it is now, once it can be seen; what is half typed stays."""
        self._stale = not self.isVisible()
        if not self._stale:
            self._kept.show_setup()
            for group in self._made:
                for panel in group.panels:
                    panel.show_setup()

    @Slot()
    def read_again(self) -> None:
        """Comes into view: the print queues may be others meanwhile."""
        if self._desk is not None:
            self._queues.ask(partial(asked.queue_names, self._desk), self._on_queues, self._trouble)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self.show_setup()

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._soon.stop()
        self._queues.forget()

    def row_new(self) -> None:
        """Begins a new entry of the list in hand."""
        if panel := self._panel:
            panel.row_new()

    def row_out(self) -> None:
        """Takes the chosen entry out."""
        if panel := self._panel:
            panel.row_out()

    def row_up(self) -> None:
        """Moves the chosen entry up."""
        if panel := self._panel:
            panel.move_row(-1)

    def row_down(self) -> None:
        """Moves the chosen entry down."""
        if panel := self._panel:
            panel.move_row(1)

    @property
    def _panel(self) -> EntryPanel | None:
        """The list that has the keys."""
        focus = QApplication.focusWidget()
        panel = next((each for each in self.panels if focus is not None and each.isAncestorOf(focus)), None)
        if panel is None:
            self._room.news.tell("Go to one of the lists first, with Tab or by typing a word of it above.")
        return panel

    def _on_queues(self, names: tuple[str, ...]) -> None:
        for field in self.fields.values():
            if field.setting.offers == "queues":
                field.offer(names)

    @Slot(object)
    def _choose_logo(self, field: SettingField) -> None:
        if self._desk is None:
            return
        dialog = QFileDialog(self, "Choose the logo", str(Path.home()), "Pictures (*.png *.jpg *.jpeg)")
        dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(partial(self.take_logo, field))
        dialog.open()

    def take_logo(self, field: SettingField, file: str) -> None:
        """Takes a picture as the logo."""
        assert self._desk is not None, "a logo is chosen once there is a desk"

        def done(name: str) -> None:
            field.put(name)
            self._kept.take(field)

        self._room.jobs.run(partial(asked.take_logo, self._desk, Path(file)), done, lambda why: field.say(str(why)))

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot()
    def _filter(self) -> None:
        words = self.search.text()
        names = {setting.name for setting in settings_found(words)}
        any_shown = [group.show_only(names, words) for group in self.groups]
        self.nothing.setVisible(not any(any_shown))

    def _lay_out(self) -> None:
        self.search.setPlaceholderText(FIND)
        self.search.setAccessibleName("Find a setting")
        self.search.setClearButtonEnabled(False)
        set_help(self.search, FIND_HELP)
        self._rows = QVBoxLayout(self.form)
        self._rows.addStretch(1)
        self._scroll = QScrollArea(self)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setWidget(self.form)
        self._column = QVBoxLayout(self)
        for part in (self.search, self.nothing, self._scroll):
            self._column.addWidget(part)
        self.nothing.hide()
        self.setFocusProxy(self.search)
        self._fit()

    def _connect(self) -> None:
        self.search.textChanged.connect(self._filter)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _make_one(self) -> None:
        """Makes the next group; Tab goes from the last field of one to the first of the next."""
        if not self._to_make:
            self._soon.stop()
            return
        group = GroupView(self._to_make.pop(0), self._room, self._draft, self.form)
        self._made.append(group)
        self._rows.insertWidget(self._rows.count() - 1, group)
        group.set_roomy(self._roomy)
        for field in group.fields.values():
            self._kept.keep(field)
            field.choose.connect(self._choose_logo)
            field.edit.installEventFilter(self)
        for panel in group.panels:
            panel.view.installEventFilter(self)
            panel.show_setup()

    @property
    def _roomy(self) -> bool:
        return self.width() >= self._room.look.px(ROOMY)

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setContentsMargins(px(1), px(0.7), 0, 0)
        self._column.setSpacing(px(0.6))
        self._rows.setContentsMargins(0, px(0.2), px(1), px(1))
        self._rows.setSpacing(px(1.6))
        self.search.setMaximumWidth(max(px(8), min(px(34), self.width() - 2 * px(1))))
        for group in self._made:
            group.set_roomy(self._roomy)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """What gets the keys is scrolled into view, with what is said under it."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            shown = watched.parentWidget()
            QTimer.singleShot(0, self, partial(self._show, shown if isinstance(shown, SettingField) else watched))
        return super().eventFilter(watched, event)

    def _show(self, what: QWidget) -> None:
        self._scroll.ensureWidgetVisible(what, 0, self._room.look.px(2))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc takes back what is half typed first, then shows all settings again; then it is the place's."""
        if event.key() == Qt.Key.Key_Escape and not event.modifiers():
            if self._kept.give_up():
                return
            if self.search.text():
                self.search.clear()
                self.search.setFocus()
                return
        super().keyPressEvent(event)
