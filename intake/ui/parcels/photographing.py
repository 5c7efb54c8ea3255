"""Photographs of the parcel that is being opened, or of the one whose card is shown."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QFileDialog

from intake.ui.parcels.camera import CameraDialog, camera_there
from intake.ui.parcels.draft import Picture
from intake.ui.parcels.picture_dialog import PictureDialog
from intake.ui.parcels.picture_sources import FILES, of_files, of_image, pasted
from intake.ui.parcels.pictures_view import PicturesView
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.ui.parcels.place import Parcels

NONE_PASTED = "There is no photograph on the clipboard. Copy one, or take it from a file."
STOPPED = "Of a parcel that is stopped no photographs are taken until the incident is written down."


class Photographing(QObject):
    """Brings photographs to a parcel, shows them large and takes them out.

    Args:
        room: What every place shares.
        place: The place.
    """

    def __init__(self, room: Room, place: "Parcels") -> None:
        super().__init__(place)
        self._room, self._place = room, place
        action = room.keys.action
        action("photo-file").triggered.connect(self._on_file)
        action("photo-paste").triggered.connect(self._on_paste)
        action("photo-camera").triggered.connect(self._on_camera)
        action("photo-look").triggered.connect(self._on_look)
        action("photo-out").triggered.connect(self._on_out)
        action("photo-camera").setVisible(False)
        for view in (place.form.pictures, place.card.pictures):
            view.opened.connect(self._open)

    def look_for_a_camera(self) -> None:
        """Offers the camera where there is one."""
        self._room.keys.action("photo-camera").setVisible(camera_there())

    def take(self, paths: Sequence[Path]) -> bool:
        """Takes the photographs among some files; False where there is none."""
        pictures = of_files(paths)
        if pictures:
            self._add(pictures)
        return bool(pictures)

    @property
    def _view(self) -> PicturesView:
        return self._place.card.pictures if self._place.page == "card" else self._place.form.pictures

    def _next_name(self) -> str:
        return f"photograph {len(self._view.pictures) + 1}"

    def _add(self, pictures: tuple[Picture, ...]) -> None:
        if self._place.page == "stop":
            self._room.news.tell(STOPPED)
        elif self._place.page == "card" and self._place.card.card is not None:
            self._place.deeds.add_pictures(self._place.card.card, pictures)
        else:
            self._place.form.add_pictures(pictures)

    @Slot()
    def _on_file(self) -> None:
        dialog = QFileDialog(self._place, "Photographs", str(Path.home()))
        dialog.setNameFilters([FILES])
        dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        dialog.filesSelected.connect(self._on_files)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    @Slot(list)
    def _on_files(self, files: Sequence[str]) -> None:
        if not self.take([Path(file) for file in files]):
            self._room.news.tell("A photograph is a JPEG or a PNG file; nothing was taken.")

    @Slot()
    def _on_paste(self) -> None:
        pictures = pasted(QGuiApplication.clipboard().mimeData(), self._next_name())
        if pictures:
            self._add(pictures)
        else:
            self._room.news.tell(NONE_PASTED)

    @Slot()
    def _on_camera(self) -> None:
        dialog = CameraDialog(self._room, self._place)
        dialog.taken.connect(self._on_taken)
        dialog.open()

    @Slot(QImage)
    def _on_taken(self, image: QImage) -> None:
        self._add((of_image(image, self._next_name()),))

    @Slot()
    def _on_look(self) -> None:
        self._open(self._view.focused)

    @Slot(int)
    def _open(self, at: int) -> None:
        pictures = self._view.pictures
        if at < len(pictures):
            PictureDialog(self._room, pictures, at, self._place).open()
        else:
            self._room.news.tell("There is no photograph of this parcel yet.")

    @Slot()
    def _on_out(self) -> None:
        at, card = self._view.focused, self._place.card.card
        if at >= len(self._view.pictures):
            self._room.news.tell("There is no photograph of this parcel yet.")
        elif self._place.page == "card" and card is not None:
            self._place.deeds.take_picture_out(card, card.photographs[at])
        else:
            self._place.form.take_picture_out(at)
