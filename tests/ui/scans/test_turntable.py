"""A person turns a scan, by keys and by hand."""

import threading

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QImage, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget

from intake.inbox.mesh.turntable import Turntable
from intake.ui.jobs import Jobs
from intake.ui.scans.pose import Pose
from intake.ui.scans.turntable import KEYS, TurntableView
from tests.scans.arches import arch, pair

EMPTY = "A scan shows here when it is chosen."
UPPER = Turntable.of_one(arch("upper", 3_000), "upper", 1.0)
ARCHES = pair(3_000)
BOTH = Turntable.of_two(ARCHES.upper, ARCHES.lower, 1.0)
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def jobs(qapp):
    jobs = Jobs(lambda error: pytest.fail(str(error)))
    yield jobs
    jobs.close()


@pytest.fixture
def view(qtbot, look, jobs):
    view = TurntableView(look, jobs, EMPTY)
    qtbot.addWidget(view)
    view._rest.setInterval(5)  # a hand that rests soon
    view.resize(320, 320)
    view.show()
    view.show_scans(UPPER)
    view.setFocus()
    yield view
    view.hide()  # before the job runner closes


@pytest.fixture
def seen(qtbot, view):
    """What shows of the scan once it is at rest, (height, width) of grey, without the words about it."""

    def seen():
        qtbot.waitUntil(lambda: view.at_rest)
        image = view.grab(view._picture().toRect()).toImage().convertToFormat(QImage.Format.Format_Grayscale8)
        rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
        return rows[4:-4, 4 : image.width() - 4].astype(int)

    return seen


def differ(one, other):
    return np.abs(one - other).mean() > 2


NONE, KEYPAD = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier


@pytest.mark.parametrize(
    ("key", "modifier", "pose", "back"),
    [
        (Qt.Key.Key_Right, NONE, Pose(yaw=10), Qt.Key.Key_0),
        (Qt.Key.Key_Left, NONE, Pose(yaw=-10), Qt.Key.Key_Home),
        (Qt.Key.Key_Down, NONE, Pose(pitch=10), Qt.Key.Key_1),
        (Qt.Key.Key_Up, NONE, Pose(pitch=-10), Qt.Key.Key_Down),
        (Qt.Key.Key_Plus, NONE, Pose(zoom=1.25), Qt.Key.Key_0),
        (Qt.Key.Key_Plus, SHIFT, Pose(zoom=1.25), Qt.Key.Key_Minus),
        (Qt.Key.Key_Minus, NONE, Pose(zoom=0.8), Qt.Key.Key_Plus),
        (Qt.Key.Key_Plus, KEYPAD, Pose(zoom=1.25), Qt.Key.Key_Home),
        (Qt.Key.Key_Right, SHIFT, Pose(aside=(0.05, 0.0)), Qt.Key.Key_0),
        (Qt.Key.Key_Up, SHIFT, Pose(aside=(0.0, -0.05)), Qt.Key.Key_Home),
        (Qt.Key.Key_2, NONE, Pose("front"), Qt.Key.Key_1),
        (Qt.Key.Key_3, NONE, Pose("right"), Qt.Key.Key_0),
        (Qt.Key.Key_4, KEYPAD, Pose("left"), Qt.Key.Key_Home),
    ],
)
@pytest.mark.sampled(4)
def test_a_key_turns_the_picture_and_another_turns_it_back(view, seen, key, modifier, pose, back):
    begun = seen()
    QTest.keyClick(view, key, modifier)
    assert view.pose == pose
    assert differ(begun, seen())
    QTest.keyClick(view, back)
    assert view.pose == Pose()
    assert not np.abs(begun - seen()).any()


def test_the_picture_follows_the_hand(view, seen):
    begun = seen()
    middle = view.rect().center()
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=middle)
    QTest.mouseMove(view, middle + QPoint(60, 0))
    QTest.mouseMove(view, middle + QPoint(60, -30))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=middle + QPoint(60, -30))
    assert 10 < view.pose.yaw < 90
    assert view.pose.pitch == pytest.approx(-view.pose.yaw / 2)
    turned = seen()
    assert differ(begun, turned)
    QTest.mouseMove(view, middle)  # the hand let go
    assert not np.abs(turned - seen()).any()


