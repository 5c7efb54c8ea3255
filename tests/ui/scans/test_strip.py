"""The strip of scans above the form: what it shows of each, of how they stand, and what it asks."""

import html

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.desk.receive import receive
from intake.desk.scan_checks import CheckHere, check_all
from intake.desk.scan_panel import ScanPanel, scan_panel
from intake.ui.plain import Words
from intake.ui.scans.strip import ScanStrip
from tests.scans import arches
from tests.scans.bringing import mail, pair, two_arches, unnamed
from tests.ui.sizes import SIZES


class Shown:
    """A strip in a window of its own, with the panel of an arrival."""

    def __init__(self, strip, desk):
        self.strip, self._desk = strip, desk

    def show(self, panel):
        self.strip.show_panel(panel if isinstance(panel, ScanPanel) else scan_panel(self._desk, panel))
        return self

    @property
    def thumbs(self):
        return [thumb for thumb in self.strip.thumbs if not thumb.isHidden()]

    @property
    def under(self):
        """What stands under the pictures."""
        return [thumb.words for thumb in self.thumbs]

    @property
    def current(self):
        """Under which picture the keys are."""
        return [thumb.words for thumb in self.thumbs if thumb.current]


@pytest.fixture
def shown(look, keys, desk, qtbot):
    window = QWidget()
    column = QVBoxLayout(window)
    column.setContentsMargins(0, 0, 0, 0)
    strip = ScanStrip(look, keys, window)
    column.addWidget(strip)
    column.addStretch(1)
    qtbot.addWidget(window)
    window.resize(700, 400)
    with qtbot.waitExposed(window):
        window.show()
    yield Shown(strip, desk)
    look.choose_scale(100)


def test_without_scans_there_is_no_strip(shown):
    shown.strip.show_panel(None)
    assert not shown.strip.isVisible()


def test_each_scan_has_a_picture_with_its_jaw_under_it_and_both_arches_stand_behind(shown, panels):
    shown.show(panels["two"])
    assert shown.under == ["Upper", "Lower", "Both arches"]
    assert shown.strip.head.text() == "2 scans"
    assert shown.strip.words.text().startswith("The arches look registered: ")
    assert not any(thumb._picture.isNull() for thumb in shown.thumbs)


def test_while_a_scan_is_checked_that_is_said_and_nothing_is_asked(shown, bring_in):
    shown.show(bring_in("a", unnamed(), checked=False))
    assert shown.under == ["Checking …", "Checking …"]
    assert shown.strip.head.text() == "2 scans, 2 being checked …"
    assert shown.strip.hint.text() == ""


def test_what_is_wrong_is_said_of_the_current_scan_first_and_the_others_are_counted(shown, panels):
    shown.show(panels["many"])
    assert shown.strip.current.seen.file.name == "scan A.ply"
    assert shown.strip.words.text().startswith("scan A.ply: part of an arch. 3 more to look at.")
    shown.strip.choose(next(s.seen.file.file_id for s in shown.strip.panel.shown if s.name == "Upper"))
    assert shown.strip.words.text().startswith("Upper: damaged. 3 more to look at.")


def test_the_tip_says_all_that_was_found(shown, panels):
    shown.show(panels["many"])
    tip = html.unescape(shown.strip.words.toolTip())
    said = [fault for scan in panels["many"].shown for fault in scan.faults]
    assert len(said) >= 5
    assert [each for each in (*said, panels["many"].arches) if each not in tip] == []


def test_where_nothing_is_wrong_that_is_said_with_care(shown, panels):
    shown.show(panels["fit"])
    assert shown.strip.words.text() == "Nothing is wrong as far as can be told."


def test_a_scan_whose_jaw_nobody_knows_is_asked_about_with_the_keys(shown, panels, keys):
    shown.show(panels["unnamed"])
    hint = shown.strip.hint.text().replace("\u00a0", " ")
    assert hint.startswith("Which jaw? upper Ctrl+Up, lower Ctrl+Down, bite Ctrl+Shift+B. It is in inches: Ctrl+I.")
    keys.choose("scan-upper", "Ctrl+K")
    assert "upper Ctrl+K" in shown.strip.hint.text().replace("\u00a0", " ")
    assert "Ctrl+I" in shown.strip.hint.text()


def test_what_is_known_is_not_asked(shown, panels):
    shown.show(panels["two"])
    assert shown.strip.hint.isHidden()


def test_the_keys_begin_at_the_first_scan_that_is_asked_about_and_go_round(shown, bring_in):
    shown.show(bring_in("a", {**two_arches(), "scan.ply": arches.half(pair(1.1).upper)}))
    assert shown.current == ["Which jaw?"]
    shown.strip.choose_next()
    assert shown.current == ["Upper"]
    shown.strip.choose_next()
    assert shown.current == ["Lower"]


def test_a_scan_that_somebody_took_stays_the_current_one_wherever_it_goes(shown, bring_in, desk):
    arrival_id = bring_in("a", unnamed())
    shown.show(arrival_id)
    first, second = (scan.seen.file.file_id for scan in shown.strip.panel.shown)
    shown.strip.choose_next()
    with desk.work() as work:
        work.scans.choose(second, jaw="upper", unit=None)
        work.commit()
    shown.show(arrival_id)
    assert [scan.seen.file.file_id for scan in shown.strip.panel.shown] == [second, first]
    assert shown.strip.current.seen.file.file_id == second


def test_another_arrival_begins_at_its_own_first(shown, bring_in):
    one, other = bring_in("a", unnamed()), bring_in("b", unnamed(1.1))
    shown.show(one).strip.choose_next()
    shown.strip.show_panel(None)
    shown.show(other)
    assert shown.strip.current is shown.strip.panel.shown[0]


