"""What flows under the head of a ticket: labels in one narrow column, what they name beside them."""

from collections.abc import Sequence
from dataclasses import replace

from reportlab.lib.utils import ImageReader

from intake.documents.blocks import Block, rows, rule, stack, tick_box
from intake.documents.flow import Group
from intake.documents.fonts import printable, text_width
from intake.documents.paper import Pen, Style
from intake.documents.scan_picture import scan_picture
from intake.documents.teeth import tooth_diagram
from intake.documents.text import lines, packed, written
from intake.documents.ticket_content import Ticket, TicketAppliance, TicketBench
from intake.documents.ticket_sheet import Setting
from intake.domain.printed.ticket import TicketWords


def body(ticket: Ticket, setting: Setting) -> list[Group]:
    """The groups of a ticket, in the order in which they are needed."""
    words, again = ticket.words, ticket.words.continued
    groups = [
        _group("what is missing", words.held_for, _ticks(ticket.missing, setting), setting, again),
        _group("the cautions", words.caution, _cautions(ticket.cautions, setting), setting, again),
        *_dates(ticket, setting),
        _parted("the practice and the patient", _whose(ticket, setting), setting),
        *_route(ticket.route, setting),
        *_appliances(ticket.appliances, words, setting),
        _group("the tooth diagram", words.teeth, _teeth(ticket.teeth, setting), setting, again),
        _group("what lies in the box", words.contents, _contents(ticket, setting), setting, again),
        _group("the pictures of the scans", words.scans, _pictures(ticket, setting), setting, again),
    ]
    return [group for group in groups if group.blocks]


def _group(name: str, label: str, content: Sequence[Block], setting: Setting, again: str) -> Group:
    """A section: its label beside its first line, and a hairline to part it from the section above."""
    if not content:
        return Group(name, ())
    mark = _label(label, setting)
    more = (written(printable(again.format(what=label)), setting.small),)
    return replace(_parted(name, rows((0, mark), (setting.indent, content)), setting), again=more)


def _parted(name: str, blocks: Sequence[Block], setting: Setting) -> Group:
    """A section with a hairline to part it from the section above."""
    if not blocks:
        return Group(name, ())
    gap = 0.65 * setting.unit
    first = replace(blocks[0], space=gap)
    return Group(name, (first, *blocks[1:]), divider=(rule(setting.width).after(gap),))


def _label(text: str, setting: Setting) -> list[Block]:
    """A label in its narrow column, on more lines where it is long."""
    return lines(text, setting.small, setting.indent - setting.unit, beside=setting.body)


def _room(setting: Setting) -> float:
    return setting.width - setting.indent


def _ticks(texts: Sequence[str], setting: Setting) -> list[Block]:
    """Each text behind a box to tick."""
    return [block for text in texts for block in _ticked(text, setting, _room(setting))]


def _ticked(text: str, setting: Setting, width: float) -> list[Block]:
    size, beside = setting.body.size * 0.78, setting.body.size * 1.3
    mark = Block(
        setting.body.height, lambda pen, x, top: tick_box(size).draw(pen, x, top + setting.body.baseline - size * 0.95)
    )
    return rows((0, [mark]), (beside, lines(text, setting.body, width - beside)))


def _cautions(cautions: Sequence[str], setting: Setting) -> list[Block]:
    """Each caution in bold behind a warning triangle."""
    style, beside = setting.body.bold, setting.body.size * 1.3

    def triangle(pen: Pen, x: float, top: float) -> None:
        foot, wide = top + style.baseline, style.size
        pen.polygon([(x, foot), (x + wide, foot), (x + wide / 2, foot - 0.88 * wide)], 0.8)
        pen.line(x + wide / 2, foot - 0.55 * wide, x + wide / 2, foot - 0.28 * wide, 1)
        pen.line(x + wide / 2, foot - 0.18 * wide, x + wide / 2, foot - 0.08 * wide, 1)

    mark = Block(style.height, triangle)
    return [b for text in cautions for b in rows((0, [mark]), (beside, lines(text, style, _room(setting) - beside)))]


def _dates(ticket: Ticket, setting: Setting) -> list[Group]:
    """Appointment, latest start and pour by, side by side: what it is in small type, the date under it."""
    words = ticket.words
    facts = [
        (words.appointment, ticket.appointment),
        (words.latest_start, ticket.latest_start),
        (words.pour_by, ticket.pour_by),
    ]
    width = setting.width / 3
    known = [
        [*lines(name, setting.small, width), *_moment(value, setting.body.bold, width - 2 * setting.unit)]
        for name, value in facts
        if value.strip()
    ]
    blocks = rows(*((i * width, cell) for i, cell in enumerate(known)))
    if ticket.pour_note.strip():
        blocks += lines(words.estimated.format(estimated=ticket.pour_note), setting.small, setting.width)
    blocks += lines(ticket.pour_keep, setting.small, setting.width)
    return [_parted("the dates", blocks, setting)] if blocks else []


