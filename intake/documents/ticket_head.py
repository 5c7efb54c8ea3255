"""The head and the foot of a ticket, which every page of it repeats.

Everything is black on white, so that a thermal printer shows it; the colour is one outlined patch, its name on white.
"""

from dataclasses import replace

from intake.documents.blocks import Block, row, rows, rule, stack
from intake.documents.code_128 import QUIET_MODULES, barcode
from intake.documents.fonts import printable, text_width
from intake.documents.logo import logo_image, logo_width
from intake.documents.paper import HAIRLINE, Pen, Style
from intake.documents.text import fitted, lines, written
from intake.documents.ticket_content import Ticket
from intake.documents.ticket_sheet import LEAST_TYPE, Setting


def head(ticket: Ticket, setting: Setting) -> Block:
    """Copy, box, category, number, must leave and barcode; HOLD across it when the job is held."""
    parts = [
        *_copy(ticket, setting),
        _box_and_number(ticket, setting).after(1.5 * setting.unit),
        _leaving(ticket, setting).after(1.5 * setting.unit),
        _hold(ticket.words.hold, setting).after(1.5 * setting.unit)
        if ticket.held
        else rule(setting.width).after(1.2 * setting.unit),
    ]
    return stack(parts)


def head_again(ticket: Ticket, setting: Setting) -> Block:
    """The head of every page but the first: the same in small, with number and barcode."""
    bars = _bars(ticket, setting)
    room = setting.width - bars.width - _quiet(setting)
    state = f"{ticket.words.hold}  ·  {ticket.category}" if ticket.held else ticket.category
    copy = f"  ·  {_copy_number(ticket)}" if ticket.copy > 1 else ""
    box = ticket.words.box.format(colour=ticket.colour)
    words = [
        *fitted(ticket.number, Style(21 * setting.sheet.scale, leading=1.15).bold, room, LEAST_TYPE),
        *lines(f"{state}  ·  {box}{copy}", setting.body.bold, room),
        *lines(f"{ticket.words.must_leave} {ticket.must_leave or ticket.words.no_date}", setting.body, room),
    ]
    return stack(
        [row([(0, stack(words)), (setting.width - bars.width, bars)]), rule(setting.width).after(1.2 * setting.unit)]
    )


def foot(ticket: Ticket, setting: Setting, page: str) -> Block:
    """The lab at the left; when the case arrived, and which page it is, at the right."""
    small, unit = setting.small, setting.unit
    arrived = ticket.words.arrived.format(arrived=ticket.arrived) if ticket.arrived else ""
    end = printable("   ".join(part for part in (arrived, page) if part))
    begin = max(setting.width - text_width(end, small.font, small.size), setting.width / 2)
    columns, left = [(begin, lines(end, small, setting.width - begin))], 0.0
    if image := logo_image(ticket.logo):
        high = small.height * 1.3
        left = logo_width(image, high) + 1.5 * unit
        columns.append((0, [Block(high, lambda pen, x, top: pen.image(image, (x, top, left - 1.5 * unit, high)))]))
    columns.append((left, lines(ticket.lab, small, begin - left - 2 * unit)))
    return stack([rule(setting.width), *(b.after(unit if i == 0 else 0) for i, b in enumerate(rows(*columns)))])


def _copy_number(ticket: Ticket) -> str:
    return ticket.words.copy_number.format(copy=ticket.copy)


def _copy(ticket: Ticket, setting: Setting) -> list[Block]:
    if ticket.copy < 2:
        return []
    style, word = setting.body.bold, printable(_copy_number(ticket).upper())
    wide = text_width(word, style.font, style.size) + 2.4 * setting.unit
    high = style.height + 0.6 * setting.unit

    def tag(pen: Pen, x: float, top: float) -> None:
        pen.panel((x, top, wide, high), fill="#000000", weight=0)
        pen.white_text(x + 1.2 * setting.unit, top + 0.3 * setting.unit + style.baseline, word, style)

    beside = wide + 2 * setting.unit
    reason = f"{ticket.copy_reason.rstrip('.')}. " if ticket.copy_reason else ""
    said = lines(f"{reason}{ticket.words.void}", setting.body, setting.width - beside)
    return [row([(0, Block(high, tag)), (beside, stack([Block(0.3 * setting.unit, _nothing), *said]))])]


