"""A day on the screen, worked by keys alone."""

from datetime import timedelta

import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel, QPushButton

from intake.desk.closing import close_day, left_over
from intake.ui.help_panel import NO_HELP, help_of
from tests.desk.desks import NOW, printed
from tests.ui.sizes import SIZES


def test_the_numbers_of_the_day_stand_at_arms_length(person):
    assert person.numbers == {
        "arrived": "4",
        "cases booked": "2",
        "jobs clear": "1",
        "jobs held": "1",
        "jobs handed over": "0",
        "open just now": "2",
    }
    today = person.place.today
    assert today.figures._numbers[0].property("print") == "arm"
    assert today.title.text() == "Today, Wed 25 Nov 2026"
    assert "not closed yet" in today.counted.text()
    assert today.open.text().startswith("2 arrivals to book in · 0 parcels not finished · 1 job held in all")


def test_each_category_stands_with_its_colour_and_the_colours_name(person):
    rows = [label.text() for label in person.place.today.table.findChildren(QLabel)]
    assert {"By post", "Scans"} <= set(rows)
    assert any(", Blue" in row for row in rows)


def test_the_hours_are_told_to_who_does_not_see_the_bars(person):
    hours = person.place.today.hours.accessibleDescription().split("; ")
    assert [hour for hour in hours if hour.startswith("10 o’clock")] == [
        "10 o’clock: 0 arrived, 2 booked, 0 handed over"
    ]


def test_what_is_not_finished_is_one_list_under_headings(person):
    assert person.listed[0].startswith("Must leave today, Wed 25 Nov 2026: none.")
    assert "Tickets that wait for the printer: 1" in person.listed
    assert any(title.startswith("Ticket 26 ") for title in person.listed)


def test_enter_goes_where_something_can_be_done(person):
    person.press("Down", "Return")
    (go,) = person.gone
    assert go.place == "look-up"


def test_the_arrow_keys_pass_over_the_headings(person):
    things = person.place.today.things
    lines = [row.title for row in things.things.rows if not isinstance(row, str)]
    assert len(lines) > 1
    chosen = [things.chosen.title]
    for _ in lines:
        person.press("Down")
        chosen.append(things.chosen.title)
    assert chosen == [*lines, lines[-1]]
    for _ in lines:
        person.press("Up")
    assert things.chosen.title == lines[0]


def test_esc_leaves_for_arrivals(person):
    person.press("Escape")
    assert person.lefts == 1


def test_three_pages_by_keys(person):
    for key, page in (("Ctrl+2", "load"), ("Ctrl+3", "pour"), ("Ctrl+1", "today")):
        person.press(key)
        assert person.page == page
        assert [name for name, tab in person.place.tabs.items() if tab.property("picked")] == [f"day-{page}"]


def test_the_pages_of_the_benches_work_inside_the_place(person):
    """Each of them reads what it shows when it comes into view, and Esc leaves from there too."""
    person.press("Ctrl+2")
    assert person.place.load.picture.isVisible() or person.place.load.empty.isVisible()
    person.press("Ctrl+3")
    assert person.place.pour.list.isVisible() or person.place.pour.empty.isVisible()
    person.press("Escape")
    assert person.lefts == 1


def test_a_job_of_the_bench_load_is_shown_in_look_up(person):
    person.place.load.job_wanted.emit("2600000108")
    (go,) = person.gone
    assert (go.place, go.about) == ("look-up", "2600000108")


def test_another_day_is_typed_as_the_desk_types_days(person):
    person.press("Ctrl+D").type("yesterday").press("Return")
    assert person.place.today.title.text() == "Tue 24 Nov 2026"
    assert person.numbers["cases booked"] == "0"
    person.press("Ctrl+D").press("Return")
    assert person.place.today.title.text() == "Today, Wed 25 Nov 2026"


def test_a_day_that_is_none_is_refused_with_what_would_be_right_and_stays_typed(person):
    person.press("Ctrl+D").type("31/2").press("Return")
    today = person.place.today
    assert today.day_said.isVisible()
    assert "31" in today.day_said.text()
    assert today.day.text() == "31/2"
    person.press("Escape")
    assert not today.day.isVisible()
    assert person.lefts == 0
    assert QApplication.focusWidget() is today.things


def test_the_day_before_and_the_day_after_by_one_key(person):
    person.press("Ctrl+PgUp", "Ctrl+PgUp")
    assert person.place.today.title.text() == "Mon 23 Nov 2026"
    person.press("Ctrl+PgDown", "Ctrl+PgDown")
    assert person.place.today.title.text() == "Today, Wed 25 Nov 2026"


