"""The sizes that tickets are printed in, and the type that suits them."""

from dataclasses import dataclass

from intake.documents.code_128 import module_width
from intake.documents.paper import MM, Style

LEAST_TYPE = 7.0
"""No text on a ticket is smaller, in points."""
BODY_TYPE = 9.5
"""The usual text of an A6 ticket, in points."""
STEPS = (1.1, 1.0, 0.93, 0.87, 0.82, 0.77, 0.7, 0.64, 0.58)


@dataclass(frozen=True)
class Sheet:
    """A size of ticket: lengths in millimetres; `scale` is how large its type is, A6 being 1."""

    name: str
    width: float
    height: float
    margin: float
    scale: float
    module: float
    """The narrowest bar of the barcode, at least."""


@dataclass(frozen=True)
class Setting:
    """A sheet with text of one size: everything in points."""

    sheet: Sheet
    body: Style
    small: Style
    module: float

    @property
    def margin(self) -> float:
        """The blank edge on all sides."""
        return self.sheet.margin * MM

    @property
    def width(self) -> float:
        """From margin to margin."""
        return (self.sheet.width - 2 * self.sheet.margin) * MM

    @property
    def height(self) -> float:
        """Of the whole page."""
        return self.sheet.height * MM

    @property
    def unit(self) -> float:
        """A millimetre of an A6 ticket."""
        return self.sheet.scale * MM

    @property
    def indent(self) -> float:
        """Where what stands beside the labels begins."""
        return 16 * MM * max(self.small.size / 7.5, 1)


SHEETS = {
    "A6": Sheet("A6", 105, 148, 4.5, 1, 0.25),
    "A5": Sheet("A5", 148, 210, 8, 1.4, 0.375),
    "100x150": Sheet("100x150", 100, 150, 4, 0.97, 0.25),
}


def settings(sheet: Sheet, dpi: int) -> list[Setting]:
    """The settings to try on a sheet, the largest text first, down to the least type."""
    module = module_width(dpi, sheet.module * MM)
    sizes = [BODY_TYPE * sheet.scale * step for step in STEPS]
    allowed = [size for size in sizes if size > LEAST_TYPE] + [LEAST_TYPE]
    return [Setting(sheet, Style(size), Style(max(LEAST_TYPE, size * 0.79)), module) for size in allowed]
