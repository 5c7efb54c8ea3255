"""The last resort: what nobody foresaw is logged and said calmly, without anything of a patient in it."""

import logging
import platform
import sys
import threading
import traceback
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal, Slot, qVersion
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from intake import __version__
from intake.ui.look import Look
from intake.ui.plain import Words

CALM = (
    "Something went wrong that Intake did not foresee. What was said to be saved is saved. "
    "You can go on working; if it happens again, leave Intake and start it again."
)
COPY_HINT = (
    "The report holds versions and places in the program, and nothing about a patient. "
    "Send it to whoever looks after Intake."
)

_log = logging.getLogger("intake")


def report(error: BaseException) -> str:
    """Versions and the places in the program that an error came through.

    The error's own message is left out: it may carry what was typed, a patient's name for instance. So are the values
    of variables.
    """
    lines = [f"Intake {__version__}, Python {platform.python_version()}, Qt {qVersion()}, {platform.platform()}"]
    for link in _chain(error):
        lines.append(f"{type(link).__module__}.{type(link).__qualname__}")
        frames = traceback.extract_tb(link.__traceback__)
        lines += [f"  {_short(frame.filename)}:{frame.lineno} in {frame.name}" for frame in frames]
    return "\n".join(lines)


def _chain(error: BaseException) -> list[BaseException]:
    """The error and what led to it, the first cause last."""
    chain: list[BaseException] = []
    at: BaseException | None = error
    while at is not None and at not in chain:
        chain.append(at)
        at = at.__cause__ or (None if at.__suppress_context__ else at.__context__)
    return chain


def _short(filename: str) -> str:
    """A file's last folders: the whole path may name a person."""
    return "/".join(filename.replace("\\", "/").split("/")[-3:])


class TroubleDialog(QDialog):
    """Says that something went wrong, and lets the report be copied.

    Args:
        text: The report.
        look: For lengths.
        parent: The window over which it opens.
    """

    def __init__(self, text: str, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Something went wrong")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.report = QPlainTextEdit(text, self)
        self.report.setReadOnly(True)
        self.report.setTabChangesFocus(True)
        self.report.setAccessibleName("Report")
        self.copy_button = QPushButton("&Copy the report", self)
        self.copy_button.clicked.connect(self._on_copy)
        self.close_button = QPushButton("&Go on working", self)
        self.close_button.setDefault(True)
        self.close_button.clicked.connect(self.accept)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.8))
        column.addWidget(Words(CALM, wraps=True))
        column.addWidget(Words(COPY_HINT, size="small", ink="quiet", wraps=True))
        column.addWidget(self.report, 1)
        row = QHBoxLayout()
        row.addWidget(self.copy_button)
        row.addStretch(1)
        row.addWidget(self.close_button)
        column.addLayout(row)
        self.close_button.setFocus()
        self.resize(look.px(40), look.px(26))

    @Slot()
    def _on_copy(self) -> None:
        QGuiApplication.clipboard().setText(self.report.toPlainText())


class LastResort(QObject):
    """Takes every error that nobody caught, of any thread: logs it, and shows one dialog at a time.

    Args:
        look: For the dialog.
        parent: The window over which the dialog opens.
    """

    _happened = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._window = look, parent
        self.dialog: TroubleDialog | None = None
        self._happened.connect(self._on_happened, Qt.ConnectionType.AutoConnection)

    def install(self) -> None:
        """Stands behind the program from here on."""
        sys.excepthook = self.take
        threading.excepthook = self._take_of_thread

    def take(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """Takes an error as `sys.excepthook` does; Ctrl+C still ends the program."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        self.tell(error)

    def tell(self, error: BaseException) -> None:
        """Logs an error and shows it."""
        text = report(error)
        _log.error("Unforeseen", exc_info=(type(error), error, error.__traceback__))
        self._happened.emit(text)

    def _take_of_thread(self, args: threading.ExceptHookArgs) -> None:
        if args.exc_value is not None:
            self.tell(args.exc_value)

    @Slot(str)
    def _on_happened(self, text: str) -> None:
        if self.dialog is not None:
            self.dialog.report.appendPlainText("\n" + text)
            return
        self.dialog = TroubleDialog(text, self._look, self._window)
        self.dialog.finished.connect(self._on_finished)
        self.dialog.open()

    @Slot()
    def _on_finished(self) -> None:
        self.dialog = None
