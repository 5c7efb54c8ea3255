import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontInfo, QFontMetrics, QPalette
from PySide6.QtWidgets import QLabel, QLineEdit

from intake.ui.look import PIXELS, SCALES, Look
from intake.ui.palette import contrast, luminance


def test_three_sizes_grow_with_the_text(look):
    for scale in SCALES:
        look.choose_scale(scale)
        assert [look.font(size).pixelSize() for size in PIXELS] == [round(p * scale / 100) for p in PIXELS.values()]
        assert look.px(1) == round(PIXELS["text"] * scale / 100)


def test_text_grows_and_shrinks_between_100_and_200_per_cent(look):
    for _ in range(len(SCALES) + 2):
        look.larger()
    assert look.scale == 200
    for _ in range(len(SCALES) + 2):
        look.smaller()
    assert look.scale == 100
    look.larger()
    look.usual_size()
    assert look.scale == 100


def test_scheme_and_size_come_back(qapp, settings, look):
    look.choose_scheme("dark")
    look.choose_scale(150)
    again = Look(qapp, settings)
    assert (again.scheme, again.shade, again.scale) == ("dark", "dark", 150)


def test_bad_settings_are_passed_over(qapp, settings):
    settings.setValue("look/scheme", "purple")
    settings.setValue("look/scale", "enormous")
    look = Look(qapp, settings)
    assert (look.scheme, look.scale) == ("system", 100)


def test_a_live_switch_of_colour_scheme_leaves_nothing_unreadable(qtbot, qapp, settings):
    """The system's switch is announced by its signal; each time, ink and ground are read from the widgets."""
    system = {"dark": False}
    look = Look(qapp, settings, system_is_dark=lambda: system["dark"])
    field, label = QLineEdit("26 004123 76"), QLabel("Splints")
    for widget in (field, label):
        qtbot.addWidget(widget)
        widget.show()
    for dark in (True, False):
        system["dark"] = dark
        qapp.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark if dark else Qt.ColorScheme.Light)
        assert look.shade == ("dark" if dark else "light")
        for widget, ink, ground in (
            (field, QPalette.ColorRole.Text, QPalette.ColorRole.Base),
            (label, QPalette.ColorRole.WindowText, QPalette.ColorRole.Window),
        ):
            colours = widget.palette()
            assert contrast(colours.color(ink).name(), colours.color(ground).name()) >= 4.5
            assert (luminance(colours.color(ground).name()) < 0.5) == dark


def test_a_scheme_by_hand_does_not_follow_the_system(qapp, settings):
    look = Look(qapp, settings, system_is_dark=lambda: True)
    look.choose_scheme("light")
    qapp.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert look.shade == "light"


@pytest.mark.parametrize("bold", [False, True])
def test_figures_are_tabular_so_that_numbers_line_up(look, bold):
    metrics = QFontMetrics(look.font(bold=bold))
    assert len({metrics.horizontalAdvance(figure) for figure in "0123456789"}) == 1


def test_the_shipped_family_is_the_one_in_use(look):
    assert QFontInfo(look.font()).family() == "Intake Sans"


def test_a_hint_in_an_empty_field_can_be_read(qtbot, look):
    field = QLineEdit()
    field.setPlaceholderText("hard splint upper 3mm")
    qtbot.addWidget(field)
    for shade in ("light", "dark"):
        look.choose_scheme(shade)
        field.ensurePolished()
        hint = field.palette().color(QPalette.ColorRole.PlaceholderText)
        assert hint.alpha() == 255
        assert contrast(hint.name(), look.colours.surface) >= 4.5
