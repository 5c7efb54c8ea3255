"""The A4 sheet of a letter: its margins, its type and what stands on it beside the text."""

from dataclasses import replace
from pathlib import Path
from typing import Protocol

from intake.documents.address_window import TEXT_LEFT, AddressWindow
from intake.documents.blocks import Block, stack
from intake.documents.code_128 import QUIET_MODULES, barcode
from intake.documents.fonts import printable, text_width
from intake.documents.logo import logo_image, logo_width
from intake.documents.paper import MM, Pen, Style
from intake.documents.text import at_right, fitted, lines, packed, written
from intake.domain.reply_number import shown_reply_number
from intake.errors import IntakeError

PAGE_WIDTH, PAGE_HEIGHT = 210 * MM, 297 * MM
LEFT = TEXT_LEFT * MM
RIGHT = PAGE_WIDTH - 20 * MM
WIDTH = RIGHT - LEFT
LATER_TOP = 30 * MM
"""Where the text begins on every page but the first."""
FORM_TOP = 8 * MM
"""Where the barcode of the form stands on the pages of the slip."""
BOTTOM = PAGE_HEIGHT - 22 * MM
BODY = Style(9.5, leading=1.38)
SMALL = Style(8, leading=1.35)
NAME = Style(15, leading=1.2).bold
ADDRESS_LEADING = 1.18
ADDRESS_SIZES = (10.0, 9.5, 9.0, 8.5, 8.0)
"""Points; 8 is the least that British bulk post reads."""


class Headed(Protocol):
    """What the sheet needs to know of a letter, or of anything else that goes to a practice in an envelope."""

    @property
    def kind(self) -> str:
        """What it is called: "Letter"."""

    @property
    def number(self) -> str:
        """Its number."""

    @property
    def date(self) -> str:
        """With the weekday."""

    @property
    def lab(self) -> str:
        """The lab's name."""

    @property
    def lab_address(self) -> tuple[str, ...]:
        """The lab's address, the postcode last."""

    @property
    def telephone(self) -> str:
        """The lab's."""

    @property
    def email(self) -> str:
        """The lab's."""

    @property
    def logo(self) -> Path | None:
        """The lab's."""

    @property
    def practice(self) -> str:
        """Whom it goes to."""

    @property
    def address(self) -> tuple[str, ...]:
        """The lines under the practice's name, the postcode last."""


class AddressDoesNotFit(IntakeError):
    """An address with more or longer lines than a window shows."""


def draw_first(letter: Headed, window: AddressWindow, pen: Pen) -> None:
    """The letterhead, the address in its window, the sender's address, and the marks for folding."""
    address = address_block(letter, window)
    address.draw(pen, window.address.left * MM, window.address.top * MM)
    _draw_letterhead(letter, window, pen)
    for y in window.folds:
        pen.line(5 * MM, y * MM, 9 * MM, y * MM)
    if window.hole:
        pen.line(5 * MM, window.hole * MM, 11 * MM, window.hole * MM)


def draw_later(letter: Headed, pen: Pen) -> None:
    """Whose letter it is, at the top of every page but the first."""
    right = f"{letter.number}   {letter.date}"
    room = RIGHT - text_width(printable(right), SMALL.font, SMALL.size) - LEFT - 6 * MM
    name = fitted(letter.practice, SMALL.bold, room, 6)
    top = LATER_TOP - 7 * MM - stack(name).height
    stack(name).draw(pen, LEFT, top)
    at_right(right, SMALL, WIDTH).draw(pen, LEFT, top)
    pen.line(LEFT, LATER_TOP - 6 * MM, RIGHT, LATER_TOP - 6 * MM)


def draw_page_number(pen: Pen, said: str) -> None:
    """Which page it is, at the foot."""
    at_right(said, SMALL, WIDTH).draw(pen, LEFT, PAGE_HEIGHT - 16 * MM)


def draw_form_number(number: str, said: str, module: float, pen: Pen) -> None:
    """The number of the reply form above the heading of a page, as a barcode and in words: `said` has it in braces."""
    bars = barcode(number, module, 7 * MM)
    bars.draw(pen, RIGHT - bars.width, FORM_TOP)
    shown = printable(said.format(number=shown_reply_number(number)))
    wide = text_width(shown, SMALL.font, SMALL.size) + QUIET_MODULES * module + 2 * MM
    written(shown, SMALL).draw(pen, RIGHT - bars.width - wide, FORM_TOP + (bars.height - SMALL.height) / 2)


def address_block(letter: Headed, window: AddressWindow) -> Block:
    """Name and address, as large as the window allows; with short lines drawn together only where nothing else helps.

    Raises AddressDoesNotFit.
    """
    area = window.address
    for together in (False, True):
        for size in ADDRESS_SIZES:
            said = _address_lines(letter, Style(size, leading=ADDRESS_LEADING), area.width * MM, together)
            if stack(said).height <= area.height * MM:
                return stack(said)
    raise AddressDoesNotFit(
        f"The address of {letter.practice} needs {len(said)} lines, more than the window of the envelope shows. "
        "Shorten the name or the address, to seven lines at most."
    )


def _address_lines(letter: Headed, style: Style, width: float, together: bool) -> list[Block]:
    """The lines in the window; `together`, as many parts of the address in a line as have room, but for the last."""
    name = lines(letter.practice, style, width)
    if not together:
        return name + [block for line in letter.address for block in lines(line, style, width)]
    return name + packed(letter.address[:-1], ", ", style, width) + lines("".join(letter.address[-1:]), style, width)


def _draw_letterhead(letter: Headed, window: AddressWindow, pen: Pen) -> None:
    """The lab's logo and name above the window; its address, telephone and the date right of it."""
    left, top = LEFT, 12 * MM
    room = window.sender_left * MM - LEFT - 5 * MM
    if image := logo_image(letter.logo):
        high = 9 * MM
        wide = min(logo_width(image, high), room / 2)
        pen.image(image, (left, top - 1.5 * MM, wide, high))
        left += wide + 4 * MM
    stack(fitted(letter.lab, NAME, room - (left - LEFT), 9)).draw(pen, left, top)
    _sender(letter, window).draw(pen, window.sender_left * MM, window.sender_top * MM)


def _sender(letter: Headed, window: AddressWindow) -> Block:
    width = RIGHT - window.sender_left * MM
    said = [*letter.lab_address, letter.telephone, letter.email]
    blocks = [block for line in said for block in lines(line, SMALL, width)]
    dated = [*lines(letter.date, BODY.bold, width), *lines(f"{letter.kind} {letter.number}", SMALL, width)]
    return stack([*blocks, replace(dated[0], space=3 * MM if blocks else 0), *dated[1:]])
