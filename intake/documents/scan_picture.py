"""Pictures of scans, made small enough for a ticket."""

from functools import lru_cache
from io import BytesIO

from PIL import Image, ImageChops
from reportlab.lib.utils import ImageReader

MOST_PIXELS = 300
"""The longer side on paper: 300 dpi at 25 mm, and more than a label printer of 203 dpi can show."""
_QUALITY = 80
_WORDS = 0.036
"""The share of a picture's width that a line of its words is high at most; what is higher is drawn."""
_SEEN = 8
"""So much darker than its ground, of 255, is what is drawn."""


@lru_cache(maxsize=8)
def scan_picture(png: bytes) -> ImageReader | None:
    """A picture of a scan on white, without the words in it, which nobody could read so small; None where it is none.

    It is a JPEG of some 10 kB: a ticket with three stays light, and goes to the printer as quickly as any other.
    """
    try:
        with Image.open(BytesIO(png), formats=["PNG"]) as opened:
            picture = _drawn(opened.convert("RGB"))
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None
    picture.thumbnail((MOST_PIXELS, MOST_PIXELS), Image.Resampling.LANCZOS)
    small = BytesIO()
    picture.save(small, "JPEG", quality=_QUALITY, optimize=True)
    small.seek(0)
    return ImageReader(small)


def _drawn(picture: Image.Image) -> Image.Image:
    """What is drawn on a picture, in its whole width, on white instead of its ground."""
    ground = Image.new("RGB", picture.size, picture.getpixel((0, 0)))
    seen = ImageChops.difference(picture, ground).convert("L").point(lambda each: 255 if each > _SEEN else 0)
    picture = Image.composite(picture, Image.new("RGB", picture.size, "white"), seen)
    tall = [run for run in _runs(seen.getprojection()[1]) if run[1] - run[0] > _WORDS * picture.width]
    return picture.crop((0, tall[0][0], picture.width, tall[-1][1])) if tall else picture


def _runs(rows: list[int]) -> list[tuple[int, int]]:
    """The first row of each stretch in which something is seen, and the row behind its last."""
    edges = [at for at in range(len(rows) + 1) if bool(rows[at : at + 1] and rows[at]) != bool(at and rows[at - 1])]
    return list(zip(edges[::2], edges[1::2], strict=True))
