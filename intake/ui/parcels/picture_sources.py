"""Photographs from a file, from the clipboard, or dropped; each as a `Picture`."""

from collections.abc import Iterable
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMimeData
from PySide6.QtGui import QImage, QImageWriter

from intake.ui.parcels.draft import Picture

ENDINGS = (".jpg", ".jpeg", ".png")
FILES = "Photographs (*.jpg *.jpeg *.png)"


def of_files(paths: Iterable[Path]) -> tuple[Picture, ...]:
    """The photographs among some files, by the ends of their names; whether one is a picture the desk says."""
    return tuple(Picture(path.name, path) for path in paths if path.suffix.casefold() in ENDINGS)


def of_image(image: QImage, name: str) -> Picture:
    """A photograph that lies in no file."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, QByteArray(b"PNG")).write(image)
    return Picture(f"{name}.png", bytes(buffer.data().data()))


def pasted(clipboard: QMimeData | None, name: str) -> tuple[Picture, ...]:
    """The photographs on the clipboard: files that were copied, or a picture."""
    if clipboard is None:  # nothing was ever copied
        return ()
    if files := of_files(Path(url.toLocalFile()) for url in clipboard.urls() if url.isLocalFile()):
        return files
    image = clipboard.imageData() if clipboard.hasImage() else None
    return (of_image(image, name),) if isinstance(image, QImage) and not image.isNull() else ()
