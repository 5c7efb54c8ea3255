"""Files that are dropped: taken wherever they fall, on a field too."""

from collections.abc import Iterable
from pathlib import Path

from PySide6.QtCore import QEvent, QMimeData, QObject, Signal
from PySide6.QtGui import QDropEvent


class Drops(QObject):
    """Takes the files that are dropped on a widget, or on the window of the system with everything in it.

    Args:
        target: What they are dropped on.
        parent: The owner; the window of the system is nobody's, since it goes before the widgets in it do.
    """

    dropped = Signal(object)
    """The paths of the files and folders."""

    def __init__(self, target: QObject, parent: QObject) -> None:
        super().__init__(parent)
        target.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # A drag over a window begins with DragEnter, and every step of it is asked for again by DragMove.
        if not isinstance(event, QDropEvent) or not (paths := tuple(_files(event.mimeData()))):
            return False
        event.acceptProposedAction()
        if event.type() == QEvent.Type.Drop:
            self.dropped.emit(paths)
        return True


def _files(dragged: QMimeData) -> Iterable[Path]:
    return (Path(url.toLocalFile()) for url in dragged.urls() if url.isLocalFile())