def _moment(value: str, style: Style, width: float) -> list[Block]:
    """A date and its time on one line, or one under the other."""
    return lines(value if _wide(value, style) <= width else value.replace(", ", "\n"), style, width)


def _grid(cells: Sequence[list[Block]], columns: int, width: float, setting: Setting) -> list[Block]:
    """Cells in columns of one width, row after row."""
    step = width / columns
    blocks: list[Block] = []
    for first in range(0, len(cells), columns):
        line = rows(*((i * step, cell) for i, cell in enumerate(cells[first : first + columns])))
        blocks += [line[0].after(0.6 * setting.unit if first else 0), *line[1:]]
    return blocks


def _whose(ticket: Ticket, setting: Setting) -> list[Block]:
    """Practice, prescriber, patient and the other jobs of the case, each beside its label."""
    code = f"  {ticket.practice_code}" if ticket.practice_code else ""
    strong, plain, words = setting.body.bold, setting.body, ticket.words
    said = [
        (words.practice, ticket.practice + code, strong),
        (words.prescriber, ticket.prescriber, plain),
        (words.patient, ticket.patient, strong),
        *((words.with_job, f"{sister.number}  {sister.category}", plain) for sister in ticket.sisters),
    ]
    return [
        block
        for label, value, style in said
        if value.strip()
        for block in rows(
            (0, _label(label, setting)),
            (setting.indent, lines(value, style, _room(setting))),
        )
    ]


def _route(route: Sequence[TicketBench], setting: Setting) -> list[Group]:
    """Each bench with a box to tick and its date, three in a row; the dates beside the benches where all have room."""
    if not route:
        return []
    width, beside = setting.width / 3 - 2 * setting.unit, setting.body.size * 1.3
    cells = [_ticked(step.bench, setting, width) for step in route]
    dates = [lines(step.by, setting.body.bold, width - beside) for step in route]
    ends = [beside + _wide(f"{step.bench}  ", setting.body) for step in route]
    if all(end + _wide(step.by, setting.body.bold) <= width for end, step in zip(ends, route, strict=True)):
        benches = [rows((0, cell), (end, date)) for cell, end, date in zip(cells, ends, dates, strict=True)]
    else:
        benches = [[*cell, *rows((beside, date))] for cell, date in zip(cells, dates, strict=True)]
    return [_parted("the route", _grid(benches, 3, setting.width, setting), setting)]


def _wide(text: str, style: Style) -> float:
    return text_width(printable(text), style.font, style.size)


def _appliances(appliances: Sequence[TicketAppliance], words: TicketWords, setting: Setting) -> list[Group]:
    """One group each, under one label."""
    groups = []
    for i, appliance in enumerate(appliances):
        blocks = _appliance(appliance, words, setting)
        label = _label(words.to_make if i == 0 else "", setting)
        group = _parted(f"the appliance “{appliance.name}”", rows((0, label), (setting.indent, blocks)), setting)
        groups.append(group if i == 0 else replace(group, divider=()))
    return groups


def _appliance(appliance: TicketAppliance, words: TicketWords, setting: Setting) -> list[Block]:
    name = ", ".join(part for part in (appliance.name, appliance.arch) if part)
    teeth = f"{words.teeth} {appliance.teeth}" if appliance.teeth else ""
    details = [part for part in (teeth, *appliance.options) if part]
    return [
        *lines(name, setting.body.bold, _room(setting)),
        *packed(details, "  ·  ", setting.body, _room(setting)),
        *lines(appliance.notes, setting.body, _room(setting)),
    ]


def _teeth(teeth: Sequence[str], setting: Setting) -> list[Block]:
    return [tooth_diagram(teeth, _room(setting), setting.small.size)] if teeth else []


def _contents(ticket: Ticket, setting: Setting) -> list[Block]:
    """What came, to tick, two in a row; a thing with a note stands under it in small type."""
    width, beside = _room(setting) / 2 - setting.unit, setting.body.size * 1.3
    cells = [
        [*_ticked(item.text, setting, width), *lines(item.note, setting.small, width, indent=beside)]
        for item in ticket.contents
    ]
    return _grid(cells, 2, _room(setting), setting)


def _pictures(ticket: Ticket, setting: Setting) -> list[Block]:
    """The scans side by side, never parted from the names over them; under them which are not pictured."""
    wide, step = 20 * setting.unit, 23 * setting.unit
    known = [(each.name, image) for each in ticket.pictures if (image := scan_picture(each.png)) is not None]
    columns = [
        (i * step, [*lines(name, setting.small, wide), _picture(image, wide)]) for i, (name, image) in enumerate(known)
    ]
    together = [stack(rows(*columns))] if columns else []
    return [*together, *lines(ticket.pictures_note, setting.small, _room(setting))]


def _picture(image: ImageReader, wide: float) -> Block:
    across, high = image.getSize()
    own = wide * high / across
    return Block(own, lambda pen, x, top: pen.image(image, (x, top, wide, own)))
