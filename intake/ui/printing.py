"""The print queue of systems without CUPS, through Qt's print support; what it is to the desk stands in the outbox."""

import itertools
from collections.abc import Callable, Iterator, Sequence

import pypdfium2
from PySide6.QtCore import QMarginsF, QRect, QSizeF
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

from intake.inbox.pdfium import ONE_AT_A_TIME
from intake.outbox.print_queue import (
    JobState,
    PrinterTrouble,
    QueueInfo,
    QueueJob,
    QueueMissing,
    QueueStopped,
    SizeMm,
)

_POINTS_PER_INCH = 72


def open_queue(queue: str) -> QPrinter:
    """The system's queue of exactly this name.

    Given a name it does not know, QPrinter takes the default queue and says nothing, so the name is compared first and
    again afterwards.

    Raises:
        QueueMissing: There is no queue of this name.
        QueueStopped: The queue says that it is in error.
    """
    present = tuple(QPrinterInfo.availablePrinterNames())
    if queue not in present:
        raise QueueMissing(queue, present)
    info = QPrinterInfo.printerInfo(queue)
    if info.printerName() != queue:
        raise QueueMissing(queue, present)
    if info.state() in (QPrinter.PrinterState.Error, QPrinter.PrinterState.Aborted):
        raise QueueStopped(queue, "in error")
    printer = QPrinter(info, QPrinter.PrinterMode.HighResolution)
    if printer.printerName() != queue:
        raise QueueMissing(queue, present)
    return printer


class QtPrintQueue:
    """Prints by drawing each page at the printer's resolution.

    Args:
        opened: Opens a queue by its exact name.
    """

    def __init__(self, opened: Callable[[str], QPrinter] = open_queue) -> None:
        self._opened = opened
        self._numbers = itertools.count(1)

    def queues(self) -> tuple[QueueInfo, ...]:
        """The queues of this computer."""
        return tuple(_info(QPrinterInfo.printerInfo(name)) for name in QPrinterInfo.availablePrinterNames())

    def submit(self, pdf: bytes, title: str, queue: str, size_mm: SizeMm) -> QueueJob:
        """Draws a PDF on the queue of exactly this name, unscaled, once.

        Args:
            pdf: The document.
            title: What the queue's list shows; a job number, never a patient's name.
            queue: The name as `queues` gives it.
            size_mm: The sheet or label that the PDF was made for, width and height in millimetres.

        Raises:
            QueueMissing: There is no queue of this name. No other queue is tried.
            QueueStopped: The queue is in error or takes no jobs.
            PrinterTrouble: The queue broke off.
        """
        printer = self._opened(queue)
        printer.setDocName(title)
        printer.setFullPage(True)
        printer.setPageLayout(_page(size_mm))
        painter = QPainter()
        if not painter.begin(printer):
            raise QueueStopped(queue, "taking no jobs")
        try:
            self._draw(painter, printer, pdf, queue)
        finally:
            painter.end()
        if printer.printerState() in (QPrinter.PrinterState.Error, QPrinter.PrinterState.Aborted):
            raise PrinterTrouble(_broke_off(queue))
        return QueueJob(queue, next(self._numbers))

    def state(self, job: QueueJob) -> JobState:
        """Always `unknown`: Qt hands the pages over and keeps no trace of the job."""
        return "unknown"

    def _draw(self, painter: QPainter, printer: QPrinter, pdf: bytes, queue: str) -> None:
        for at, (page, points) in enumerate(_pages(pdf, printer.resolution())):
            if at and not printer.newPage():
                raise PrinterTrouble(_broke_off(queue))
            across, down = (round(length * printer.resolution() / _POINTS_PER_INCH) for length in points)
            painter.drawImage(QRect(0, 0, across, down), page)


def _info(info: QPrinterInfo) -> QueueInfo:
    runs = info.state() not in (QPrinter.PrinterState.Error, QPrinter.PrinterState.Aborted)
    return QueueInfo(info.printerName(), runs, "ready" if runs else "in error")


def _page(size_mm: SizeMm) -> QPageLayout:
    size = QPageSize(QSizeF(*size_mm), QPageSize.Unit.Millimeter, "", QPageSize.SizeMatchPolicy.ExactMatch)
    layout = QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))
    layout.setMode(QPageLayout.Mode.FullPageMode)
    return layout


def _pages(pdf: bytes, dots_per_inch: int) -> Iterator[tuple[QImage, Sequence[float]]]:
    """Each page as a picture at the printer's resolution, with its width and height in points."""
    with ONE_AT_A_TIME:
        document = pypdfium2.PdfDocument(pdf)
        try:
            for page in document:
                bitmap = page.render(scale=dots_per_inch / _POINTS_PER_INCH, rev_byteorder=True, prefer_bgrx=True)
                picture = QImage(
                    bytes(bitmap.buffer), bitmap.width, bitmap.height, bitmap.stride, QImage.Format.Format_RGBX8888
                )
                yield picture.copy(), page.get_size()
        finally:
            document.close()


def _broke_off(queue: str) -> str:
    return f"The print queue “{queue}” broke off. Look at the printer, then send this again."