def test_a_click_takes_a_scan_and_a_second_looks_closer(shown, panels, qtbot):
    shown.show(panels["two"])
    QTest.mouseClick(shown.thumbs[1], Qt.MouseButton.LeftButton)
    assert shown.current == ["Lower"]
    with qtbot.waitSignal(shown.strip.opened):
        QTest.mouseDClick(shown.thumbs[1], Qt.MouseButton.LeftButton)
    QTest.mouseClick(shown.thumbs[2], Qt.MouseButton.LeftButton)
    assert shown.current == ["Lower"], "both arches are no scan"
    with qtbot.waitSignal(shown.strip.opened):
        shown.strip.closer.click()
    assert shown.strip.closer.text() == "Look closer  Ctrl+L"


def test_each_picture_is_named_for_those_who_hear_it(shown, panels):
    shown.show(panels["many"])
    named = {thumb.words: thumb.accessibleName() for thumb in shown.thumbs}
    assert named["Which jaw?"].startswith("Which jaw?, scan ")
    assert named["Both arches"].startswith("Both arches. The arches look registered: ")
    assert shown.strip.accessibleName() == "Scans"


def test_where_there_is_no_room_for_all_the_current_one_is_in_sight_and_the_others_are_counted(shown, panels):
    shown.show(panels["many"])
    shown.strip.window().resize(420, 400)
    for _ in shown.strip.panel.shown:
        left = len(shown.strip.panel.shown) - sum(words != "Both arches" for words in shown.under)
        assert shown.current == [shown.strip.current.name]
        assert left > 0
        assert shown.strip.head.text() == f"6 scans, {left} more by Ctrl+PgDown"
        shown.strip.choose_next()


@pytest.mark.parametrize("scale", SIZES)
@pytest.mark.parametrize("name", ["many", "two", "one"])
def test_pictures_and_words_are_whole_and_no_window_grows_for_them(shown, panels, look, qapp, scale, name):
    look.choose_scale(scale)
    window = shown.strip.window()
    window.resize(look.px(26), look.px(30))
    shown.show(panels[name])
    for _ in range(5):  # a layout inside a layout inside a layout comes to rest
        qapp.processEvents()
    assert window.width() == look.px(26)
    inside = QRect(0, 0, shown.strip.width(), shown.strip.height())
    for part in (*shown.thumbs, *(w for w in shown.strip.findChildren(Words) if w.isVisible())):
        assert inside.contains(part.geometry())
    for words in (w for w in shown.strip.findChildren(Words) if w.isVisible()):
        assert words.height() >= words.heightForWidth(words.width()), words.text()
    for thumb in shown.thumbs:
        wide = QFontMetrics(look.font("small", bold=thumb.current)).horizontalAdvance(thumb.words)
        assert wide <= thumb.width(), thumb.words


def test_a_message_without_scans_says_who_sent_it_and_how_it_begins(shown, desk, tmp_path):
    (tmp_path / "m.eml").write_bytes(mail("Please fetch the scan from https://scans.example.com/share/7f3a\n" * 9))
    (received,) = receive(desk, [tmp_path / "m.eml"])
    shown.show(received.arrival_id)
    assert shown.strip.head.text() == "A message without scans"
    assert shown.strip.words.text().startswith("desk@marlowe-house.example.com: Please fetch the scan from https://")
    assert shown.strip.words.text().endswith(" …")
    assert shown.thumbs == []
    assert shown.strip.current is None
    shown.strip.choose_next()
    assert shown.strip.current is None


def test_a_message_with_scans_says_who_sent_it(shown, desk, tmp_path):
    (tmp_path / "m.eml").write_bytes(mail("Our scans.", two_arches()))
    (received,) = receive(desk, [tmp_path / "m.eml"])
    shown.show(received.arrival_id)
    assert shown.strip.words.text().endswith("From desk@marlowe-house.example.com.")


def test_a_name_that_looks_like_markup_is_shown_as_it_is_written(shown, desk, tmp_path):
    (tmp_path / "m.eml").write_bytes(mail("Our scan.", {"<b>x<b> & y.ply": arches.half(pair().upper)}))
    (received,) = receive(desk, [tmp_path / "m.eml"])
    check_all(desk, CheckHere())
    shown.show(received.arrival_id)
    assert shown.strip.words.text().startswith("<b>x<b> & y.ply: ")
    assert shown.strip.words.textFormat() == Qt.TextFormat.PlainText
    assert "&lt;b&gt;x" in shown.thumbs[0].toolTip()


def test_the_strip_follows_light_and_dark(shown, panels, look):
    shown.show(panels["two"])
    look.choose_scheme("light")
    light = shown.strip.grab().toImage()
    look.choose_scheme("dark")
    assert shown.strip.grab().toImage() != light
    look.choose_scheme("system")


def test_the_current_picture_and_a_faulty_one_are_marked_by_more_than_colour(shown, panels, look):
    """The frame of the current one is wider, and a faulty one bears a triangle."""
    shown.show(panels["many"])
    faulty = next(thumb for thumb in shown.thumbs if thumb.words == "Which jaw?")
    before = faulty.grab().toImage()
    faulty.show_picture(faulty._png, faulty.words, "", current=False, wrong=False)
    after = faulty.grab().toImage()
    side = look.px(1.2)
    corner = QRect(faulty.width() - side - look.px(0.3), look.px(0.3), side, side)
    assert before.copy(corner) != after.copy(corner)