def test_the_sheet_is_printed_by_one_key(person, tmp_path):
    person.press("Ctrl+P")
    (issued,) = person.issued
    assert issued.sent
    assert [name for name in printed(tmp_path) if "Day sheet" in name]


def test_the_sheet_is_kept_as_a_pdf_where_the_person_says(person, tmp_path):
    person.press("Ctrl+S")
    dialog = person.window.findChild(QFileDialog)
    assert dialog.selectedFiles()[0].endswith("Day sheet 2026-11-25.pdf")
    dialog.fileSelected.emit(str(tmp_path / "kept.pdf"))
    dialog.close()
    person.wait()
    assert (tmp_path / "kept.pdf").read_bytes().startswith(b"%PDF")
    assert person.news == "The day sheet is kept as kept.pdf."


def test_a_file_that_cannot_be_written_is_said(person, tmp_path):
    person.press("Ctrl+S")
    dialog = person.window.findChild(QFileDialog)
    dialog.fileSelected.emit(str(tmp_path / "nowhere" / "kept.pdf"))
    dialog.close()
    person.wait()
    assert person.news.startswith("The day sheet was not kept:")


def test_a_day_that_is_closed_says_by_whom(person, desk):
    close_day(desk, {thing.key: "Comes to it tomorrow" for thing in left_over(desk)})
    person.place.read_again()
    person.wait()
    assert person.place.today.closed.text().startswith("Wed 25 Nov 2026 was closed by AB at 10:30")


def test_an_empty_day_says_what_the_place_is_for_and_what_to_press(open_person, empty_desk):
    person = open_person(empty_desk)
    assert person.place.today.empty.isVisible()
    assert "F2 goes to Arrivals" in person.place.today.empty.text()
    assert not person.place.today.things.isVisible()
    person.press("F4")
    assert person.place.closing.what.text() == "Nothing is open without a reason."


def test_before_the_data_are_open_a_key_says_so(open_person):
    person = open_person(None)
    for key in ("Ctrl+P", "F4", "Ctrl+S"):
        person.press(key)
        assert "still being opened" in person.news


def test_the_day_is_counted_again_when_the_place_comes_into_view(person, clock):
    clock.now = NOW + timedelta(hours=3)
    person.place.read_again()
    person.wait()
    assert person.place.today.counted.text().startswith("counted at 13:30")


@pytest.mark.parametrize("scale", SIZES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.sampled(2)
def test_nothing_is_cut_off_sideways_on_a_small_screen(open_person, desk, scale, scheme):
    person = open_person(desk, scale=scale, scheme=scheme)
    assert (person.window.width(), person.window.height()) == (1366, 768)
    today = person.place.today
    assert today._numbers.width() <= today._scroll.viewport().width()
    for button in today.findChildren(QPushButton):
        assert button.width() >= button.sizeHint().width(), button.text()
    for part in (*today.figures._numbers, *today.figures._words):
        assert part.width() >= part.sizeHint().width(), part.text()
    person.press("F4")
    closing = person.place.closing
    assert closing.widget().width() <= closing.viewport().width()
    for button in closing.findChildren(QPushButton):
        if button.isVisible():
            assert button.width() >= min(button.sizeHint().width(), closing.card.width() - 60), button.text()


def test_where_there_is_little_room_the_list_is_reached_by_its_keys(open_person, desk):
    person = open_person(desk, scale=200)
    today = person.place.today
    assert today.things.hasFocus()
    person.press("Down", "Down", "Down", "Down", "Down", "Down")
    assert today._scroll.verticalScrollBar().value() > 0
    for _ in range(8):
        person.press("Up")
    assert today._scroll.verticalScrollBar().value() == 0


def test_every_stop_of_the_tab_key_has_a_name_and_help(person):
    for part in (
        person.place.today.things,
        person.place.today.day,
        person.place.closing.card,
        person.place.closing.own,
    ):
        assert part.accessibleName()
        assert help_of(part)[1] != NO_HELP


def test_every_action_of_the_place_is_heard(person):
    """None of them is a line in the menu that nothing happens by."""
    actions = [person.window._keys.action(row.id) for row in person.window._keys.table if row.place == "day"]
    assert len(actions) >= 10
    assert all(isinstance(action, QAction) and action.receivers("2triggered(bool)") for action in actions)
