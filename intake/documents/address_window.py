"""Where an address stands on A4 so that it shows through an envelope's window, and nothing else does. Millimetres."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Area:
    """A rectangle on the sheet, from its upper left corner."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return self.top + self.height

    def grown(self, by: float) -> "Area":
        """The same with a rim on every side."""
        return Area(self.left - by, self.top - by, self.width + 2 * by, self.height + 2 * by)


@dataclass(frozen=True)
class AddressWindow:
    """One way to place an address."""

    address: Area
    """Where the lines of the address stand."""
    clear: Area
    """What may show, with 5 mm around it: nothing but the address stands in it."""
    folds: tuple[float, ...]
    """Fold marks, from the top."""
    hole: float | None
    """The mark for the hole punch, from the top."""
    sender_left: float
    sender_top: float
    """Where the sender's address and the date begin, right of the window."""
    body_top: float


RIM = 5.0
"""Kept clear around the window, since sheet and envelope are never quite true."""
TEXT_LEFT = 25.0
"""The left margin of the letter and of the address: DIN 5008, and inside the 24.6 mm of British bulk post."""


def dl_window() -> AddressWindow:
    """The British DL envelope: 220 x 110 mm, window 90 x 35 mm, 20 mm from the left and 18 mm from below (trade sizes).

    The sheet, folded in three to 210 x 99 mm, can slide by 10 mm and 11 mm: the address stands in what shows in every
    position, and what shows in any position is kept clear.
    """
    slide_x, slide_y = 220 - 210.0, 110 - 99.0
    window = Area(20, 110 - 18 - 35, 90, 35)
    always = Area(window.left, window.top, window.width - slide_x, window.height - slide_y)
    ever = Area(window.left - slide_x, window.top - slide_y, window.width + slide_x, window.height + slide_y)
    address = Area(TEXT_LEFT, always.top, always.right - TEXT_LEFT, always.height)
    return AddressWindow(address, ever.grown(RIM), (99, 198), None, 125, 20, 101)


def din_5008_window(field_top: float, folds: tuple[float, float]) -> AddressWindow:
    """DIN 5008: a field of 85 x 45 mm, 20 mm from the left, its upper 17.7 mm for notes, which stay empty here."""
    field = Area(20, field_top, 85, 45)
    address = Area(TEXT_LEFT, field_top + 17.7, field.right - TEXT_LEFT, 27.3)
    return AddressWindow(address, field.grown(RIM), folds, 148.5, 125, field_top + 5, field.bottom + RIM + 8)


WINDOWS = {
    "dl": dl_window(),
    "din-5008-a": din_5008_window(27, (87, 192)),
    "din-5008-b": din_5008_window(45, (105, 210)),
}
