"""Puts a text field back as it was: its text, its cursor and what Ctrl+Z would take back."""

from collections.abc import Callable

from PySide6.QtGui import QTextCursor
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QTextEdit, QWidget
from shiboken6 import isValid

Restore = Callable[[], None]


def text_field(widget: QWidget | None) -> QLineEdit | QPlainTextEdit | QTextEdit | None:
    """The field that takes what is typed into a widget; None where typing is not writing."""
    if isinstance(widget, QPlainTextEdit | QTextEdit):
        return None if widget.isReadOnly() else widget
    line = widget if isinstance(widget, QLineEdit) else widget.findChild(QLineEdit) if widget is not None else None
    return line if line is not None and not line.isReadOnly() else None


def as_it_is(field: QLineEdit | QPlainTextEdit | QTextEdit) -> Restore:
    """Remembers a field, and returns what puts it back after one more character was typed into it."""
    return _line_as_it_is(field) if isinstance(field, QLineEdit) else _page_as_it_is(field)


def _line_as_it_is(field: QLineEdit) -> Restore:
    text, cursor = field.text(), field.cursorPosition()
    selected = (field.selectionStart(), len(field.selectedText())) if field.hasSelectedText() else None

    def restore() -> None:
        if not isValid(field) or field.text() == text:
            return
        field.undo()
        # Undo takes back all that was typed in one go; what stood there before the character goes in again.
        start, end, missing = _difference(field.text(), text)
        if field.text() != text:
            field.setSelection(start, end - start)
            field.insert(missing)
        field.setCursorPosition(cursor)
        if selected is not None:
            field.setSelection(*selected)

    return restore


def _page_as_it_is(field: QPlainTextEdit | QTextEdit) -> Restore:
    text, at = field.toPlainText(), field.textCursor()
    anchor, position = at.anchor(), at.position()

    def restore() -> None:
        if not isValid(field) or field.toPlainText() == text:
            return
        field.undo()
        start, end, missing = _difference(field.toPlainText(), text)
        cursor = field.textCursor()
        if field.toPlainText() != text:
            cursor.setPosition(start)
            cursor.setPosition(end, QTextCursor.MoveMode.KeepAnchor)
            cursor.insertText(missing)
        cursor.setPosition(anchor)
        cursor.setPosition(position, QTextCursor.MoveMode.KeepAnchor)
        field.setTextCursor(cursor)

    return restore


def _difference(now: str, wanted: str) -> tuple[int, int, str]:
    """The part of `now` from start to end that a piece of `wanted` has to take the place of."""
    start = 0
    while start < min(len(now), len(wanted)) and now[start] == wanted[start]:
        start += 1
    tail = 0
    while tail < min(len(now), len(wanted)) - start and now[-1 - tail] == wanted[-1 - tail]:
        tail += 1
    return start, len(now) - tail, wanted[start : len(wanted) - tail]
