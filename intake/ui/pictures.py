"""Pictures of the window and of what it prints, taken without a screen: for the demo, the README and the guide."""

import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from io import BytesIO
from itertools import count, takewhile
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import cast

import pypdfium2
from pypdf import PdfReader
from PySide6.QtCore import QEvent, QEventLoop, QMessageLogContext, QSettings, QTimer, QtMsgType, qInstallMessageHandler
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from intake.desk import drafts
from intake.desk.desk import Desk
from intake.setup.places import DataFolder
from intake.store.rows import DocumentRow
from intake.ui.places import ARRIVALS, LOOK_UP, WAITING
from intake.ui.start import Start

SIZE = (1366, 768)
SIZE_HINTS = "This plugin does not support propagateSizeHints()"
SCREEN_DPI = 130
"""Of the pictures of pages."""
SAID = "post"
"""What is typed as an answer in the pictures of a call."""
Shown = Callable[[QWidget], QWidget]
"""What of the window is in the picture."""
DRAWN_FINE_MS = 500
"""How long a scan rests until it is drawn as fine as it can be."""
SETTLING = 5
"""So many rounds of events let a layout inside a layout inside a layout come to rest."""


def take_pictures(desk: Desk, folder: Path, moment: str) -> Sequence[Path]:
    """Pictures of a moment of the demo: `arrivals`, `calls`, `evening`, or `after`, of what came of it all."""
    from intake.ui.pictures_of_boxes import of_evening, of_parcels  # which takes its own by what is below
    from intake.ui.pictures_of_setup import of_setup

    folder.mkdir(parents=True, exist_ok=True)
    taken = {
        "arrivals": lambda *of: [*_of_arrivals(*of), *of_parcels(*of)],
        "calls": _of_calls,
        "evening": of_evening,
        "after": lambda *of: [*_of_after(*of), *of_setup(*of)],
    }
    with without_size_hints():
        return taken[moment](desk, folder)


def _of_arrivals(desk: Desk, folder: Path) -> list[Path]:
    held, clear = _example(desk, "09-"), _example(desk, "01-")
    return [
        _arrivals(desk, folder / "arrivals-empty.png", None),
        _arrivals(desk, folder / "arrivals-held.png", held),
        _arrivals(desk, folder / "arrivals-held-dark.png", held, scheme="dark"),
        _arrivals(desk, folder / "arrivals-held-150.png", held, scale=150),
        _arrivals(desk, folder / "arrivals-clear.png", clear),
        *_of_scans(desk, folder),
    ]


def _of_scans(desk: Desk, folder: Path) -> list[Path]:
    whole, unsure = _example(desk, "1-"), _example(desk, "3-")
    return [
        _arrivals(desk, folder / "scans.png", whole),
        _arrivals(desk, folder / "scans-dark.png", whole, scheme="dark"),
        _arrivals(desk, folder / "scans-to-choose.png", unsure),
        _arrivals(desk, folder / "scans-to-choose-150.png", unsure, scale=150),
        _closer(desk, folder / "scans-closer.png", whole),
    ]


def _of_calls(desk: Desk, folder: Path) -> list[Path]:
    return [
        window_picture(desk, folder / "waiting.png", _show_waiting, "light", 100),
        window_picture(desk, folder / "waiting-call.png", _show_call, "light", 100),
        window_picture(desk, folder / "waiting-call-dark.png", _show_call, "dark", 100),
        window_picture(desk, folder / "waiting-call-150.png", _show_call, "light", 150),
    ]


