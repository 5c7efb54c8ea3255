"""The first page of a returned form as a picture, for a form that a person has to read."""

from contextlib import closing

from PySide6.QtCore import QBuffer, QByteArray, QIODevice
from PySide6.QtGui import QImage

DPI = 110
FORMATS = {1: QImage.Format.Format_Grayscale8, 3: QImage.Format.Format_BGR888, 4: QImage.Format.Format_RGB32}


def page_picture(content: bytes) -> bytes | None:
    """A file as a picture, PNG: its first page where it is a PDF, itself where it is a picture; None for all else."""
    if content.startswith(b"%PDF"):
        return _drawn(content)
    image = QImage.fromData(QByteArray(content))
    return None if image.isNull() else _png(image)


def _drawn(content: bytes) -> bytes | None:
    import pypdfium2  # slow to import, and needed only where such a form came back

    from intake.inbox.pdfium import ONE_AT_A_TIME

    try:
        with ONE_AT_A_TIME, closing(pypdfium2.PdfDocument(content)) as document:
            document.init_forms()
            page = document[0].render(scale=DPI / 72)
            picture = bytes(page.buffer)
    except pypdfium2.PdfiumError:
        return None
    return _png(QImage(picture, page.width, page.height, page.stride, FORMATS[page.n_channels]))


def _png(image: QImage) -> bytes:
    kept = QByteArray()
    buffer = QBuffer(kept)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]  # the stubs want the format as bytes, Qt takes words
    return bytes(kept.data())
