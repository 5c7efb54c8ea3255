from datetime import date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as examples
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QRectF
from PySide6.QtGui import QColor, QHelpEvent, QImage, QPainter
from PySide6.QtWidgets import QApplication, QToolTip

from intake.ui.day_strip import DayStrip
from intake.ui.marks import WORDS, shape
from intake.ui.strip_view import StripView

TODAY = date(2026, 11, 25)
EMPTY = "The days show here as soon as the appointment is typed."
WORKED = StripView(
    today=TODAY,
    appointment=date(2026, 12, 10),
    outlook="comfortable",
    slack="Comfortable: 5 working days to spare.",
    latest_start=date(2026, 12, 2),
    must_leave=date(2026, 12, 8),
    reply_by=datetime(2026, 12, 1, 12),
    pour_by=datetime(2026, 12, 8, 15, 30),
    closed={date(2026, 11, 28): "Saturday", date(2026, 11, 29): "Sunday", date(2026, 12, 7): "The lab’s anniversary"},
    practice_open=frozenset({date(2026, 12, 9), date(2026, 12, 10)}),
)


@pytest.fixture
def strip(qtbot, look):
    strip = DayStrip(look, EMPTY)
    qtbot.addWidget(strip)
    strip.resize(440, 300)
    strip.show()
    return strip


@st.composite
def views(draw):
    span = draw(st.integers(0, 119))
    days = st.integers(0, span).map(lambda at: TODAY + timedelta(at))
    hours = days.map(lambda day: datetime(day.year, day.month, day.day, 12))
    return StripView(
        today=TODAY,
        appointment=TODAY + timedelta(span),
        outlook=draw(st.sampled_from(["comfortable", "tight", "late"])),
        slack="x",
        latest_start=draw(days),
        must_leave=draw(days),
        reply_by=draw(st.none() | hours),
        pour_by=draw(st.none() | hours),
        would_hold=draw(st.none() | days),
    )


@examples(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(view=views(), width=st.integers(340, 900), scale=st.sampled_from([100, 150, 200]))
def test_words_never_cover_one_another_from_1_to_120_days(strip, look, view, width, scale):
    look.choose_scale(scale)
    strip.show_days(view)
    places = strip.geometry_for(width * scale // 100)
    areas = [places.label_area(label) for label in places.labels]
    assert len(places.days) <= 120
    for one in range(len(areas)):
        assert not any(areas[one].intersects(areas[other]) for other in range(one))
        assert areas[one].left() >= 0
        assert areas[one].right() <= width * scale // 100
        assert areas[one].top() >= places.band.bottom()
    assert max(area.bottom() for area in areas) <= places.height


def test_every_calendar_day_has_a_cell_of_its_own(strip):
    strip.show_days(WORKED)
    places = strip.geometry_for(440)
    assert places.days[0] == TODAY
    assert places.days[-1] == WORKED.appointment
    cells = [places.cell_of(day) for day in places.days]
    assert len(cells) == 16
    assert all(one.right() == pytest.approx(other.left()) for one, other in pairwise(cells))
    assert [places.day_at(cell.center().x()) for cell in cells] == places.days
    assert places.day_at(1) is None


def test_slack_is_as_wide_as_the_open_days_before_the_latest_start(strip, look):
    strip.show_days(WORKED)
    picture = strip.grab().toImage()
    places = strip.geometry_for(strip.width())
    y = round(places.band.top() + 4)
    green = [
        d for d in places.days if picture.pixelColor(round(places.cell_of(d).left() + 3), y) == QColor(look.colours.ok)
    ]
    assert green == [date(2026, 11, 25), date(2026, 11, 26), date(2026, 11, 27), date(2026, 11, 30), date(2026, 12, 1)]


def test_a_late_case_shows_the_days_that_are_gone(strip):
    late = StripView(TODAY, date(2026, 12, 1), "late", "Late.", date(2026, 11, 20), date(2026, 11, 27))
    strip.show_days(late)
    assert strip.geometry_for(440).days[0] == date(2026, 11, 20)


def test_the_strip_is_said_in_words(strip):
    assert strip.accessibleDescription() == EMPTY
    strip.show_days(WORKED)
    assert strip.accessibleDescription() == (
        "Comfortable: 5 working days to spare. Today Wed 25 Nov, Reply by Tue 1 Dec 12:00, Latest start Wed 2 Dec, "
        "Pour by Tue 8 Dec 15:30, Must leave Tue 8 Dec, Appointment Thu 10 Dec. "
        "Closed: Sat 28 Nov Saturday, Sun 29 Nov Sunday, Mon 7 Dec The lab’s anniversary."
    )
    strip.show_days(None)
    assert strip.accessibleDescription() == EMPTY


def test_a_holiday_is_named_on_the_strip_and_a_weekend_is_not():
    assert WORKED.named_closures() == "Closed: Mon 7 Dec The lab’s anniversary"


def test_the_tip_of_a_day_says_why_it_is_closed(strip):
    strip.show_days(WORKED)
    cell = strip.geometry_for(strip.width()).cell_of(date(2026, 12, 7)).center().toPoint()
    QApplication.sendEvent(strip, QHelpEvent(QHelpEvent.Type.ToolTip, cell, strip.mapToGlobal(cell)))
    assert "Mon 7 Dec 2026: closed: The lab’s anniversary" in QToolTip.text()
    QToolTip.hideText()
    assert isinstance(cell, QPoint)


def test_a_day_says_all_that_falls_on_it():
    said = WORKED.said_of(date(2026, 12, 8))
    assert said == "Tue 8 Dec 2026: Pour by Tue 8 Dec 15:30, Must leave Tue 8 Dec"
    assert WORKED.said_of(date(2026, 12, 9)) == "Wed 9 Dec 2026: practice open"


def test_no_two_marks_share_a_shape():
    pictures = {}
    for kind in WORDS:
        picture = QImage(20, 20, QImage.Format.Format_Grayscale8)
        picture.fill(255)
        painter = QPainter(picture)
        painter.fillPath(shape(kind, QRectF(2, 2, 16, 16)), QColor("#000000"))
        painter.end()
        pictures[kind] = [picture.pixelColor(x, y).value() for x in range(20) for y in range(20)]
    for one in pictures:
        for other in pictures:
            if one != other:
                differing = sum(abs(a - b) > 100 for a, b in zip(pictures[one], pictures[other], strict=True))
                assert differing >= 25, (one, other)


def test_the_strip_asks_for_the_height_that_its_labels_need(strip):
    strip.show_days(WORKED)
    assert strip.heightForWidth(440) == strip.geometry_for(440).height
    assert strip.heightForWidth(900) < strip.heightForWidth(340)
