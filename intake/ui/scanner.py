"""Tells a scanner gun from a typist: a scan works wherever the keys go, and never leaves a character behind."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QGuiApplication, QKeyEvent, QWindow
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

from intake.ui.text_field import Restore, as_it_is, text_field

GAP_MS = 50
"""A gun's characters follow one another within this time, a typist's hardly ever do."""
PREFIXED_GAP_MS = 100
"""After the prefix character a slow gun, one on a radio for instance, may take this long."""
LET_GO_MS = 60
"""After this long without a further character, what was held back goes to its field as typing."""
LEAST, MOST = 6, 64
"""So many characters make a code."""
AGAIN_MS = 2000
"""The same code within this time is one scan: the trigger was held."""
ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)
TYPING = (
    Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.GroupSwitchModifier
)


@dataclass
class _Burst:
    """Characters that came fast, one after the other."""

    text: str = ""
    last: int = 0
    held: list[QKeyEvent] = field(default_factory=list)
    restore: Restore | None = None


class Scanner(QObject):
    """Watches the keys of every window and picks the scans out.

    The first character of a burst goes to its field at once, since nobody can know yet; it is taken back, with its
    trace in the field's undo, when the burst turns out to be a scan. The characters after it are held back. The filter
    sits on windows, not on the application: there it would run for every event of every widget.

    Args:
        refusal: Says why a code is not one of the lab's numbers; empty or None when it is.
        prefix: A character that the gun sends first, if it was set up so.
        clock: The time of a key press in milliseconds.
        beep: The sound of a bad scan.
        parent: The owner.
    """

    scanned = Signal(str)
    bad_scan = Signal(str, str)

    def __init__(
        self,
        refusal: Callable[[str], str | None],
        prefix: str = "",
        clock: Callable[[QKeyEvent], int] = QKeyEvent.timestamp,
        beep: Callable[[], None] = QApplication.beep,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.prefix = prefix
        self._refusal, self._clock, self._beep = refusal, clock, beep
        self._burst = _Burst()
        self._window: QWindow | None = None
        self._letting_go = False
        self._last_code, self._last_time = "", -AGAIN_MS
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._let_go)

    def start(self, app: QGuiApplication) -> None:
        """Begins to watch the window that has the keys, and each that gets them later."""
        app.focusWindowChanged.connect(self._watch)
        self._watch(app.focusWindow())

    def stop(self, app: QGuiApplication) -> None:
        """Watches no window any more; what was held back goes to its field."""
        app.focusWindowChanged.disconnect(self._watch)
        self._watch(None)

    @Slot(QWindow)
    def _watch(self, window: QWindow | None) -> None:
        self._let_go()
        if window is not None:
            window.installEventFilter(self)  # a window that has it already is not filtered twice
        elif self._window is not None and isValid(self._window):
            self._window.removeEventFilter(self)
        self._window = window

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() != QEvent.Type.KeyPress or self._letting_go or not isinstance(event, QKeyEvent):
            return False
        return self._press(event)

    def _press(self, event: QKeyEvent) -> bool:
        """Takes one key press; returns whether it is kept from its field."""
        ends = event.key() in ENDS
        if event.isAutoRepeat() or event.modifiers() & ~TYPING or not (ends or _is_code(event.text())):
            self._let_go()
            return False
        if self._burst.text and self._clock(event) - self._burst.last > self._gap:
            self._let_go()
        if ends:
            return self._end(event)
        return self._add(event)

    @property
    def _gap(self) -> int:
        return PREFIXED_GAP_MS if self._prefixed else GAP_MS

    @property
    def _prefixed(self) -> bool:
        return bool(self.prefix) and self._burst.text.startswith(self.prefix)

    def _add(self, event: QKeyEvent) -> bool:
        burst, first = self._burst, not self._burst.text
        burst.text += event.text()
        burst.last = self._clock(event)
        if len(burst.text) > MOST:
            self._let_go()
            return False
        target = None if QApplication.activePopupWidget() else text_field(QApplication.focusWidget())
        if first and target is not None and not self._prefixed:
            burst.restore = as_it_is(target)
            return False
        burst.held.append(event.clone())
        self._timer.start(self._gap - GAP_MS + LET_GO_MS)
        return True

    def _end(self, event: QKeyEvent) -> bool:
        code = self._burst.text.removeprefix(self.prefix) if self._prefixed else self._burst.text
        if len(code) < LEAST or not (self._prefixed or any(sign.isdigit() for sign in code)):
            self._let_go()
            return False
        burst, self._burst = self._burst, _Burst()
        self._timer.stop()
        typed = self._typed_before(code)
        if typed:
            self._hand_on(burst.held[: typed if burst.restore is None else typed - 1])
        elif burst.restore is not None:
            burst.restore()
        self._report(code[typed:], self._clock(event))
        return True

    def _typed_before(self, code: str) -> int:
        """How many signs of a burst were typed just before the gun began: letters, with a sound number behind them."""
        digits = next((at for at, sign in enumerate(code) if sign.isdigit()), 0)
        return digits if self._refusal(code) and not self._refusal(code[digits:]) else 0

    def _report(self, code: str, now: int) -> None:
        again = code == self._last_code and now - self._last_time < AGAIN_MS
        self._last_code, self._last_time = code, now
        if again:
            return
        if why := self._refusal(code):
            self._beep()
            self.bad_scan.emit(code, why)
        else:
            self.scanned.emit(code)

    @Slot()
    def _let_go(self) -> None:
        """It was typing: what was held back goes to where it was going."""
        burst, self._burst = self._burst, _Burst()
        self._timer.stop()
        self._hand_on(burst.held)

    def _hand_on(self, held: Sequence[QKeyEvent]) -> None:
        self._letting_go = True
        for event in held:
            if self._window is not None:
                QCoreApplication.sendEvent(self._window, event)
        self._letting_go = False


def _is_code(text: str) -> bool:
    return len(text) == 1 and text.isprintable() and not text.isspace()
