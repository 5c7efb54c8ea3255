"""The lab's own logo, made small enough for paper once and kept."""

from functools import lru_cache
from io import BytesIO
from pathlib import Path

from PIL import Image
from reportlab.lib.utils import ImageReader

MOST_PIXELS = 600
"""The longer side of a logo on paper: 300 dpi at 5 cm."""


def logo_image(path: Path | None) -> ImageReader | None:
    """The picture of a PNG or JPEG file, or None when there is none or it cannot be read."""
    try:
        return _image(path, path.stat().st_mtime_ns) if path else None
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None


def logo_width(image: ImageReader, height: float) -> float:
    """How wide a picture is when it is that high, both in points."""
    wide, high = image.getSize()
    return float(height * wide / high)


@lru_cache(maxsize=4)
def _image(path: Path, changed: int) -> ImageReader:
    """`changed` is the file's time stamp, so that a new logo is seen."""
    with Image.open(path, formats=["PNG", "JPEG"]) as picture:
        picture.thumbnail((MOST_PIXELS, MOST_PIXELS))
        small = BytesIO()
        picture.convert("RGBA").save(small, "PNG")
    small.seek(0)
    return ImageReader(small)
