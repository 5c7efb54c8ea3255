"""Tells a scanner gun from a typist: a scan works wherever the keys go, and never leaves a character behind."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QGuiApplication, QKeyEvent, QWindow
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

from intake.ui.text_field import Restore, as_it_is, text_field

GAP_MS = 50
"""A gun's characters follow one another within this time, a typist's hardly ever do."""
PREFIXED_GAP_MS = 100
"""After the prefix a slow gun, one on a radio for instance, may take this long."""
LET_GO_MS = 60
"""After this long without a further character a burst is over: it was a scan without an end key, or typing."""
END_MS = 120
"""So long after a scan another end key belongs to it: some guns send two, and some are slow to send theirs."""
LEAST, MOST = 6, 256
"""So many characters make a code."""
AGAIN_MS = 2000
"""The same code within this time is one scan: the trigger was held."""
ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)
SILENT = (
    Qt.Key.Key_Shift,
    Qt.Key.Key_CapsLock,
    Qt.Key.Key_AltGr,
    Qt.Key.Key_Control,
    Qt.Key.Key_Alt,
    Qt.Key.Key_NumLock,
)
"""Keys that say nothing by themselves: a gun sends Shift before every capital."""
TYPING = (
    Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.GroupSwitchModifier
)
ALT_GR = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
"""As some systems report AltGr, which many layouts need for the bracket of a symbology identifier."""
SEPARATOR = "\x1d"
"""What stands between two parts of a GS1 barcode."""


@dataclass
class _Burst:
    """Characters that came fast, one after the other."""

    text: str = ""
    last: int = 0
    window: QWindow | None = None
    held: list[QKeyEvent] = field(default_factory=list)
    restore: Restore | None = None


class Scanner(QObject):
    """Watches the keys of every window and picks the scans out.

    A scan ends on Enter or Tab; a burst that ends without is one when its code is sound, or when it began with the
    prefix. The first character of a burst goes to its field at once, since nobody can know yet; it is taken back, with
    its trace in the field's undo, when the burst turns out to be a scan. The characters after it are held back. The
    filter sits on windows, not on the application: there it would run for every event of every widget.

    Args:
        refusal: Says why a code cannot be taken; empty or None when it can.
        sound: Whether a code proves itself, by check digits for instance; without, when it is not refused.
        prefix: What the gun sends first, if it was set up so; upper and lower case are one.
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
        sound: Callable[[str], bool] | None = None,
    ) -> None:
        super().__init__(parent)
        self.prefix = prefix
        self._refusal, self._clock, self._beep = refusal, clock, beep
        self._sound = sound or (lambda code: not refusal(code))
        self._burst = _Burst()
        self._window: QWindow | None = None
        self._letting_go = False
        self._last_code, self._last_time = "", -AGAIN_MS
        self._ended = -END_MS - 1
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._last_look = QTimer(self)
        self._last_look.setSingleShot(True)
        self._timer.timeout.connect(partial(self._last_look.start, 0))
        self._last_look.timeout.connect(self._conclude)

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
        """Keys can go to another window in the middle of a burst: the first character may open a list, for instance."""
        if window is not None:
            window.installEventFilter(self)  # a window that has it already is not filtered twice
        else:
            self._conclude()
            if self._window is not None and isValid(self._window):
                self._window.removeEventFilter(self)
        self._window = window

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() != QEvent.Type.KeyPress or self._letting_go or not isinstance(event, QKeyEvent):
            return False
        return self._press(event)

    def _press(self, event: QKeyEvent) -> bool:
        """Takes one key press; returns whether it is kept from its field."""
        if event.key() in SILENT:
            return False
        now, burst = self._clock(event), self._burst
        if burst.text and now - burst.last > self._gap:
            self._conclude()
        ends = event.key() in ENDS and not event.modifiers() & ~TYPING
        sign = "" if ends else self._sign(event)
        if event.isAutoRepeat() or not (ends or sign):
            self._conclude()
            return False
        return self._end(now) if ends else self._add(event, sign, now)

    def _sign(self, event: QKeyEvent) -> str:
        """The character of a code that a key gives; empty where it gives none."""
        text, others = event.text(), event.modifiers() & ~TYPING
        if text == SEPARATOR and self._burst.text:
            return text
        is_typed = not others or others == ALT_GR
        return text if is_typed and len(text) == 1 and text.isprintable() and not text.isspace() else ""

    @property
    def _gap(self) -> int:
        """How long the next character of the burst may take."""
        begun = self._burst.text.casefold()
        is_slow = self.prefix and (self._is_prefixed or self.prefix.casefold().startswith(begun))
        return PREFIXED_GAP_MS if is_slow else GAP_MS

    @property
    def _is_prefixed(self) -> bool:
        return bool(self.prefix) and self._burst.text.casefold().startswith(self.prefix.casefold())

    @property
    def _code(self) -> str:
        return self._burst.text[len(self.prefix) :] if self._is_prefixed else self._burst.text

    def _add(self, event: QKeyEvent, sign: str, now: int) -> bool:
        if len(self._burst.text) >= MOST:
            self._let_go()
        burst, first = self._burst, not self._burst.text
        burst.text += sign
        burst.last = now
        # In a list that hangs open a character does something else than being written.
        target = None if QApplication.activePopupWidget() else text_field(QApplication.focusWidget())
        if first:
            burst.window = self._window
        if first and target is not None and not self._is_prefixed:
            burst.restore = as_it_is(target)
            return False
        burst.held.append(event.clone())
        self._last_look.stop()
        self._timer.start(self._gap - GAP_MS + LET_GO_MS)
        return True

    def _end(self, now: int) -> bool:
        """An end key: after a code it ends a scan; whether it is kept from its field."""
        if not self._burst.text:
            return now - self._ended <= END_MS
        return self._take(now, ended=True)

    @Slot()
    def _conclude(self) -> None:
        """No character came for a while: the burst ends without an end key.

        It is called one turn of events after the time is up: what a busy window has not looked at yet comes first.
        """
        if self._burst.text:
            self._take(self._burst.last, ended=False)

    def _take(self, now: int, ended: bool) -> bool:
        """Ends the burst as a scan or as typing; returns whether it was a scan."""
        code, typed = self._code, self._typed_before(ended)
        if typed is None:
            self._let_go()
            return False
        burst, self._burst = self._burst, _Burst()
        self._timer.stop()
        self._last_look.stop()
        self._ended = now
        if any(sign.isalpha() for sign in code[:typed]):
            self._hand_on(burst, burst.held[: typed if burst.restore is None else typed - 1])
        elif burst.restore is not None:
            burst.restore()
        self._report(code[typed:], now)
        return True

    def _typed_before(self, ended: bool) -> int | None:
        """How many signs of a burst come before its code; None where all of it was typed.

        They are letters that were typed just before the gun began, or signs that the gun sends and nobody set up.
        """
        code = self._code
        if len(code) < LEAST:
            return None
        digits = next((at for at, sign in enumerate(code) if sign.isdigit()), None)
        looks_so = ended and digits is not None
        if self._is_prefixed or (looks_so and not self._refusal(code)):
            return 0
        letters = min(len(code) - LEAST, len(code) if digits is None else digits)
        sound = next((at for at in range(letters + 1) if self._sound(code[at:])), None)
        return 0 if sound is None and looks_so else sound

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

    def _let_go(self) -> None:
        """It was typing: what was held back goes to where it was going."""
        burst, self._burst = self._burst, _Burst()
        self._timer.stop()
        self._last_look.stop()
        self._hand_on(burst, burst.held)

    def _hand_on(self, burst: _Burst, held: Sequence[QKeyEvent]) -> None:
        self._letting_go = True
        for event in held:
            if burst.window is not None and isValid(burst.window):
                QCoreApplication.sendEvent(burst.window, event)
        self._letting_go = False
