"""A box to tick whose access key counts at once; Qt's own shows the press for a tenth of a second first."""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QCheckBox


class Tick(QCheckBox):
    """A box to tick. Who types on before it is seen to be pressed has ticked it all the same."""

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Shortcut:
            self.setFocus(Qt.FocusReason.ShortcutFocusReason)
            self.toggle()
            return True
        return super().event(event)
