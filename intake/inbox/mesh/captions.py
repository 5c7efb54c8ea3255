"""Words on a picture: what it shows, what its tints mean and how large it is."""

from dataclasses import dataclass
from functools import cache
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

from intake.inbox.mesh.scale_bar import ScaleBar
from intake.inbox.mesh.shading import Pixels
from intake.resources import resource

_QUICK_PNG = 3
"""A fifth larger than the smallest file, in a tenth of the time."""


@dataclass(frozen=True)
class Captions:
    """What is written on a picture.

    Attributes:
        title: At the top, stands out.
        notes: Under it, a line each.
        key: Each tint `#rrggbb` and what it means, at the bottom on the right.
        bar: At the bottom on the left.
    """

    title: str
    notes: tuple[str, ...]
    key: tuple[tuple[str, str], ...]
    bar: ScaleBar


def line_height(width: int) -> int:
    """How high a line of words is on a picture of that width, in pixels."""
    return round(_size(width) * 1.4)


def captioned(pixels: Pixels, captions: Captions, ground: str, ink: str) -> bytes:
    """The picture with its words, as PNG.

    Args:
        pixels: What was drawn.
        captions: The words.
        ground: What it lies on, `#rrggbb`.
        ink: The colour of the words.
    """
    height, width, _ = pixels.shape
    picture = Image.new("RGBA", (width, height), ground)
    picture.alpha_composite(Image.fromarray(pixels, "RGBA"))
    paper = ImageDraw.Draw(picture)
    line, margin = line_height(width), line_height(width) // 2
    regular, bold = _font("Regular", _size(width)), _font("Bold", _size(width))

    paper.text((margin, margin), captions.title, ink, bold, anchor="la")
    for count, note in enumerate(captions.notes, 1):
        paper.text((margin, margin + count * line), note, ink, regular, anchor="la")
    _bar(paper, captions.bar, (margin, height - margin), ink, regular)
    right = width - margin
    for tint, words in reversed(captions.key):
        right -= round(regular.getlength(words))
        paper.text((right, height - margin), words, ink, regular, anchor="ls")
        right -= line
        paper.rectangle((right, height - margin - line // 2, right + line * 2 // 3, height - margin), tint, ink)
        right -= line // 2
    file = BytesIO()
    picture.convert("RGB").save(file, "PNG", compress_level=_QUICK_PNG)
    return file.getvalue()


def _bar(
    paper: ImageDraw.ImageDraw, bar: ScaleBar, at: tuple[int, int], ink: str, font: ImageFont.FreeTypeFont
) -> None:
    left, bottom = at
    length = round(bar.pixels)
    if length:
        paper.line((left, bottom - 1, left + length - 1, bottom - 1), ink, 2)
        for end in (left, left + length - 1):
            paper.line((end, bottom - 7, end, bottom), ink, 1)
    paper.text((left + length + (8 if length else 0), bottom), bar.words, ink, font, anchor="ls")


def _size(width: int) -> int:
    return max(13, round(width / 40))


@cache
def _font(weight: str, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(resource("fonts", f"IntakeSans-{weight}.ttf"), size)