def _nothing(pen: Pen, x: float, top: float) -> None:
    """A gap."""


def _box_and_number(ticket: Ticket, setting: Setting) -> Block:
    unit = setting.unit
    beside = 29 * unit
    room = setting.width - beside
    words = [
        *fitted(ticket.category, Style(19 * setting.sheet.scale, leading=1.15).bold, room, 12 * setting.sheet.scale),
        *fitted(ticket.number, Style(27 * setting.sheet.scale, leading=1.15).bold, room, 12 * setting.sheet.scale),
    ]
    right = stack(words)
    return row([(0, _patch(ticket, setting, 26 * unit, max(right.height, 17 * unit))), (beside, right)])


def _patch(ticket: Ticket, setting: Setting, wide: float, high: float) -> Block:
    """The box's colour, with its name on a white plate inside it."""
    style = Style(11 * setting.sheet.scale).bold
    inset = 1.8 * setting.unit
    name = fitted(ticket.colour, style, wide - 2 * inset - 2 * setting.unit, LEAST_TYPE)
    plate = stack(name).height + setting.unit
    tall = max(high, plate + 2 * inset)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.panel((x, top, wide, tall), fill=ticket.colour_hex, weight=2 * HAIRLINE)
        pen.panel((x + inset, top + tall - inset - plate, wide - 2 * inset, plate), weight=HAIRLINE)
        stack(name).draw(pen, x + inset + setting.unit, top + tall - inset - plate + setting.unit / 2)

    return Block(tall, draw, width=wide)


def _leaving(ticket: Ticket, setting: Setting) -> Block:
    scale, bars = setting.sheet.scale, _bars(ticket, setting)
    room = setting.width - bars.width - _quiet(setting)
    words = [
        written(printable(ticket.words.must_leave), Style(9 * scale)),
        *fitted(ticket.must_leave or ticket.words.no_date, Style(25 * scale, leading=1.15).bold, room, 12 * scale),
    ]
    return row([(0, stack(words)), (setting.width - bars.width, bars)])


def _bars(ticket: Ticket, setting: Setting) -> Block:
    """The barcode with its digits under it; it ends at the margin, which is its quiet zone."""
    bars = barcode(ticket.barcode, setting.module, 10 * setting.unit)
    copy = ticket.words.copy_number.format(copy=ticket.copy).lower()
    digits, style = printable(f"{ticket.number}  {copy}"), Style(LEAST_TYPE * max(setting.sheet.scale, 1))
    shown = written(digits, style, bars.width - text_width(digits, style.font, style.size))
    return replace(stack([bars, shown]), width=bars.width)


def _quiet(setting: Setting) -> float:
    return (QUIET_MODULES + 1) * setting.module


def _hold(word: str, setting: Setting) -> Block:
    """The word from edge to edge in strokes that need no colour; set smaller where it is long."""
    unit, style, letters = setting.unit, Style(27 * setting.sheet.scale).bold, printable(word)
    high, gap = 9.5 * unit, 2.2 * unit
    room = setting.width - 16 * unit - gap * (len(letters) - 1)
    style = replace(style, size=min(style.size, style.size * room / text_width(letters, style.font, style.size)))
    wide = sum(text_width(c, style.font, style.size) for c in letters) + gap * (len(letters) - 1)
    side = (setting.width - wide) / 2 - 3 * unit

    def draw(pen: Pen, x: float, top: float) -> None:
        for left in (x, x + setting.width - side):
            pen.hatch((left, top, side, high), 2.2 * unit, 0.9 * unit)
        for y in (top, top + high):
            pen.line(x, y, x + setting.width, y, 0.5 * unit)
        at = x + side + 3 * unit
        for letter in letters:
            pen.text(at, top + high / 2 + 0.349 * style.size, letter, style)
            at += text_width(letter, style.font, style.size) + gap

    return Block(high, draw)
