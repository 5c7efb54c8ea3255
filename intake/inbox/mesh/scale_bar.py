"""The bar that tells how large a picture's subject is."""

from dataclasses import dataclass

_USUAL = 10.0
_LEAST, _MOST = 0.04, 0.4
"""How much of the picture's width a bar may take and still be read."""


@dataclass(frozen=True)
class ScaleBar:
    """How long a bar is in pixels, and what it stands for."""

    pixels: float
    words: str


NO_UNIT = ScaleBar(0, "no unit")
"""Said in place of a bar where nobody knows what a unit of the file is."""


def scale_bar(pixels_per_unit: float, millimetres: float | None, width: int) -> ScaleBar:
    """The bar of 10 mm; where that would be a speck or too wide, of ten times as much, a tenth and so on.

    Args:
        pixels_per_unit: How large the picture is drawn.
        millimetres: How many mm one unit of the file is; None where nobody knows.
        width: Of the picture, in pixels.
    """
    if millimetres is None or not pixels_per_unit * millimetres > 0:
        return NO_UNIT
    length, pixels = _USUAL, _USUAL * pixels_per_unit / millimetres
    while pixels > _MOST * width:
        length, pixels = length / 10, pixels / 10
    while pixels < _LEAST * width:
        length, pixels = length * 10, pixels * 10
    return ScaleBar(pixels, f"{length:.10g} mm")
