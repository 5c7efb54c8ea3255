"""The house font: what it covers, what it cannot be mistaken for, and what happens to a character that it lacks."""

import numpy as np
import pytest
from fontTools.ttLib import TTFont
from PIL import Image, ImageDraw, ImageFont

from intake.documents.fonts import BOLD, REGULAR, SUBSTITUTE, printable, text_width
from intake.resources import resource

FACES = [REGULAR, BOLD]
ALPHABETS = {
    "English": "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789",
    "Welsh": "ŵŷâêîôûẁẃẅỳŴŶÂÊÎÔÛ",
    "Polish": "ąćęłńóśźżĄĆĘŁŃÓŚŹŻ",
    "Turkish": "çğıİöşü",
    "German": "äöüßÄÖÜẞ",
    "Vietnamese": "ăâđêôơưếệọ",
    "Greek": "αβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώϊϋΐΰΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ",
    "Cyrillic": "абвгдежзийклмнопрстуфхцчшщъыьэюяіїєґђјљњћџў",
    "signs": "“”‘’–—…·×±°½≤≥−→←↑↓✓€£№\ufffd",
}


def opened(face: str) -> TTFont:
    return TTFont(resource("fonts", f"{face}.ttf"))


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("alphabet", ALPHABETS.values(), ids=ALPHABETS)
def test_the_font_has_every_letter_of(face, alphabet):
    assert set(map(ord, alphabet)) <= set(opened(face).getBestCmap())


@pytest.mark.parametrize("face", FACES)
def test_the_font_is_one_small_family_of_its_own_name(face):
    font = opened(face)
    assert font["name"].getDebugName(1) == "Intake Sans"
    assert font["name"].getDebugName(2) == ("Bold" if face == BOLD else "Regular")
    # "Plex" is a name that the licence reserves: it may be told as the source, but the fonts may not bear it.
    assert not any("Plex" in str(n) for n in font["name"].names if n.nameID in (1, 2, 3, 4, 6, 16, 17, 18))
    assert "glyf" in font
    assert resource("fonts", f"{face}.ttf").stat().st_size < 200_000


def test_the_licence_is_shipped_with_the_font():
    licence = resource("fonts", "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence


@pytest.mark.parametrize("face", FACES)
def test_all_figures_are_equally_wide(face):
    assert len({text_width(digit, face, 10) for digit in "0123456789"}) == 1


def picture(character: str, face: str) -> np.ndarray:
    image = Image.new("L", (64, 64), 0)
    font = ImageFont.truetype(resource("fonts", f"{face}.ttf"), 40)
    ImageDraw.Draw(image).text((32, 48), character, 255, font, anchor="ms")
    return np.asarray(image) > 127


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("pair", ["0O", "0o", "08", "1l", "1I", "lI", "5S", "2Z", "8B", "6G", "17", "UV"])
def test_no_character_looks_like_another(face, pair):
    # The share of ink that two characters have in common; 0.85 is our own limit.
    one, other = (picture(c, face) for c in pair)
    assert (one & other).sum() / (one | other).sum() < 0.85


def test_a_character_that_the_font_lacks_is_seen_to_be_missing():
    assert printable("a漢b😀c") == f"a{SUBSTITUTE}b{SUBSTITUTE}c"


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("e\u0301", "é"),
        ("a\tb\nc", "a b c"),
        ("a\u00adb\u200d", "ab"),
        ("♥\ufe0f", SUBSTITUTE),
        ("\x07", SUBSTITUTE),
        ("", ""),
    ],
    ids=["composed", "blanks", "invisible", "variation", "control", "nothing"],
)
def test_what_is_printed_of_odd_text(typed, shown):
    assert printable(typed) == shown
