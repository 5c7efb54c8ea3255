"""The picture of the load, by keys alone."""

from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from intake.domain.written_dates import shown_day
from intake.ui.day.load_view import LoadView
from tests.ui.sizes import SIZES

ROLE = Qt.ItemDataRole.AccessibleTextRole


@pytest.fixture
def page(room, shell):
    made = LoadView(room)
    window = shell(made)
    yield made
    made.forget()
    window.close()


@pytest.fixture
def opened(page, desk, splints, settled):
    """The page with six splints, three more than Casting can do on their day."""
    booked = splints(13)
    page.set_desk(desk)
    settled()
    page.setFocus()
    settled()
    return booked


def chosen(page):
    line, cell = page.picture.current
    return line.bench, cell.day


def words_of(page):
    return [page.list.things.index(row, 0).data(ROLE) for row in range(page.list.things.rowCount())]


def test_an_empty_page_says_what_it_is_for(page, desk, settled):
    page.set_desk(desk)
    settled()
    assert page.empty.isVisible()
    assert "as soon as a case with an appointment is booked" in page.empty.text()
    assert not page.picture.isVisible()


def test_the_picture_has_the_keys_as_soon_as_it_is_there(page, desk, splints, settled):
    page.setFocus()
    assert page.hasFocus()
    splints(1)
    page.set_desk(desk)
    settled()
    assert page.picture.hasFocus()


def test_today_stands_first_and_closed_days_are_narrow_columns_that_cannot_be_chosen(page, opened):
    assert chosen(page) == ("Casting", date(2026, 11, 25))
    days = [day.day for day in page.picture.cells.load.days]
    saturday = days.index(date(2026, 11, 28))
    assert page.picture.columnWidth(saturday) < page.picture.columnWidth(0) / 3
    assert not page.picture.cells.flags(page.picture.cells.index(0, saturday)) & Qt.ItemFlag.ItemIsEnabled
    assert page.picture.cells.index(0, saturday).data(ROLE) == f"{shown_day(days[saturday])}: not worked (Saturday)."


def test_the_arrow_keys_choose_bench_and_day_over_a_weekend(page, opened, press, settled):
    press(page, *["Right"] * 3)
    assert chosen(page) == ("Casting", date(2026, 11, 30))
    press(page, "Right", "Right")
    settled()
    assert page.said.text() == (
        "Casting, Wed 2 Dec: 13 jobs asked; it finishes 2 in a working day, so 11 are too many."
    )
    press(page, "Down")
    assert chosen(page) == ("Splints", date(2026, 12, 2))
    settled()
    assert "Its capacity is not in the setup" in page.late.text()
    assert len(words_of(page)) == 1


def test_below_stand_the_jobs_of_the_bench_and_the_day_and_those_that_cannot_keep_it(page, opened, press, settled):
    press(page, *["Right"] * 5)
    settled()
    said = words_of(page)
    assert said[0] == "Casting, Wed 2 Dec: 13"
    assert said[14] == "Cannot keep their day at Casting: 1"
    assert "1 working day late, done on Thu 3 Dec, because the bench is full; give it a later day" in said[1]
    assert page.late.text() == (
        "Worked in order of due date, 1 job cannot keep its day here. It would have to be moved to a later day."
    )


def test_enter_goes_to_the_jobs_and_opens_one_in_look_up_and_esc_comes_back(page, opened, press, settled):
    wanted = []
    page.job_wanted.connect(wanted.append)
    press(page, *["Right"] * 5)
    settled()
    press(page, "Return")
    assert page.list.hasFocus()
    press(page, "Down", "Return")
    assert len(wanted) == 1
    assert wanted[0] in {booked.jobs[0].number for booked in opened}
    press(page, "Esc")
    assert page.picture.hasFocus()
    assert chosen(page) == ("Casting", date(2026, 12, 2))


def test_every_cell_says_in_words_what_it_shows(page, opened):
    cells = page.picture.cells
    said = [
        cells.index(row, column).data(ROLE)
        for row in range(cells.rowCount())
        for column in range(cells.columnCount())
        if not cells.is_closed(column)
    ]
    assert "Casting, Wed 2 Dec: 13 jobs asked; it finishes 2 in a working day, so 11 are too many." in said
    assert "Splints, Mon 7 Dec: 13 jobs asked." in said
    assert all(words.endswith(".") for words in said)
    head = cells.headerData(0, Qt.Orientation.Vertical, ROLE)
    assert head == "Casting\n2 a day, 1 late"


def test_what_is_over_the_capacity_is_hatched_and_said_in_words_besides_its_colour(page, opened, look):
    picture = page.picture.grab().toImage()
    area = page.picture.visualRect(page.picture.cells.index(0, _column(page, date(2026, 12, 2))))
    header = page.picture.verticalHeader().width(), page.picture.horizontalHeader().height()
    held = QColor(look.colours.held).rgb()
    bar = [
        (x, y)
        for x in range(area.right() + header[0] - look.px(1.2), area.right() + header[0])
        for y in range(area.top() + header[1], area.bottom() + header[1])
        if picture.pixel(x, y) == held
    ]
    assert bar
    rows = {y for _, y in bar}
    assert any(sum(1 for _, at in bar if at == y) < look.px(0.6) for y in rows)  # strokes, not a filled area


def _column(page, day):
    return [each.day for each in page.picture.cells.load.days].index(day)


def test_held_jobs_are_named_apart(page, desk, settled, press):
    from intake.desk.book_in import book
    from tests.desk.desks import day_case

    book(desk, day_case("03"), "held")
    page.set_desk(desk)
    settled()
    found = [words for words in _all(page) if "held" in words]
    assert found
    assert all("0 jobs asked" in words for words in found)


def _all(page):
    cells = page.picture.cells
    return [
        cells.index(row, column).data(ROLE) for row in range(cells.rowCount()) for column in range(cells.columnCount())
    ]


def test_what_was_chosen_stays_chosen_when_the_load_is_read_again(page, opened, press, settled, splints):
    press(page, "Right", "Right", "Down")
    before = chosen(page)
    page.read_again()
    settled()
    assert chosen(page) == before


@pytest.mark.parametrize("scale", SIZES)
def test_a_cell_has_room_for_its_words_at_every_size(page, opened, look, scale):
    from PySide6.QtGui import QFontMetrics

    from intake.ui.day.load_model import cell_lines

    look.choose_scale(scale)
    small = QFontMetrics(look.font("small", bold=True))
    for row in range(page.picture.cells.rowCount()):
        assert page.picture.rowHeight(row) >= 2 * small.height()
        for column in range(page.picture.cells.columnCount()):
            cell = page.picture.cells.cell(page.picture.cells.index(row, column))
            words = cell_lines(cell) if cell else ()
            room = page.picture.columnWidth(column) - look.px(1.8)
            assert all(small.horizontalAdvance(line) <= room for line in words)


def test_where_there_is_no_room_for_both_picture_and_jobs_take_turns(page, opened, look, press, settled):
    look.choose_scale(200)
    settled()
    assert page.picture.isVisible()
    assert not page.list.isVisible()
    press(page, "Return")
    assert page.list.isVisible()
    assert not page.picture.isVisible()
    press(page, "Esc")
    assert page.picture.isVisible()


def test_typing_moves_nothing(page, opened, type_text):
    before = chosen(page)
    type_text(page, "Checking")
    assert chosen(page) == before


def test_an_answer_that_comes_after_the_window_closes_is_not_wanted(page, desk, splints, settled):
    splints(1)
    page.set_desk(desk)
    page.forget()
    settled()
    assert page.picture.cells.load is None
