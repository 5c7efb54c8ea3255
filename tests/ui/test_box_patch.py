import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from intake.ui.box_patch import BoxPatch, BoxView, _places

BLUE = BoxView("Splints", "Blue", "#1f6fb4", held=True)
EMPTY = "The box shows here. Start with the practice."


@pytest.fixture
def patch(qtbot, look):
    patch = BoxPatch(look, EMPTY)
    qtbot.addWidget(patch)
    patch.resize(440, 220)
    patch.show()
    return patch


def _grey(widget: QWidget) -> QImage:
    return widget.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)


def test_the_box_is_said_in_words(patch):
    patch.show_boxes([BLUE, BoxView("Whitening", "Yellow", "#f2c400", held=False)])
    assert patch.accessibleDescription() == "Splints, Blue box, HOLD; Whitening, Yellow box, CLEAR"


def test_no_box_says_what_to_do(patch):
    assert patch.accessibleDescription() == EMPTY
    patch.show_boxes([BLUE])
    patch.show_boxes([])
    assert patch.accessibleDescription() == EMPTY


def test_the_colour_goes_from_edge_to_edge(patch):
    patch.show_boxes([BoxView("Splints", "Blue", "#1f6fb4", held=False)])
    picture = patch.grab().toImage()
    corners = [(2, 2), (437, 2), (2, 217), (437, 217)]
    assert {picture.pixelColor(*corner).name() for corner in corners} == {"#1f6fb4"}


@pytest.mark.parametrize("colour", ["#1f6fb4", "#f2c400", "#ffffff", "#000000", "#808080"])
def test_held_and_clear_differ_in_grey(patch, colour):
    """Held is a hatch and a plate: a good part of the patch changes, not a word alone."""
    pictures = []
    for held in (True, False):
        patch.show_boxes([BoxView("Splints", "Blue", colour, held)])
        pictures.append(_grey(patch))
    one, other = pictures
    points = [(x, y) for x in range(0, 440, 2) for y in range(0, 220, 2)]
    changed = sum(abs(one.pixelColor(*at).value() - other.pixelColor(*at).value()) > 40 for at in points)
    assert changed > len(points) * 0.05


@pytest.mark.parametrize("scale", [100, 200])
@pytest.mark.parametrize("count", [1, 2, 3, 5])
@pytest.mark.parametrize("held", [True, False])
def test_words_and_sign_of_several_boxes_fit_and_cover_nothing(patch, look, scale, count, held):
    look.choose_scale(scale)
    patch.show_boxes([BoxView("Orthodontic appliances", "Light green", "#3a8f4a", held)] * count)
    patch.resize(440 * scale // 100, 230 * scale // 100)
    areas = patch._areas()
    for box, area in zip(patch._boxes, areas, strict=True):
        places = _places(look, box, area)
        assert places.fits
        assert places.plate.bottom() <= places.sign.top()
        assert area.contains(places.sign)
    assert sum(area.width() * area.height() for area in areas) <= patch.width() * patch.height() + 1


def test_one_box_is_read_at_arms_length(patch, look):
    places = _places(look, BLUE, patch._areas()[0] if patch._boxes else patch.rect().toRectF())
    assert places.words_font.pixelSize() == places.sign_font.pixelSize() == look.font("arm").pixelSize()


def test_many_boxes_ask_for_no_more_height_than_two_rows_so_that_the_window_stays_on_the_screen(patch):
    patch.show_boxes([BLUE] * 4)
    two_rows = patch.minimumSizeHint().height()
    patch.show_boxes([BLUE] * 8)
    assert patch.minimumSizeHint().height() == two_rows
