"""The colours of the window, read from the one palette file, and the formula that chooses ink."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

BLACK, WHITE = "#000000", "#ffffff"


@dataclass(frozen=True)
class Palette:
    """The colours of one scheme, each as `#rrggbb`; what each is for stands in the file."""

    ground: str
    surface: str
    chosen: str
    ink: str
    quiet: str
    line: str
    faint: str
    focus: str
    held: str
    asks: str
    caution: str
    ok: str


def read_palettes(file: Path) -> dict[str, Palette]:
    """The palettes of the file by scheme: `light` and `dark`."""
    with file.open("rb") as stream:
        return {scheme: Palette(**colours) for scheme, colours in tomllib.load(stream).items()}


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb`, 0 for black to 1 for white: WCAG 2.2, “relative luminance”."""
    red, green, blue = (_linear(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21: WCAG 2.2, “contrast ratio”."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def ink_on(colour: str) -> str:
    """Black or white, whichever reads better on the colour; at least 4.58:1 on any."""
    return max((BLACK, WHITE), key=lambda ink: contrast(ink, colour))
