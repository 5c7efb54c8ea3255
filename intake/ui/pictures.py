"""Pictures of the window and of what it prints, taken without a screen: for the demo, the README and the guide."""

import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import cast

import pypdfium2
from PySide6.QtCore import QEvent, QEventLoop, QMessageLogContext, QSettings, QtMsgType, qInstallMessageHandler
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from intake.desk import drafts
from intake.desk.desk import Desk
from intake.setup.places import DataFolder
from intake.ui.start import ARRIVALS, LOOK_UP, Start

SIZE = (1366, 768)
SIZE_HINTS = "This plugin does not support propagateSizeHints()"
SCREEN_DPI = 130
"""Of the pictures of pages."""


def take_pictures(desk: Desk, folder: Path) -> Sequence[Path]:
    """Pictures of every place as it stands: before the day is booked of the arrivals, afterwards of the look-up."""
    folder.mkdir(parents=True, exist_ok=True)
    with without_size_hints():
        return _taken(desk, folder)


def _taken(desk: Desk, folder: Path) -> Sequence[Path]:
    waiting = [row for row in desk.store.read.arrivals() if not row.problem]
    if waiting:
        held, clear = _example(desk, "09-"), _example(desk, "01-")
        return [
            _arrivals(desk, folder / "arrivals-empty.png", None),
            _arrivals(desk, folder / "arrivals-held.png", held),
            _arrivals(desk, folder / "arrivals-held-dark.png", held, scheme="dark"),
            _arrivals(desk, folder / "arrivals-held-150.png", held, scale=150),
            _arrivals(desk, folder / "arrivals-clear.png", clear),
        ]
    return [
        _look_up(desk, folder / "look-up.png", "marlow"),
        _look_up(desk, folder / "look-up-dark.png", "marlow", scheme="dark"),
        *_pages(desk, folder),
    ]


@contextmanager
def without_size_hints() -> Iterator[None]:
    """Leaves out what the screenless platform says of every window; whatever else Qt says goes where it went before."""

    def tell(kind: QtMsgType, context: QMessageLogContext, message: str) -> None:
        if message == SIZE_HINTS:
            return
        if before is not None:
            before(kind, context, message)
        else:
            print(message, file=sys.stderr)

    before = qInstallMessageHandler(tell)
    try:
        yield
    finally:
        qInstallMessageHandler(before)


@contextmanager
def last_resort_kept() -> Iterator[None]:
    """A window takes over what nobody foresaw; afterwards whoever took it before takes it again."""
    before = sys.excepthook, threading.excepthook
    try:
        yield
    finally:
        sys.excepthook, threading.excepthook = before


def _example(desk: Desk, name: str) -> int:
    """The arrival that came in the file whose name begins so."""
    return next(row.arrival_id for row in desk.store.read.arrivals() if row.source_name.startswith(name))


def _arrivals(desk: Desk, file: Path, arrival_id: int | None, scheme: str = "light", scale: int = 100) -> Path:
    def show(start: Start) -> None:
        if arrival_id is not None:
            start.places[ARRIVALS].arriving.open(arrival_id)

    return _window(desk, file, show, scheme, scale)


def _look_up(desk: Desk, file: Path, words: str, scheme: str = "light") -> Path:
    def show(start: Start) -> None:
        start.window.show_place(LOOK_UP)
        field = start.places[LOOK_UP].field
        field.setText(words)
        field.textEdited.emit(words)

    return _window(desk, file, show, scheme, 100)


def _window(desk: Desk, file: Path, show: Callable[[Start], None], scheme: str, scale: int) -> Path:
    app = cast("QApplication", QApplication.instance() or QApplication(sys.argv[:1]))
    drafts.clear(desk)  # of the window before this one
    with TemporaryDirectory(ignore_cleanup_errors=True) as aside, last_resort_kept():
        folder = DataFolder(Path(aside))
        _choose_look(folder, scheme, scale)
        start = Start(app, folder, lambda _: desk, lambda _: desk.lab, desk.queue.queues)
        loop = QEventLoop()
        start.opened.connect(loop.quit)
        start.window.resize(*SIZE)
        start.window.show()
        loop.exec()
        _wait(start)
        show(start)
        _wait(start)
        start.window.grab().save(str(file))
        start.window.close()
        for part in (start.window, start):
            part.deleteLater()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return file


def _choose_look(folder: DataFolder, scheme: str, scale: int) -> None:
    settings = QSettings(str(folder.settings), QSettings.Format.IniFormat)
    settings.setValue("look/scheme", scheme)
    settings.setValue("look/scale", scale)
    settings.sync()


def _wait(start: Start) -> None:
    """Until everything that was asked for has come back and is shown."""
    loop = QEventLoop()
    while start.jobs.under_way:
        loop.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    loop.processEvents()


def _pages(desk: Desk, folder: Path) -> list[Path]:
    """The first page of a held ticket, of a clear one, and of the query letter with the most questions."""
    letters = {due: len(desk.store.read.queries_in(due)) for due in _documents(desk, "letter")}
    wanted = {
        "ticket-held.png": next(i for i in _documents(desk, "ticket") if _state(desk, i) == "held"),
        "ticket-clear.png": next(i for i in _documents(desk, "ticket") if _state(desk, i) == "clear"),
        "letter.png": max(letters, key=letters.__getitem__),
    }
    return [_page(desk.store.read.pdf(document_id) or b"", folder / name) for name, document_id in wanted.items()]


def _documents(desk: Desk, kind: str) -> list[int]:
    return [row.document_id for row in desk.store.read.documents_sent() if row.kind == kind]


def _state(desk: Desk, document_id: int) -> str:
    document = desk.store.read.document(document_id)
    job = desk.store.read.job(document.job) if document and document.job else None
    return job.state if job else ""


def _page(pdf: bytes, file: Path) -> Path:
    document = pypdfium2.PdfDocument(pdf)
    page = document[0].render(scale=SCREEN_DPI / 72)
    form = {1: QImage.Format.Format_Grayscale8, 3: QImage.Format.Format_BGR888, 4: QImage.Format.Format_RGB32}
    image = QImage(bytes(page.buffer), page.width, page.height, page.stride, form[page.n_channels])
    image.save(str(file))
    document.close()
    return file
