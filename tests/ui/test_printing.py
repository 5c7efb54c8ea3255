"""Qt's way to paper: the exact queue or an error, and the page at its own size."""

import io

import pypdfium2
import pytest
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from intake.outbox.print_queue import QueueJob, QueueMissing, QueueStopped
from intake.ui.printing import QtPrintQueue, open_queue

A6 = (105.0, 148.0)


def _pdf(pages=1):
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(105 * mm, 148 * mm))
    for _ in range(pages):
        canvas.rect(20 * mm, 30 * mm, 40 * mm, 50 * mm, fill=1)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


@pytest.fixture
def paper(qapp, tmp_path):
    """A queue that prints to a file, and the file."""
    file = tmp_path / "paper.pdf"

    def opened(queue):
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(file))
        printer.setResolution(300)
        return printer

    return QtPrintQueue(opened), file


def test_a_queue_that_is_not_there_is_an_error_and_never_another_printer(qapp):
    name = "NO SUCH QUEUE"
    assert name not in QPrinterInfo.availablePrinterNames()
    with pytest.raises(QueueMissing, match=name):
        QtPrintQueue().submit(_pdf(), "26 004123 76", name, A6)


def test_the_name_has_to_be_exact(qapp, monkeypatch):
    monkeypatch.setattr(QPrinterInfo, "availablePrinterNames", lambda: ["FRONT-DESK"])
    with pytest.raises(QueueMissing, match="FRONT-DESK"):
        open_queue("front-desk")


def test_a_queue_that_qt_swaps_for_another_is_an_error(qapp, monkeypatch):
    """A queue that goes between two looks: Qt then knows no such printer, or hands out the default one."""
    monkeypatch.setattr(QPrinterInfo, "availablePrinterNames", lambda: ["FRONT-DESK"])
    with pytest.raises(QueueMissing):
        open_queue("FRONT-DESK")


def test_the_page_keeps_its_size_and_its_ink_its_place(paper):
    queue, file = paper
    job = queue.submit(_pdf(), "26 004123 76", "FRONT-DESK", A6)
    assert job == QueueJob("FRONT-DESK", 1)
    page = pypdfium2.PdfDocument(file)[0]
    assert page.get_size() == pytest.approx((105 * mm, 148 * mm), abs=1)
    picture = page.render(scale=2, grayscale=True).to_numpy()
    rows, columns = (picture < 128).nonzero()
    points = [columns.min() / 2, columns.max() / 2, 148 * mm - rows.max() / 2, 148 * mm - rows.min() / 2]
    assert points == pytest.approx([20 * mm, 60 * mm, 30 * mm, 80 * mm], abs=1.5)


def test_every_page_is_printed(paper):
    queue, file = paper
    queue.submit(_pdf(pages=3), "letter", "FRONT-DESK", A6)
    assert len(pypdfium2.PdfDocument(file)) == 3


def test_each_job_has_a_number_of_its_own(paper):
    queue, _ = paper
    assert [queue.submit(_pdf(), "t", "Q", A6).number for _ in range(3)] == [1, 2, 3]


@pytest.mark.qt_log_ignore("QPainter::begin")
def test_a_queue_that_takes_nothing_is_an_error(qapp, tmp_path):
    def opened(queue):
        printer = QPrinter()
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(tmp_path / "no such folder" / "x.pdf"))
        return printer

    with pytest.raises(QueueStopped, match="FRONT-DESK"):
        QtPrintQueue(opened).submit(_pdf(), "t", "FRONT-DESK", A6)


def test_what_becomes_of_a_job_is_unknown(paper):
    assert paper[0].state(QueueJob("FRONT-DESK", 1)) == "unknown"
