"""Contrast of every colour, and the formula, against published and computed values."""

import re

import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from intake.resources import resource
from intake.ui.palette import contrast, ink_on, read_palettes

PALETTES = read_palettes(resource("look", "palette.toml"))
GROUNDS = ("ground", "surface", "chosen")
TEXTS = ("ink", "quiet", "held", "asks", "caution", "ok", "focus")
LINES = ("line", "focus", "held", "asks", "caution", "ok")
COLOURS = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")

both = pytest.mark.parametrize("shade", ["light", "dark"])


@both
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", TEXTS)
def test_text_has_a_contrast_of_4_5_to_1(shade, text, ground):
    """WCAG 2.2, success criterion 1.4.3."""
    palette = PALETTES[shade]
    assert contrast(getattr(palette, text), getattr(palette, ground)) >= 4.5


@both
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("line", LINES)
def test_borders_marks_and_focus_have_a_contrast_of_3_to_1(shade, line, ground):
    """WCAG 2.2, success criterion 1.4.11."""
    palette = PALETTES[shade]
    assert contrast(getattr(palette, line), getattr(palette, ground)) >= 3


@both
def test_selected_text_can_be_read(shade):
    assert contrast(PALETTES[shade].surface, PALETTES[shade].focus) >= 4.5


def test_black_on_white_is_21_to_1():
    """WCAG 2.2, “contrast ratio”: the ratio ranges from 1 to 21."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#808080", "#808080") == 1


@given(COLOURS, COLOURS)
def test_contrast_agrees_with_another_library(one, other):
    """Coloraide's WCAG 2.1 contrast. It rounds its matrix otherwise, hence the tolerance."""
    assert contrast(one, other) == pytest.approx(Color(one).contrast(other, method="wcag21"), rel=2e-3)


@given(COLOURS)
def test_black_or_white_can_be_read_on_any_box(colour):
    """The worse of the two best: sqrt(21), where black and white are equal."""
    assert contrast(ink_on(colour), colour) >= 4.5


@both
def test_icons_are_drawn_in_the_ink_of_the_palette(shade):
    for file in resource("icons").glob(f"*-{shade}.svg"):
        colours = set(re.findall(r"#[0-9a-f]{6}", file.read_text("utf-8")))
        assert colours == {PALETTES[shade].ink}, file.name
    assert list(resource("icons").glob(f"*-{shade}.svg"))


def test_every_colour_of_the_window_comes_from_the_palette():
    sources = resource().parent.joinpath("intake", "ui").rglob("*.py")
    strays = [
        (source.name, colour)
        for source in sources
        for colour in re.findall(r"#[0-9a-fA-F]{6}\b|Qt\.GlobalColor\.\w+", source.read_text("utf-8"))
        if source.name != "palette.py"
    ]
    assert not strays
