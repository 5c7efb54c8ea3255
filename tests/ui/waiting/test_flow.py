"""Buttons break into rows as words do."""

import pytest
from PySide6.QtWidgets import QFrame, QWidget

from intake.ui.waiting.flow import Flow


@pytest.fixture
def row(qtbot):
    row = QWidget()
    flow = Flow(row)
    flow.setSpacing(5)
    for _ in range(4):
        part = QFrame(row)
        part.setFixedSize(100, 30)
        flow.addWidget(part)
    qtbot.addWidget(row)
    return row


@pytest.mark.parametrize(("width", "rows"), [(415, 1), (414, 2), (205, 2), (100, 4), (60, 4)])
def test_what_has_no_room_goes_into_the_next_row(row, width, rows):
    assert row.layout().heightForWidth(width) == rows * 30 + (rows - 1) * 5


def test_a_hidden_part_takes_no_room(row):
    row.show()
    row.layout().itemAt(0).widget().hide()
    assert row.layout().heightForWidth(310) == 30


def test_the_parts_stand_side_by_side_and_one_under_the_other(row):
    row.resize(210, 100)
    row.show()
    row.layout().activate()
    places = [row.layout().itemAt(at).geometry().topLeft().toTuple() for at in range(4)]
    assert places == [(0, 0), (105, 0), (0, 35), (105, 35)]
    assert row.layout().itemAt(4) is None
    assert row.layout().takeAt(9) is None
