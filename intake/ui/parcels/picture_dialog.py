"""A photograph, as large as there is room; Page Down goes on to the next."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QImage, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget
from shiboken6 import isValid

from intake.ui.parcels import asked
from intake.ui.parcels.draft import Picture
from intake.ui.plain import Words
from intake.ui.room import Room

STEPS = {
    Qt.Key.Key_PageDown: 1,
    Qt.Key.Key_PageUp: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Left: -1,
}
FINEST = QSize(2400, 2400)
READING, NONE = "Reading the photograph …", "This is no photograph that can be shown."


class PictureDialog(QDialog):
    """Shows photographs large, one at a time.

    Args:
        room: What every place shares.
        pictures: The photographs.
        first: The one to begin with.
        parent: The window over which it opens.
    """

    def __init__(self, room: Room, pictures: Sequence[Picture], first: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._room, self._pictures, self.at = room, tuple(pictures), first
        self.sheet = _Sheet(room, self)
        self.title = Words("", wraps=True)
        self.leave_button = QPushButton("Close  Esc", self)
        self.leave_button.clicked.connect(self.reject)
        foot = QHBoxLayout()
        foot.addWidget(self.title, 1)
        foot.addWidget(self.leave_button)
        column = QVBoxLayout(self)
        margin = room.look.px(0.8)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(margin)
        column.addWidget(self.sheet, 1)
        column.addLayout(foot)
        self.resize(parent.window().size() - QSize(room.look.px(4), room.look.px(4)))
        self._show()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = STEPS.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
        else:
            self.at = (self.at + step) % len(self._pictures)
            self._show()

    def _show(self) -> None:
        picture, several = self._pictures[self.at], len(self._pictures) > 1
        self.setWindowTitle(f"Photograph {self.at + 1} of {len(self._pictures)}")
        turn = ". Page Down goes on to the next, Page Up back." if several else ""
        self.title.setText(f"{picture.name}{turn}")
        self.sheet.setAccessibleName(f"Photograph {self.at + 1}, {picture.name}")
        self.sheet.show_image(None, READING)
        work = partial(asked.drawn, picture.source, FINEST)
        self._room.jobs.run(work, partial(self._on_drawn, self.at), lane="beside")

    def _on_drawn(self, at: int, image: QImage) -> None:
        if isValid(self) and at == self.at:
            self.sheet.show_image(image, NONE)


class _Sheet(QWidget):
    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._said = room.look, ""
        self.image = QImage()

    def show_image(self, image: QImage | None, otherwise: str) -> None:
        self.image, self._said = image if image is not None else QImage(), otherwise
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        if self.image.isNull():
            painter.setPen(QColor(self._look.colours.quiet))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, self._said)
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        size = self.image.size()
        if size.width() > self.width() or size.height() > self.height():
            size = size.scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        area = self.rect()
        area.setSize(size)
        area.moveCenter(self.rect().center())
        painter.drawImage(area, self.image)
