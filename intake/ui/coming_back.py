"""Whoever comes back to Arrivals finds the keys in the field where they were."""

from PySide6.QtCore import QObject, Qt, Slot
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from intake.ui.window import Window


class ComingBack(QObject):
    """Remembers which field of the form had the keys.

    Args:
        app: The application.
        window: The window.
        form: The place with the form.
        name: The name of that place.
    """

    def __init__(self, app: QApplication, window: Window, form: QWidget, name: str) -> None:
        super().__init__(window)
        self._window, self._form, self._name = window, form, name
        self._in_form: QWidget | None = None
        self._back_to: QWidget | None = None
        app.focusChanged.connect(self._on_focus)
        window.place_shown.connect(self._on_place_shown)

    def forget(self) -> None:
        """Goes back to no field: another form is about to come in."""
        self._back_to = None

    @Slot("QWidget*", "QWidget*")
    def _on_focus(self, before: QWidget | None, now: QWidget | None) -> None:
        if now is None or not self._form.isAncestorOf(now):
            return
        self._in_form = now
        if self._window.place != self._name:  # a form came in behind another place: the hands there keep the keys
            self._back_to = now
            (before or self._window.in_view).setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot(str)
    def _on_place_shown(self, name: str) -> None:
        if name != self._name:
            self._back_to = self._in_form
        elif self._back_to is not None:
            back_to, self._back_to = self._back_to, None
            if isValid(back_to) and back_to.isVisible():
                back_to.setFocus(Qt.FocusReason.OtherFocusReason)