def test_with_shift_the_hand_moves_the_scan_as_far_as_it_goes(view, seen):
    QTest.keyClick(view, Qt.Key.Key_Minus)
    QTest.keyClick(view, Qt.Key.Key_Minus)
    begun = seen()
    middle = view.rect().center()
    QTest.mousePress(view, Qt.MouseButton.LeftButton, SHIFT, middle)
    event_at = QPointF(middle + QPoint(30, 20))
    _drag(view, event_at, SHIFT)
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, SHIFT, event_at.toPoint())
    assert (view.pose.yaw, view.pose.pitch) == (0, 0)
    moved = np.roll(begun, (20, 30), (0, 1))
    assert np.abs(moved - seen()).mean() < 2 < np.abs(begun - seen()).mean()


def _drag(view, at, modifier):
    """QTest moves a pointer without keys held down."""
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QMouseEvent

    where = view.mapToGlobal(at)
    left = Qt.MouseButton.LeftButton
    QApplication.sendEvent(view, QMouseEvent(QEvent.Type.MouseMove, at, where, left, left, modifier))


@pytest.mark.parametrize(("wheel", "zoom"), [(120, 1.25), (-120, 0.8), (15, 1.25**0.125)])
def test_the_wheel_zooms(view, wheel, zoom):
    at = QPointF(view.rect().center())
    turn = QWheelEvent(
        at,
        view.mapToGlobal(at),
        QPoint(),
        QPoint(0, wheel),
        Qt.MouseButton.NoButton,
        NONE,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view, turn)
    assert view.pose.zoom == pytest.approx(zoom)


def test_a_pair_opens_from_the_front_and_comes_back_to_it(view, seen):
    view.show_scans(BOTH)
    assert view.pose == Pose("front")
    begun = seen()
    QTest.keyClick(view, Qt.Key.Key_3)
    assert differ(begun, seen())
    QTest.keyClick(view, Qt.Key.Key_0)
    assert view.pose == Pose("front")
    assert not np.abs(begun - seen()).any()


def test_who_cannot_see_it_is_told_how_the_scan_is_held_and_which_keys_there_are(view):
    assert view.accessibleName()
    assert view.accessibleDescription().startswith("Occlusal. ")
    QTest.keyClick(view, Qt.Key.Key_3)
    QTest.keyClick(view, Qt.Key.Key_Left)
    QTest.keyClick(view, Qt.Key.Key_Down)
    QTest.keyClick(view, Qt.Key.Key_Plus)
    told = view.accessibleDescription()
    assert told.startswith("Patient’s right side, turned 10° to the left and 10° down, 1.2 times as large. ")
    assert all(key in told for key in KEYS)
    view.show_scans(None)
    assert view.accessibleDescription() == EMPTY


def test_without_a_scan_keys_and_hand_do_nothing(view):
    view.show_scans(None)
    QTest.keyClick(view, Qt.Key.Key_Right)
    QTest.mousePress(view, Qt.MouseButton.LeftButton)
    QTest.mouseMove(view, QPoint(10, 10))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton)
    assert view.pose == Pose()


