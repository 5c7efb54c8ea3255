"""PySide6 6.12.0 drops a reference to None with nearly every call and aborts Python 3.11 after some 5,000 of them."""

import sys

from PySide6.QtWidgets import QLabel


def test_two_thousand_label_texts_take_nothing_from_none(qtbot):
    label = QLabel()
    qtbot.addWidget(label)
    before = sys.getrefcount(None)
    for count in range(2_000):
        label.setText(str(count))
    assert sys.getrefcount(None) > before - 100