def _of_after(desk: Desk, folder: Path) -> list[Path]:
    return [
        *(_reply(desk, folder / "waiting-reply.png", reply.key or "") for reply in desk.store.read.replies()[:1]),
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


def _closer(desk: Desk, file: Path, arrival_id: int) -> Path:
    """The scans of an arrival, looked at closer."""

    def show(start: Start) -> None:
        start.places[ARRIVALS].arriving.open(arrival_id)
        wait(start)
        start.room.keys.action("look-at-scans").trigger()
        wait(start)
        at_rest = QEventLoop()
        QTimer.singleShot(DRAWN_FINE_MS, at_rest.quit)
        at_rest.exec()

    return window_picture(desk, file, show, "light", 100, lambda window: window.findChild(QDialog) or window)


def _arrivals(desk: Desk, file: Path, arrival_id: int | None, scheme: str = "light", scale: int = 100) -> Path:
    def show(start: Start) -> None:
        if arrival_id is not None:
            start.places[ARRIVALS].arriving.open(arrival_id)

    return window_picture(desk, file, show, scheme, scale)


def _show_waiting(start: Start) -> None:
    start.window.show_place(WAITING)


def _show_call(start: Start) -> None:
    """The first practice of the list on the telephone, and what it says half typed."""
    _show_waiting(start)
    wait(start)
    place = start.places[WAITING]
    place.to_card()
    wait(start)
    place.card.speaker.take(0)
    place.card.to_say.field.edit.setText(SAID)
    place.card.to_say.field.edit.textEdited.emit(SAID)


def _reply(desk: Desk, file: Path, key: str) -> Path:
    """A returned form on the card of its practice."""

    def show(start: Start) -> None:
        _show_waiting(start)
        field = start.places[WAITING].ring.field
        field.setText(key)
        field.textEdited.emit(key)
        wait(start)
        start.places[WAITING].ring.clear_search()
        start.places[WAITING].to_card()
        wait(start)
        start.places[WAITING].calling.begin()

    return window_picture(desk, file, show, "light", 100)


def _look_up(desk: Desk, file: Path, words: str, scheme: str = "light") -> Path:
    def show(start: Start) -> None:
        start.window.show_place(LOOK_UP)
        field = start.places[LOOK_UP].field
        field.setText(words)
        field.textEdited.emit(words)

    return window_picture(desk, file, show, scheme, 100)


def window_picture(
    desk: Desk, file: Path, show: Callable[[Start], None], scheme: str, scale: int, shown: Shown = lambda window: window
) -> Path:
    """The window of its own folder, as `show` leaves it, in a picture file; `shown` is what of it is in the picture."""
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
        wait(start)
        show(start)
        wait(start)
        shown(start.window).grab().save(str(file))
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


def wait(start: Start) -> None:
    """Until everything that was asked for has come back and is shown."""
    loop = QEventLoop()
    while start.jobs.under_way:
        loop.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    for _ in range(SETTLING):
        loop.processEvents()


def _pages(desk: Desk, folder: Path) -> list[Path]:
    """First pages: of a held ticket, a clear one, letters and a blank prescription; a form as it came back."""
    read, documents = desk.store.read, documents_of(desk)
    newest = {row.job: row.document_id for row in documents if row.job}
    letters = [row.document_id for row in documents if row.kind == "letter"]
    wanted = {
        "ticket-held.png": next(newest[job] for job in newest if _state(desk, job) == "held"),
        "ticket-clear.png": next(newest[job] for job in newest if _state(desk, job) == "clear"),
        "letter.png": max(letters, key=lambda each: len(read.queries_in(each))),
        "letter-agreed.png": max(letters, key=lambda each: len(read.answers_in(each))),
        "blank-prescription.png": next(row.document_id for row in documents if row.kind == "blank"),
    }
    pages = [page_picture(read.pdf(document_id) or b"", folder / name) for name, document_id in wanted.items()]
    forms = (read.reply_file(reply.reply_id) for reply in read.replies()[:1])
    return [
        *pages,
        *(page_picture(form.content, folder / "reply-form.png", _slip(form.content)) for form in forms if form),
    ]


def documents_of(desk: Desk) -> list[DocumentRow]:
    """Every ticket, letter and form, oldest first; their numbers have no gap."""
    rows = map(desk.store.read.document, count(1))
    return [row for row in takewhile(lambda row: row is not None, rows) if row]


def _state(desk: Desk, number: str) -> str:
    job = desk.store.read.job(number)
    return job.state if job else ""


def _slip(pdf: bytes) -> int:
    """The page on which the fields to fill in begin."""
    pages = enumerate(PdfReader(BytesIO(pdf)).pages)
    return next((number for number, page in pages if page.annotations), 0)


def page_picture(pdf: bytes, file: Path, number: int = 0) -> Path:
    """A page with what is filled in on it."""
    document = pypdfium2.PdfDocument(pdf)
    document.init_forms()
    page = document[min(number, len(document) - 1)].render(scale=SCREEN_DPI / 72)
    form = {1: QImage.Format.Format_Grayscale8, 3: QImage.Format.Format_BGR888, 4: QImage.Format.Format_RGB32}
    image = QImage(bytes(page.buffer), page.width, page.height, page.stride, form[page.n_channels])
    image.save(str(file))
    document.close()
    return file
