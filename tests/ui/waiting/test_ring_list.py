"""Whom to ring is seen at once, and why; the list takes the letters of a name and keeps its place."""

import time

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QAbstractButton, QLabel, QLineEdit

from intake.desk.ring_list import RingLine
from intake.ui.waiting.ring_model import RingModel, said, when_words
from intake.ui.waiting.ring_view import RingView
from intake.ui.waiting.standing_marks import WORDS, paint_standing
from tests.ui.sizes import SIZES


def line(at, name=None, **changes):
    told = {
        "key": f"P{at:03}",
        "practice": name or f"Practice {at}",
        "telephone": f"01632 960{at:03}",
        "dial": f"tel:+44-1632-960{at:03}",
        "cases": 1,
        "questions": 2,
        "standing": "due",
        "when": "now",
        "open": "open until 13:00",
        "can_ring": True,
        "reply_by": "Tue 1 Dec, 12:00",
        "told": "2 to ask",
        "write": "",
        "why": "2 questions to ask.",
        "urgency": (False, 1, at),
    }
    return RingLine(**(told | changes))


@pytest.fixture
def view(look, qtbot):
    view = RingView(look, "Nobody has to be rung.")
    qtbot.addWidget(view)
    view.show_lines([line(at) for at in range(5)])
    view.resize(400, 600)
    view.show()
    return view


def test_an_empty_place_says_what_it_is_for_and_what_to_press(person):
    assert person.listed == []
    assert "F2 goes to Arrivals" in person.place.ring.list.accessibleDescription()
    person.press("Enter")
    assert person.news == "There is nobody to ring in the list."


def test_before_the_data_are_open_the_place_says_so(open_person):
    person = open_person(None)
    assert person.place.ring.list._empty == "The data are still being opened."
    person.press("Enter", "Ctrl+Shift+N", "Ctrl+B", "Ctrl+1", "F12")
    assert "Choose a practice first" in person.news


def test_a_row_says_when_to_ring_in_words():
    assert when_words(line(1)) == "Ring now"
    assert when_words(line(1, can_ring=False, when="at 14:05")) == "Ring at 14:05"
    assert when_words(line(1, can_ring=False, when="")) == "Write"


def test_a_row_is_read_aloud_with_all_that_is_painted():
    told = said(line(1, standing="overdue", write="reply by is near"))
    for words in ("Practice 1", "Ring now", "Overdue", "2 to ask", "open until 13:00", "Tue 1 Dec", "reply by is near"):
        assert words in told


def test_letters_of_a_name_a_code_or_a_number_show_those_alone(view):
    for typed, keys in (("practice 3", ["P003"]), ("p002", ["P002"]), ("01632960004", ["P004"]), ("zz", [])):
        view.field.setText(typed)
        view.field.textEdited.emit(typed)
        assert [row.key for row in view.model.rows] == keys
    assert view.clear_search()
    assert len(view.model.rows) == 5


def test_the_chosen_practice_stays_chosen_when_the_order_changes(view):
    view.move(2)
    chosen = []
    view.chosen.connect(chosen.append)
    view.put("P002", line(2, urgency=(True, 1, 2), can_ring=False, when="at 14:05"))
    assert view.current.key == "P002"
    assert [row.key for row in view.model.rows] == ["P000", "P001", "P003", "P004", "P002"]
    assert chosen == []


def test_when_the_chosen_practice_has_gone_the_one_in_its_place_is_chosen(view):
    view.move(2)
    chosen = []
    view.chosen.connect(chosen.append)
    view.put("P002", None)
    assert view.current.key == "P003"
    assert chosen == ["P003"]


def test_why_the_chosen_one_stands_there_is_said_under_the_list(view):
    view.put("P000", line(0, write="3 tries without an answer"))
    assert view.why.text() == "2 questions to ask. In writing: 3 tries without an answer."
    assert view.count.text() == "5 to reach, 5 of them now"


def test_each_standing_has_a_shape_of_its_own_without_its_colour(look):
    """Checklist 22: colour never alone."""
    shapes = set()
    for standing in WORDS:
        image = QImage(40, 40, QImage.Format.Format_ARGB32)
        image.fill(QColor("white"))
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint_standing(painter, standing, QRectF(4, 4, 32, 32), look)
        painter.end()
        grey = image.convertToFormat(QImage.Format.Format_Mono, Qt.ImageConversionFlag.ThresholdDither)
        shapes.add(bytes(grey.constBits()))
    assert len(shapes) == len(WORDS)


def test_six_hundred_practices_are_put_in_order_within_a_blink(view):
    """Refreshed on an answer within 50 ms; measured on the model and view alone."""
    view.show_lines([line(at) for at in range(600)])
    began = time.perf_counter()
    view.put("P000", line(0, urgency=(True, 1, 0)))
    assert time.perf_counter() - began < 0.05
    assert view.model.rows[-1].key == "P000"


def test_a_model_without_rows_has_none():
    model = RingModel()
    assert model.rowCount() == 0
    assert model.data(model.index(0, 0)) is None
    assert model.line_of("P000") is None


def test_everything_that_takes_keys_has_a_name_for_those_who_hear_it(person, booked):
    booked("02")
    person.place.read_again()
    person.wait()
    person.press("Enter")
    for edit in person.place.findChildren(QLineEdit):
        assert edit.accessibleName(), edit
    for button in person.place.findChildren(QAbstractButton):
        if button.isVisible():
            assert button.accessibleName() or button.text(), button


def test_access_keys_are_unique_in_the_place(person, booked, access_keys):
    booked("02")
    person.place.read_again()
    person.wait()
    person.press("Enter")
    assert {letter: words for letter, words in access_keys(person.window).items() if len(words) > 1} == {}


@pytest.mark.parametrize("scale", SIZES)
def test_nothing_scrolls_sideways_and_the_question_is_seen_beside_its_field(open_person, desk, booked, scale):
    """Checklist 26, on 1366 x 768."""
    booked("02", "22")
    person = open_person(desk, scale=scale)
    person.press("Enter").type("Ms Osterby").press("F12", "Enter")
    card = person.place.card
    assert card.horizontalScrollBar().maximum() == 0
    assert card.widget().width() <= card.viewport().width()
    for part in (card.to_say.words, card.to_say.field.edit, card.to_say.field.echo):
        top = part.mapTo(card.viewport(), part.rect().topLeft()).y()
        assert top >= 0
        assert top + part.height() <= card.viewport().height()


def test_at_two_hundred_per_cent_list_and_card_take_turns(open_person, desk, booked):
    booked("02")
    person = open_person(desk, scale=200)
    assert person.place.ring.isVisible()
    assert not person.place.card.isVisible()
    person.press("Enter")
    assert not person.place.ring.isVisible()
    assert person.at == "speaker"
    person.press("Esc")
    assert person.place.ring.isVisible()
    assert person.at == "list"


def test_no_label_of_the_card_takes_a_name_for_markup(person, desk, booked):
    booked("64")
    person.place.read_again()
    person.wait()
    for label in person.place.findChildren(QLabel):
        assert label.textFormat() == Qt.TextFormat.PlainText
