import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QFontMetrics

from intake.ui.findings_list import FindingsList, FindingView, level_colour, paint_level

FINDINGS = [
    FindingView("stops", "Please send the bite record.", "No bite record among the 2 items received."),
    FindingView("asks", "How thick is the splint to be?", "The prescription says no thickness."),
    FindingView("warns", "Treat the impression as contaminated.", "Nothing says that it was disinfected."),
]


@pytest.fixture
def findings(qtbot, look, keys):
    keys.enter_place("arrivals")
    view = FindingsList(look, keys)
    view.addActions([keys.action(f"finding-{digit}") for digit in range(1, 10)])
    qtbot.addWidget(view)
    view.resize(440, 400)
    with qtbot.waitActive(view):
        view.show()
        view.activateWindow()
    view.show_findings(FINDINGS)
    return view


@pytest.mark.parametrize(
    ("key", "at"), [("Alt+1", 0), ("Alt+2", 1), ("Alt+3", 2), ("Alt+&", 0), ("Alt+É", 1), ('Alt+"', 2)]
)
def test_a_key_chooses_its_line_on_every_layout(findings, press, qtbot, key, at):
    """The last three are what the digit row of a French keyboard gives; from memory of the layout."""
    with qtbot.waitSignal(findings.finding_chosen) as heard:
        press(findings, key)
    assert heard.args == [at]


def test_a_key_without_a_line_does_nothing(findings, press, qtbot):
    with qtbot.assertNotEmitted(findings.finding_chosen):
        press(findings, "Alt+4")


def test_arrows_and_enter_choose_a_line(findings, press, qtbot):
    findings.setFocus()
    findings.setCurrentIndex(findings.model().index(0, 0))
    with qtbot.assertNotEmitted(findings.finding_chosen):
        press(findings, "Down")
    with qtbot.waitSignal(findings.finding_chosen) as heard:
        press(findings, "Return")
    assert heard.args == [1]


def test_a_click_chooses_a_line(findings, qtbot):
    middle = findings.visualRect(findings.model().index(2, 0)).center()
    with qtbot.waitSignal(findings.finding_chosen) as heard:
        qtbot.mouseClick(findings.viewport(), Qt.MouseButton.LeftButton, pos=middle)
    assert heard.args == [2]


def test_a_new_verdict_keeps_the_chosen_line(findings):
    findings.setCurrentIndex(findings.model().index(1, 0))
    findings.show_findings(FINDINGS[:2])
    assert findings.currentIndex().row() == 1
    findings.show_findings(FINDINGS[:1])
    assert not findings.currentIndex().isValid()


def test_each_line_is_said_with_its_level_reason_and_key(findings):
    said = findings.model().index(0, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    assert said == "Stops: Please send the bite record. No bite record among the 2 items received. Alt+1"
    line = QAccessible.queryAccessibleInterface(findings).child(0)
    assert line.text(QAccessible.Text.Name) == said


@pytest.mark.parametrize("width", [200, 300, 600])
@pytest.mark.parametrize("scale", [100, 200])
def test_long_text_wraps_and_makes_its_line_higher(findings, look, width, scale):
    look.choose_scale(scale)
    long = FindingView("asks", "Please say which of the teeth the clasps go on. " * 4, "Because. " * 30)
    findings.resize(width * scale // 100, 400)
    findings.show_findings([long])
    delegate, index = findings.itemDelegate(), findings.model().index(0, 0)
    rect = findings.visualRect(index)
    _, _, question, reason = delegate._places(rect, long)
    needed = QFontMetrics(look.font()).boundingRect(question, Qt.TextFlag.TextWordWrap, long.question)
    assert needed.height() <= question.height()
    assert reason.bottom() < delegate.sizeHint(None, index).height()
    assert question.right() < findings.viewport().width()
    assert not findings.horizontalScrollBar().isVisible()


def test_markup_is_shown_as_it_is_written(findings):
    findings.show_findings([FindingView("asks", "<b>Smith</b>", "<img src=x>")])
    assert findings.model().index(0, 0).data() == "<b>Smith</b>"


def test_levels_differ_in_shape_as_well_as_colour(look, qtbot):
    """Drawn in one ink, no two levels look alike."""
    from PySide6.QtCore import QRectF
    from PySide6.QtGui import QColor, QImage, QPainter

    pictures = []
    for level in ("stops", "asks", "warns"):
        picture = QImage(24, 24, QImage.Format.Format_RGB32)
        picture.fill(QColor("#ffffff"))
        painter = QPainter(picture)
        paint_level(painter, level, QRectF(2, 2, 20, 20), QColor("#000000"), QColor("#ffffff"), look)
        painter.end()
        pictures.append(picture)
    points = [(x, y) for x in range(24) for y in range(24)]
    for one in range(3):
        for other in range(one):
            same = [pictures[one].pixel(*at) != pictures[other].pixel(*at) for at in points]
            assert sum(same) > 50
    assert len({level_colour(level, look.colours) for level in ("stops", "asks", "warns")}) == 3
