"""A photograph with a camera of this computer, where Qt's part for it is installed and a camera is there."""

from importlib import import_module
from types import ModuleType
from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QDialog, QPushButton, QVBoxLayout, QWidget

from intake.ui.plain import Words
from intake.ui.room import Room

MULTIMEDIA, WIDGETS = "PySide6.QtMultimedia", "PySide6.QtMultimediaWidgets"


def camera_there() -> bool:
    """Whether a photograph can be taken here: the part of Qt is optional, and is not shipped with Intake."""
    parts = _parts()
    return parts is not None and bool(parts[0].QMediaDevices.videoInputs())


def _parts() -> tuple[ModuleType, ModuleType] | None:
    try:
        return import_module(MULTIMEDIA), import_module(WIDGETS)
    except ImportError:
        return None


class CameraDialog(QDialog):
    """Shows what the camera sees, and takes it with Enter.

    Args:
        room: What every place shares.
        parent: The window over which it opens.
    """

    taken = Signal(QImage)

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Photograph")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        parts = _parts()
        assert parts is not None, "opened only where a camera is there"
        multimedia, widgets = parts
        self._session = multimedia.QMediaCaptureSession(self)
        self._camera = multimedia.QCamera(multimedia.QMediaDevices.defaultVideoInput(), self)
        self._capture = multimedia.QImageCapture(self)
        self._session.setCamera(self._camera)
        self._session.setImageCapture(self._capture)
        view: Any = widgets.QVideoWidget(self)
        self._session.setVideoOutput(view)
        self._capture.imageCaptured.connect(self._on_captured)
        self._capture.errorOccurred.connect(self._on_error)
        self.said = Words("", ink="held", wraps=True)
        take = QPushButton("&Take it  Enter", self)
        take.setDefault(True)
        take.clicked.connect(self._capture.capture)
        column = QVBoxLayout(self)
        column.addWidget(view, 1)
        column.addWidget(self.said)
        column.addWidget(take)
        self.resize(room.look.px(48), room.look.px(36))
        self.finished.connect(self._camera.stop)
        self._camera.start()

    @Slot(int, QImage)
    def _on_captured(self, _: int, image: QImage) -> None:
        self.taken.emit(image)
        self.accept()

    def _on_error(self, _: int, __: object, said: str) -> None:
        self.said.setText(f"The camera takes no picture: {said}")