def test_keys_that_mean_nothing_here_go_to_what_is_about_it(qtbot, look, jobs):
    taken = []

    class Around(QWidget):
        def keyPressEvent(self, event):  # noqa: N802
            taken.append(Qt.Key(event.key()))

    around = Around()
    qtbot.addWidget(around)
    column = QVBoxLayout(around)
    inner = TurntableView(look, jobs, EMPTY, around)
    column.addWidget(inner)
    column.addWidget(QLineEdit(around))
    around.show()
    inner.show_scans(UPPER)
    for key in (Qt.Key.Key_PageDown, Qt.Key.Key_Escape, Qt.Key.Key_Q, Qt.Key.Key_Left):
        QTest.keyClick(inner, key)
    QTest.keyClick(inner, Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    assert taken == [Qt.Key.Key_PageDown, Qt.Key.Key_Escape, Qt.Key.Key_Q, Qt.Key.Key_Control, Qt.Key.Key_1]
    assert inner.pose == Pose(yaw=-10)
    around.hide()


class Slow:
    """A turntable whose pictures come when they are let go."""

    home, key, millimetres = "occlusal", (), None

    def __init__(self):
        self.gate, self.drawn = threading.Semaphore(0), []

    def frame(self, yaw, pitch, width, height, view=None, zoom=1, aside=(0, 0), quick=False):
        assert self.gate.acquire(timeout=20)
        self.drawn.append((yaw, quick))
        return UPPER.frame(yaw, pitch, width, height, view, zoom, aside, quick)

    def bar(self, width, height, zoom=1):
        return UPPER.bar(width, height, zoom)


def test_the_window_never_waits_and_of_many_wishes_only_the_newest_is_drawn(view, jobs, qtbot):
    qtbot.waitUntil(lambda: view.at_rest)
    slow = Slow()
    view._rest.setInterval(200)
    view.show_scans(slow)
    for _ in range(30):
        QTest.keyClick(view, Qt.Key.Key_Right)
    assert slow.drawn == []  # all thirty were taken while not one picture was done
    assert view.pose.yaw == -60
    slow.gate.release(10)
    qtbot.waitUntil(lambda: view.at_rest)
    quick = [yaw for yaw, was_quick in slow.drawn if was_quick]
    assert len(quick) <= 2
    assert quick[-1] == -60
    assert (-60, False) in slow.drawn


def test_while_a_hand_turns_without_rest_its_pictures_show(view, seen, qtbot):
    """Each picture is late by then: a newer one has been asked for, and it shows all the same."""
    begun = seen()
    slow = Slow()
    view.show_scans(slow)
    middle = QPointF(view.rect().center())
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=middle.toPoint())
    _drag(view, middle + QPointF(60, 0), NONE)
    slow.gate.release()
    qtbot.waitUntil(lambda: len(slow.drawn) == 1)
    _drag(view, middle + QPointF(90, 0), NONE)
    slow.gate.release()
    qtbot.waitUntil(lambda: len(slow.drawn) == 2)
    _drag(view, middle + QPointF(91, 0), NONE)
    qtbot.waitUntil(lambda: not view._image.isNull())
    assert not view.at_rest
    slow.gate.release(5)
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=(middle + QPointF(91, 0)).toPoint())
    assert differ(begun, seen())


def test_a_picture_of_the_scan_before_never_shows_over_the_next(view, seen, qtbot, jobs):
    begun = seen()
    slow = Slow()
    view.show_scans(slow)
    QTest.keyClick(view, Qt.Key.Key_2)
    view.show_scans(UPPER)
    slow.gate.release(10)
    qtbot.waitUntil(lambda: jobs.under_way == 0)
    assert not np.abs(begun - seen()).any()


def test_a_view_that_is_gone_before_its_picture_comes_harms_nothing(qtbot, look, jobs):
    slow = Slow()
    gone = TurntableView(look, jobs, EMPTY)
    gone.show()
    gone.show_scans(slow)
    gone.deleteLater()
    with qtbot.waitSignal(gone.destroyed):
        pass
    slow.gate.release(10)
    qtbot.waitUntil(lambda: jobs.under_way == 0)


def test_nothing_is_drawn_while_it_is_hidden(qtbot, look, jobs):
    slow = Slow()
    hidden = TurntableView(look, jobs, EMPTY)
    qtbot.addWidget(hidden)
    hidden.show_scans(slow)
    hidden.resize(300, 300)
    assert jobs.under_way == 0
    hidden.show()
    assert jobs.under_way == 1
    slow.gate.release(10)
    qtbot.waitUntil(lambda: hidden.at_rest)
    hidden.hide()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_lies_on_the_ground_of_the_window_and_shows_where_the_keys_go(view, look, seen, scheme):
    look.choose_scheme(scheme)
    seen()
    picture = view.grab().toImage()
    assert picture.pixelColor(30, 60).name() == look.colours.surface
    assert picture.pixelColor(0, 200).name() == look.colours.focus
    view.clearFocus()
    assert view.grab().toImage().pixelColor(0, 200) == QColor(look.colours.line)


@pytest.mark.parametrize("scale", [100, 200])
@pytest.mark.parametrize("size", [(220, 220), (420, 420), (900, 300)])
def test_words_and_picture_keep_apart_at_any_size(view, look, scale, size, qtbot):
    look.choose_scale(scale)
    view.resize(*size)
    qtbot.waitUntil(lambda: view.at_rest)
    picture, hint = view._picture(), view._hint()
    assert picture.bottom() <= hint.top()
    assert picture.height() > 0.3 * size[1]
    assert hint.bottom() <= size[1] + 0.5
    assert bool(view.toolTip()) != view._hint_shows()  # where there is no room for the keys they stand in the tip
