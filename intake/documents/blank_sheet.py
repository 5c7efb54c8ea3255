"""The A4 sheet of a blank prescription: its margins, its type, and what stands on every page of it."""

from intake.documents.blank_content import Blank
from intake.documents.blocks import Block, row, rule, stack
from intake.documents.code_128 import barcode, encode
from intake.documents.logo import logo_image, logo_width
from intake.documents.paper import MM, Pen, Style
from intake.documents.text import at_right, fitted, lines, packed
from intake.domain.own_codes import own_code

PAGE_WIDTH, PAGE_HEIGHT = 210 * MM, 297 * MM
LEFT, TOP = 15 * MM, 11 * MM
WIDTH = PAGE_WIDTH - 2 * LEFT
BOTTOM = PAGE_HEIGHT - 16 * MM
BODY = Style(9, leading=1.35)
SMALL = Style(8, leading=1.32)
HEADING = Style(10.5, leading=1.3).bold
TITLE = Style(16, leading=1.2).bold
PRACTICE = WIDTH * 0.6
"""Where the practice stands, from the left margin; its barcode has a quiet zone before it."""


def head(blank: Blank, module: float) -> Block:
    """The lab at the left, the practice with the barcode of its code at the right."""
    room = PRACTICE - 10 * MM
    contact = [part for part in (*blank.lab_address, blank.telephone, blank.email) if part]
    title = [block.after(5 * MM) for block in lines(blank.words.title, TITLE, room)]
    left = [_lab(blank, room), *packed(contact, "  ·  ", SMALL, room), *title]
    columns = [(0.0, stack(left)), (PRACTICE, stack(_practice(blank, WIDTH - PRACTICE, module)))]
    return stack([row(columns), rule(WIDTH).after(2 * MM)])


def head_again(blank: Blank) -> Block:
    """The head of every page but the first."""
    half = WIDTH / 2 - 3 * MM
    lab, practice = (stack(fitted(name, SMALL.bold, half, 6)) for name in (blank.lab, blank.practice))
    return stack([row([(0, lab), (WIDTH / 2 + 3 * MM, practice)]), rule(WIDTH).after(1.5 * MM)])


def draw_foot(blank: Blank, pen: Pen, page: int, pages: int) -> None:
    """Which form it is, of which day, and which page."""
    top = PAGE_HEIGHT - 12 * MM
    said = blank.words.form.format(number=blank.number, day=blank.date)
    stack(fitted(said, SMALL, WIDTH - 30 * MM, 6)).draw(pen, LEFT, top)
    at_right(blank.words.page.format(page=page, pages=pages), SMALL, WIDTH).draw(pen, LEFT, top)


def _lab(blank: Blank, room: float) -> Block:
    """The lab's name, behind its logo where there is one."""
    name, image, high = Style(13, leading=1.25).bold, logo_image(blank.logo), 8 * MM
    if image is None:
        return stack(fitted(blank.lab, name, room, 8))
    wide = min(logo_width(image, high), room / 2)
    picture = Block(high, lambda pen, x, top: pen.image(image, (x, top, wide, high)))
    beside = wide + 3 * MM
    return row([(0, picture), (beside, stack(fitted(blank.lab, name, room - beside, 8)))])


def _practice(blank: Blank, room: float, module: float) -> list[Block]:
    payload = own_code("practice", blank.code)  # as on the practice's stickers
    bars = [barcode(payload, module, 8 * MM)] if encode(payload).modules * module <= room else []
    code = [block.after(0.8 * MM) for block in fitted(blank.code, SMALL, room, 6)]
    return [*bars, *code, *lines(blank.practice, BODY.bold, room), *lines(", ".join(blank.address), SMALL, room)]
