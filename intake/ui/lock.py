"""Keeps the window to who is signed in: a curtain over it, the question who is there, and the time without a key."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QColor, QGuiApplication, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from intake.errors import IntakeError
from intake.ui.pin_dialog import PinDialog
from intake.ui.room import Room
from intake.ui.sign_in import SignInDialog
from intake.ui.window import Window

if TYPE_CHECKING:
    from intake.desk.desk import Desk

SIGNS_OF_LIFE = frozenset(
    {
        QEvent.Type.KeyPress,
        QEvent.Type.MouseButtonPress,
        QEvent.Type.MouseMove,
        QEvent.Type.Wheel,
        QEvent.Type.TouchBegin,
    }
)
MINUTE_MS = 60_000


class Lock(QObject):
    """Asks who is at the desk, when Intake starts, when somebody wants to change over, and after a time without a key.

    Args:
        app: The application, whose keys tell that somebody is there.
        room: What every place shares.
        window: The window that is kept.
    """

    signed_in = Signal(object)
    """The desk with who is at it now."""

    def __init__(self, app: QGuiApplication, room: Room, window: Window) -> None:
        super().__init__(window)
        self._app, self._room, self._window = app, room, window
        self._desk: Desk | None = None
        self._hidden: list[QWidget] = []
        self.dialog: SignInDialog | None = None
        self.curtain = _Curtain(room, window)
        self._idle = QTimer(self)
        self._idle.setSingleShot(True)
        self._idle.timeout.connect(self.lock)
        self._watching = False
        room.keys.action("lock").triggered.connect(self.lock)
        room.keys.action("initials").triggered.connect(self._on_change)
        room.keys.action("my-pin").triggered.connect(self._on_my_pin)
        for name in ("lock", "my-pin"):
            room.keys.action(name).setEnabled(False)

    @property
    def locked(self) -> bool:
        """Whether the window is kept from whoever is there."""
        return self.curtain.isVisible()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk; whether anybody has to sign in follows the people it knows."""
        self._desk = desk
        needed = _signs_in(desk)
        self._room.keys.action("lock").setEnabled(needed)
        self._room.keys.action("my-pin").setEnabled(desk.signed_in)
        minutes = desk.lab.people.lock_minutes if needed else 0
        self._idle.setInterval(minutes * MINUTE_MS)
        if bool(minutes) != self._watching:
            self._watching = bool(minutes)
            (self._app.installEventFilter if minutes else self._app.removeEventFilter)(self)
        if minutes and not self.locked:
            self._idle.start()
        else:
            self._idle.stop()

    def needs(self, desk: "Desk") -> bool:
        """Whether somebody has to sign in before this desk is worked at; if so, they are asked."""
        known = any(person.initials == desk.person and person.active for person in desk.people)
        if not _signs_in(desk) or (known and desk.signed_in):
            return False
        self._desk = desk
        self.lock()
        return True

    @Slot()
    def lock(self) -> None:
        """Draws the curtain and asks who is there."""
        if self._desk is None or self.locked:
            return
        if self.dialog is not None:
            self.dialog.close()
        while (popup := QApplication.activePopupWidget()) is not None and popup.close():
            pass
        self._idle.stop()
        self._hidden = [
            each for each in QApplication.topLevelWidgets() if isinstance(each, QDialog) and each.isVisible()
        ]
        for each in self._hidden:
            each.hide()  # a dialog may show a patient too
        self.curtain.draw()
        self._ask(leaves=False)

    def stop(self) -> None:
        """Asks nobody any more: the window closes."""
        self._idle.stop()
        if self._watching:
            self._app.removeEventFilter(self)
        if self.dialog is not None:
            self.dialog.done(0)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in SIGNS_OF_LIFE and self._idle.isActive():
            self._idle.start()
        return False

    @Slot()
    def _on_change(self) -> None:
        """Somebody else comes to the desk."""
        if self._desk is not None and _signs_in(self._desk) and not self.locked:
            self._ask(leaves=True)

    @Slot()
    def _on_my_pin(self) -> None:
        """Whoever is at the desk chooses another PIN."""
        if self._desk is not None and self._desk.signed_in and not self.locked:
            dialog = PinDialog(self._desk.person, self._room.look, self._window)
            dialog.given.connect(partial(self._on_new_pin, dialog))
            dialog.open()

    def _on_new_pin(self, dialog: PinDialog, pin: str, again: str) -> None:
        assert self._desk is not None, "somebody is signed in"
        work = partial(_set_pin, self._desk, pin, again)
        self._room.jobs.run(work, partial(self._on_pin_set, dialog), partial(_not_kept, dialog))

    def _on_pin_set(self, dialog: PinDialog, person: str) -> None:
        dialog.accept()
        self._room.news.tell(f"{person} has a new PIN.")

    def _ask(self, leaves: bool) -> None:
        self.dialog = SignInDialog(self._room.look, self._window, leaves)
        self.dialog.given.connect(self._on_given)
        self.dialog.ended.connect(self._window.close)
        self.dialog.finished.connect(self._on_finished)
        self.dialog.open()

    @Slot(str, str)
    def _on_given(self, initials: str, pin: str) -> None:
        assert self._desk is not None, "nobody is asked before there is a desk"
        self._room.jobs.run(partial(_sign_in, self._desk, initials, pin), self._on_signed_in, self._on_refused)

    def _on_signed_in(self, desk: "Desk") -> None:
        if self.dialog is not None:
            self.dialog.done(1)
        self.curtain.hide()
        for each in self._hidden:
            each.show()
        self._hidden = []
        self._room.news.tell(f"{desk.person} is at the desk.")
        self.set_desk(desk)
        self.signed_in.emit(desk)

    def _on_refused(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        if self.dialog is not None:
            self.dialog.refuse(str(problem))

    @Slot()
    def _on_finished(self) -> None:
        self.dialog = None
        self._window.activateWindow()


class _Curtain(QWidget):
    """Covers the whole window, so that nothing of it can be read."""

    def __init__(self, room: Room, window: Window) -> None:
        super().__init__(window)
        self._room, self._window = room, window
        window.installEventFilter(self)
        self.hide()

    def draw(self) -> None:
        self.setGeometry(self._window.rect())
        self.raise_()
        self.show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self.setGeometry(self._window.rect())
        return False

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, colours = QPainter(self), self._room.look.colours
        painter.fillRect(self.rect(), QColor(colours.ground))
        painter.setPen(QColor(colours.quiet))
        painter.setFont(self._room.look.font("arm"))
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop, "\nLocked")


def _signs_in(desk: "Desk") -> bool:
    return any(person.active and person.has_pin for person in desk.people)


def _sign_in(desk: "Desk", initials: str, pin: str) -> "Desk":
    from intake.desk.people import sign_in  # it brings the database with it

    return sign_in(desk, initials, pin)


def _set_pin(desk: "Desk", pin: str, again: str) -> str:
    from intake.desk.people import set_pin  # it brings the database with it

    return set_pin(desk, desk.person, pin, again).initials


def _not_kept(dialog: PinDialog, problem: Exception) -> None:
    if not isinstance(problem, IntakeError):
        raise problem
    dialog.not_kept(str(problem))
