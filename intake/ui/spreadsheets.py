"""Asks which spreadsheet is meant, and where one is to be written."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLineEdit, QPushButton, QWidget

from intake.ui.look import Look

_READ = "Spreadsheets (*.csv *.xlsx *.txt *.tsv)"
_WRITE = ("XLSX (*.xlsx)", "CSV (*.csv)")

Then = Callable[[str], None]


class FileField(QWidget):
    """Where a spreadsheet lies: typed, or chosen with the button behind it.

    Args:
        hint: Shown while it is empty.
        look: For lengths.
        parent: The owner.
    """

    chosen = Signal()
    """A file was chosen; what is typed says nothing before somebody goes on."""

    def __init__(self, hint: str, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self.edit = QLineEdit(self)
        self.edit.setPlaceholderText(hint)
        self.button = QPushButton("Ch&oose …", self)
        self.button.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # it has its own key, and Enter goes on from field to field
        self.button.setAutoDefault(False)
        self.button.clicked.connect(self._on_choose)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(look.px(0.4))
        row.addWidget(self.edit, 1)
        row.addWidget(self.button)
        self.setFocusProxy(self.edit)

    @property
    def path(self) -> Path | None:
        """The file; None where none is named."""
        text = self.edit.text().strip()
        return Path(text).expanduser() if text else None

    def take(self, path: Path | str) -> None:
        """Takes a file that was chosen, or dropped."""
        self.edit.setText(str(path))
        self.chosen.emit()

    @Slot()
    def _on_choose(self) -> None:
        near = self.path.parent if self.path is not None else Path.home()
        dialog = _dialog(self, "Practices from a file", near if near.is_dir() else Path.home())
        dialog.setNameFilters([_READ, "All files (*)"])
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(self.take)
        dialog.open()


def ask_where_to(over: QWidget, title: str, name: str, then: Then) -> None:
    """Asks where a spreadsheet is to be written, and as what; an existing file is asked about."""
    dialog = _dialog(over, title, Path.home())
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setNameFilters(_WRITE)
    dialog.setDefaultSuffix("xlsx")
    dialog.filterSelected.connect(lambda chosen: dialog.setDefaultSuffix("csv" if "csv" in chosen else "xlsx"))
    dialog.selectFile(name)
    dialog.fileSelected.connect(then)
    dialog.open()


def _dialog(over: QWidget, title: str, folder: Path) -> QFileDialog:
    dialog = QFileDialog(over, title, str(folder))
    dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    dialog.finished.connect(dialog.deleteLater)
    return dialog
