"""The photographs of a parcel, small: one after the other, each a button that shows it large."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QSize, Signal, Slot
from PySide6.QtGui import QIcon, QImage, QPixmap
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget
from shiboken6 import isValid

from intake.ui.help_panel import set_help
from intake.ui.parcels import asked
from intake.ui.parcels.draft import Picture
from intake.ui.plain import Words, button_words, set_tip
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow

WAYS = {"photo-file": "From a file", "photo-paste": "Paste", "photo-camera": "Camera"}
SIDE = 4.0
"""The longer side of a small picture, in heights of text."""
FINEST = 256
"""So many pixels has the longer side of what is kept for the small pictures, at any size of text."""
HELP = (
    "Photographs of the parcel and of what lay in it: from a file, pasted from the clipboard, or dropped here. Enter "
    "or Space shows one large. They are kept with the parcel, and nowhere else."
)


class PicturesView(QWidget):
    """Shows photographs.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    opened = Signal(int)
    """The photograph that is to be shown large, by its place."""

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._room = room
        self.pictures: tuple[Picture, ...] = ()
        self.current = 0
        self._images: dict[Picture, QImage] = {}
        self._small: list[QPushButton] = []
        self.head = Words("Photographs", size="small", ink="quiet")
        self._flow, self._asked = Flow(), set[Picture]()
        self.buttons = {name: QPushButton(self) for name in WAYS}
        for name, button in self.buttons.items():
            button.setProperty("compact", True)
            set_help(button, HELP)
            button.clicked.connect(room.keys.action(name).trigger)
            self._flow.addWidget(button)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.head)
        self._column.addLayout(self._flow)
        self._label()
        room.keys.changed.connect(self._label)
        room.keys.action("photo-camera").changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._fit()

    def show_pictures(self, pictures: Sequence[Picture]) -> None:
        """Shows these photographs in place of those before."""
        self.pictures = tuple(pictures)
        self.current = min(self.current, max(0, len(self.pictures) - 1))
        self._images = {picture: image for picture, image in self._images.items() if picture in self.pictures}
        while len(self._small) < len(self.pictures):
            self._add_button()
        for at, button in enumerate(self._small):
            button.setVisible(at < len(self.pictures))
            if at < len(self.pictures):
                self._show_one(at)
        self.updateGeometry()

    def _show_one(self, at: int) -> None:
        button, picture = self._small[at], self.pictures[at]
        said = f"Photograph {at + 1}, {picture.name}"
        button.setAccessibleName(said)
        set_tip(button, said)
        image = self._images.get(picture)
        if image is None:
            button.setText(str(at + 1))
            button.setIcon(QIcon())
            self._ask(picture)
        elif image.isNull():
            button.setText(f"{at + 1}: no picture")
        else:
            button.setText("")
            button.setIcon(QIcon(QPixmap.fromImage(image)))

    def _ask(self, picture: Picture) -> None:
        if picture in self._asked:
            return
        self._asked.add(picture)
        work = partial(asked.drawn, picture.source, QSize(FINEST, FINEST))
        self._room.jobs.run(work, partial(self._on_drawn, picture), lane="beside")

    def _on_drawn(self, picture: Picture, image: QImage) -> None:
        if not isValid(self):
            return
        self._asked.discard(picture)
        self._images[picture] = image
        for at, each in enumerate(self.pictures):
            if each == picture:
                self._show_one(at)

    def _add_button(self) -> None:
        at = len(self._small)
        button = QPushButton(self)
        set_help(button, HELP)
        button.clicked.connect(partial(self._on_clicked, at))
        self._small.append(button)
        self._flow.addWidget(button)
        self._fit()

    def _on_clicked(self, at: int, _: bool = False) -> None:
        self.current = at
        self.opened.emit(at)

    @property
    def focused(self) -> int:
        """The photograph that has the keys, or the one that was looked at last."""
        return next((at for at, button in enumerate(self._small) if button.hasFocus()), self.current)

    @Slot()
    def _label(self) -> None:
        for name, button in self.buttons.items():
            button.setText(button_words(f"{WAYS[name]}  {self._room.keys.shown(name)}".rstrip()))
        self.buttons["photo-camera"].setVisible(self._room.keys.action("photo-camera").isVisible())

    @Slot()
    def _fit(self) -> None:
        side = self._room.look.px(SIDE)
        for button in self._small:
            button.setIconSize(QSize(side, side))
        self._flow.setSpacing(self._room.look.px(0.4))
        self._column.setSpacing(self._room.look.px(0.25))
