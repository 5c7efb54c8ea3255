"""A look, keys and a window in a folder of their own, and the ways a person has to work them."""

from collections import defaultdict

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLabel, QLineEdit, QVBoxLayout, QWidget

from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.window import Place, Window


@pytest.fixture(autouse=True)
def _no_window_is_left(qapp):
    """Lets go of the windows that a test has closed: a style that changes later goes through all that there are."""
    yield
    for window in qapp.topLevelWidgets():
        if window.isHidden() and window.parent() is None:
            window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def settings(tmp_path):
    return QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)


@pytest.fixture
def look(qapp, settings):
    return Look(qapp, settings)


@pytest.fixture
def keys(qapp, settings):
    return Keys(settings)


def _form():
    """A place with two fields, the first of which takes the keys."""
    form = QWidget()
    column = QVBoxLayout(form)
    for name in ("first", "second"):
        field = QLineEdit(form)
        field.setObjectName(name)
        field.setAccessibleName(name)
        column.addWidget(field)
    form.setFocusProxy(form.findChild(QLineEdit, "first"))
    return form


@pytest.fixture
def places():
    return [
        Place(
            "arrivals", "Arrivals", "go-arrivals", "Arrivals is where a bag is opened. Press F2 to come here.", _form
        ),
        Place("look-up", "Look up", "go-look-up", "Look up finds a job. Press F3 to come here.", _form),
    ]


@pytest.fixture
def open_window(qtbot, places):
    """Opens a window with these settings, shown and active."""

    def open_one(settings):
        from PySide6.QtWidgets import QApplication

        window = Window(places, Look(QApplication.instance(), settings), Keys(settings), settings)
        qtbot.addWidget(window)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        return window

    return open_one


@pytest.fixture
def window(open_window, settings):
    window = open_window(settings)
    window.fill()
    return window


@pytest.fixture
def press():
    """Presses keys as the system hands them to a window: `press(window, "Ctrl+F2")`."""

    def press(widget, *keys):
        for key in keys:
            combination = QKeySequence(key)[0]
            QTest.keyClick(widget.window().windowHandle(), combination.key(), combination.keyboardModifiers())

    return press


@pytest.fixture
def type_text():
    """Types characters as the system hands them to a window."""

    def type_text(widget, text):
        for sign in text:
            QTest.keyClick(widget.window().windowHandle(), sign)

    return type_text


@pytest.fixture
def access_keys():
    """The access keys of a window: letter -> the words that have it."""

    def of(window):
        found = defaultdict(list)
        words = [part.text() for part in window.findChildren(QAbstractButton)]
        words += [label.text() for label in window.findChildren(QLabel) if label.buddy() is not None]
        if hasattr(window, "menuBar"):
            words += [action.text() for action in window.menuBar().actions()]
        for text in words:
            sequence = QKeySequence.mnemonic(text)
            if not sequence.isEmpty():
                found[sequence.toString()].append(text)
        return dict(found)

    return of


@pytest.fixture
def no_modifier():
    return Qt.KeyboardModifier.NoModifier
