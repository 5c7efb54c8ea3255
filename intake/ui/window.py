"""The window: a rail of places on the left, the place in view, help when it is asked for, and the news below."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, QSettings, Qt, Signal, Slot
from PySide6.QtGui import QAction, QActionGroup, QCloseEvent, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QMenu, QStackedWidget, QVBoxLayout, QWidget

from intake.ui.actions import MENUS
from intake.ui.desk_line import DeskLine
from intake.ui.help_panel import HelpPanel
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.plain import Words
from intake.ui.rail import Rail

USUAL = QRect(40, 40, 1280, 700)
SCHEMES = ("system", "light", "dark")


@dataclass(frozen=True)
class Place:
    """A place of the window.

    Attributes:
        name: Its name in the code and in the settings.
        words: What the rail says.
        action: The id of the action that goes there.
        purpose: What it is for and what to press next; shown until the place is filled.
        make: Builds its widget, after the window has been painted.
    """

    name: str
    words: str
    action: str
    purpose: str
    make: Callable[[], QWidget]


class Window(QMainWindow):
    """The main window. It is shown empty, so that it is there at once; `fill` puts the places in.

    Args:
        places: The places, in the order of the rail.
        look: The look.
        keys: The actions and their keys.
        settings: Where the window's state is kept.
    """

    painted = Signal()
    place_shown = Signal(str)
    closing = Signal()
    _first_paint = Signal()

    def __init__(self, places: Sequence[Place], look: Look, keys: Keys, settings: QSettings) -> None:
        super().__init__()
        self.setWindowTitle("Intake")
        self._places = {place.name: place for place in places}
        self._look, self._keys, self._settings = look, keys, settings
        self._was_painted = False
        self._widgets: dict[str, QWidget] = {}
        self._filled: set[str] = set()
        self._stack = QStackedWidget(self)
        self.rail = Rail(look, self)
        self.help = HelpPanel(look, keys.shown("help"), self)
        self.news = News(look, keys, self)
        self.desk_line = DeskLine(look, keys, settings, self)
        self.memory = Memory(settings, self)
        self._lay_out()
        self._add_places()
        self._add_menus()
        self._connect()
        self.memory.bring_back(self, USUAL)
        self.show_place(str(settings.value("window/place", "")))

    def set_place(self, name: str, widget: QWidget) -> None:
        """Puts a place's widget in; it takes the focus if the place is in view."""
        before = self._widgets[name]
        in_view = self._stack.currentWidget() is before
        self._widgets[name] = widget
        self._stack.insertWidget(self._stack.indexOf(before), widget)
        self._stack.removeWidget(before)
        before.deleteLater()
        if in_view:
            self.show_place(name)

    def fill(self) -> None:
        """Builds every place, the one in view first."""
        self.fill_in_view()
        self.fill_the_rest()

    def fill_in_view(self) -> None:
        """Builds the place in view, which can be typed into from then on."""
        self.set_place(self.place, self._places[self.place].make())
        self._filled.add(self.place)

    def fill_the_rest(self) -> None:
        """Builds the places that are not in view."""
        for place in self._places.values():
            if place.name not in self._filled:
                self.set_place(place.name, place.make())
                self._filled.add(place.name)

    @property
    def place(self) -> str:
        """The name of the place in view."""
        shown = self._stack.currentWidget()
        return next(name for name, widget in self._widgets.items() if widget is shown)

    @property
    def in_view(self) -> QWidget:
        """The place in view."""
        return self._widgets[self.place]

    def show_place(self, name: str) -> None:
        """Brings a place into view and takes the keys there; the first place when there is none of that name."""
        name = name if name in self._places else next(iter(self._places))
        self._stack.setCurrentWidget(self._widgets[name])
        self.rail.show_place(name)
        self._keys.enter_place(name)
        self._widgets[name].setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.place_shown.emit(name)

    def _lay_out(self) -> None:
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self.rail)
        middle.addWidget(self._stack, 1)
        whole = QWidget(self)
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(middle, 1)
        column.addWidget(self.help)
        column.addWidget(self.news)
        self.news.aside.addWidget(self.desk_line)
        self.setCentralWidget(whole)

    def _add_places(self) -> None:
        ways = QActionGroup(self)
        ways.setExclusionPolicy(QActionGroup.ExclusionPolicy.None_)
        ways.triggered.connect(self._on_go)
        for place in self._places.values():
            self._widgets[place.name] = told(place.purpose)
            self._stack.addWidget(self._widgets[place.name])
            self.rail.add(place.name, place.words, self._keys.shown(place.action))
            ways.addAction(self._keys.action(place.action)).setData(place.name)

    def _add_menus(self) -> None:
        menus: dict[str, QMenu] = {title: self.menuBar().addMenu(title) for title in MENUS}
        for row in self._keys.table:
            menu = menus[row.menu]
            if row.group is not None:
                if row.group not in menus:
                    menus[row.group] = menu.addMenu(row.group)
                menu = menus[row.group]
            menu.addAction(self._keys.action(row.id))
        schemes = QActionGroup(self)
        for scheme in SCHEMES:
            action = schemes.addAction(self._keys.action(f"scheme-{scheme}"))
            action.setCheckable(True)
            action.setData(scheme)
            action.setChecked(scheme == self._look.scheme)
        schemes.triggered.connect(self._on_scheme)

    def _connect(self) -> None:
        action = self._keys.action
        self.rail.chosen.connect(self.show_place)
        action("larger").triggered.connect(self._look.larger)
        action("smaller").triggered.connect(self._look.smaller)
        action("usual-size").triggered.connect(self._look.usual_size)
        action("help").triggered.connect(self.help.toggle)
        action("keys").triggered.connect(self._on_keys)
        action("leave").triggered.connect(self.close)
        action("leave").setMenuRole(QAction.MenuRole.QuitRole)
        self._keys.changed.connect(self._on_keys_changed)
        self._first_paint.connect(self.painted, Qt.ConnectionType.QueuedConnection)

    @Slot(QAction)
    def _on_go(self, action: QAction) -> None:
        self.show_place(action.data())

    @Slot(QAction)
    def _on_scheme(self, action: QAction) -> None:
        self._look.choose_scheme(action.data())

    @Slot()
    def _on_keys(self) -> None:
        from intake.ui.keys_dialog import KeysDialog  # opened seldom, and the first painted window waits for no import

        dialog = KeysDialog(self._keys, self._look, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    @Slot()
    def _on_keys_changed(self) -> None:
        for place in self._places.values():
            self.rail.label(place.name, place.words, self._keys.shown(place.action))
        self.help.name_key(self._keys.shown("help"))

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._was_painted:
            self._was_painted = True
            self._first_paint.emit()

    def closeEvent(self, event: QCloseEvent) -> None:
        self._settings.setValue("window/place", self.place)
        self.memory.save(self)
        self.closing.emit()
        super().closeEvent(event)


def told(purpose: str) -> Words:
    """What stands in a place that is not filled yet: what it is for and what to press next."""
    words = Words(purpose, ink="quiet", wraps=True)
    words.setAlignment(Qt.AlignmentFlag.AlignCenter)
    return words
