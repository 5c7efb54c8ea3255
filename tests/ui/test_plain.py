"""Text from outside is shown as plain text everywhere."""

import re

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QTextDocument

from intake.resources import resource
from intake.ui.plain import Words, button_words, plain_tip, set_tip

HOSTILE = '<img src="/etc/passwd"><b>Smith</b> & “Sons”'
SOURCES = sorted(resource().parent.joinpath("intake", "ui").rglob("*.py"))


def test_a_label_shows_markup_as_it_is_written(qtbot):
    label = Words(HOSTILE)
    qtbot.addWidget(label)
    assert label.textFormat() == Qt.TextFormat.PlainText
    assert label.text() == HOSTILE


def test_a_tip_shows_markup_as_it_is_written(qtbot):
    label = Words("x")
    qtbot.addWidget(label)
    set_tip(label, HOSTILE)
    shown = QTextDocument()
    shown.setHtml(label.toolTip())
    assert shown.toPlainText() == HOSTILE
    assert plain_tip("") == ""


def test_a_button_shows_an_ampersand_as_it_is_written():
    assert button_words("Oak & Elm") == "Oak && Elm"


@pytest.mark.parametrize("source", SOURCES, ids=lambda path: path.name)
def test_no_widget_guesses_whether_text_is_markup(source):
    """Labels, message boxes and tips of Qt guess; only `plain` may speak to them."""
    guessing = r"\b(QLabel|QMessageBox|QErrorMessage|QTextBrowser)\(|setToolTip\(|setWhatsThis\(|setHtml\(|appendHtml\("
    allowed = {"plain.py"}
    found = re.findall(guessing, source.read_text("utf-8"))
    assert not found or source.name in allowed
