"""The reply slip: for each case a barcode, the questions with boxes to tick and a line to fill, and who answers."""

import re
from collections.abc import Sequence

from intake.documents.blocks import Block, row, rows, rule, stack, tick_box, whole
from intake.documents.code_128 import QUIET_MODULES, barcode
from intake.documents.flow import Group
from intake.documents.fonts import printable, text_width
from intake.documents.letter_content import Letter, LetterCase, LetterQuestion
from intake.documents.letter_sheet import BODY, SMALL, WIDTH
from intake.documents.letter_text import MOST_WHOLE, case_divider, case_heading, caution, continued, spaced
from intake.documents.paper import MM, Pen, Style
from intake.documents.text import at_right, lines, packed, written

TITLE = Style(15, leading=1.2).bold
BLANK = 30 * MM
"""The line to fill in an answer."""
TICK = 3.4 * MM
AFTER_TICK = 5.2 * MM
BETWEEN = 7 * MM
WRITING = 8 * MM
"""The height of a line to write on."""


def letter_slip(letter: Letter, module: float) -> list[Group]:
    """The groups of the slip, which begins on a page of its own; `module` is the barcodes' narrowest bar in points."""
    return_to = "  ·  ".join(part for part in (letter.lab, *letter.lab_address, letter.telephone, letter.email) if part)
    opening = (
        *lines("Reply slip", TITLE, WIDTH),
        *spaced(lines(letter.slip, BODY, WIDTH), 2 * MM),
        *spaced(lines(f"Return to {return_to}", SMALL, WIDTH), 1.5 * MM),
    )
    return [
        Group("the opening of the slip", opening),
        *(_case(case, module) for case in letter.cases),
        _signature(letter),
    ]


def _case(case: LetterCase, module: float) -> Group:
    bars = _bars(case, module)
    room = WIDTH - bars.width - 2 * QUIET_MODULES * module
    heading = case_heading(case, room, ())
    if len(case.numbers) > 1:
        heading += packed([f"Jobs {case.numbers[0]}", *case.numbers[1:]], "  ·  ", SMALL, room)
    blocks = [
        *spaced(rows((0, whole(heading, MOST_WHOLE)), (WIDTH - bars.width, [bars])), 3 * MM),
        *(block for i, question in enumerate(case.questions, 1) for block in _question(i, question)),
    ]
    return Group(f"the slip of {case.patient}", tuple(blocks), continued(case), case_divider())


def _bars(case: LetterCase, module: float) -> Block:
    """The barcode, with its digits under it as far as they are a number's."""
    bars = barcode(case.barcode, module, 11 * MM)
    digits = [at_right(case.numbers[0], SMALL, bars.width)] if case.numbers else []
    both = stack([bars, *digits])
    return Block(both.height, both.draw, width=bars.width)


def _question(number: int, question: LetterQuestion) -> tuple[Block, ...]:
    """The question, its answers to tick, and a line for any other answer."""
    beside = 6 * MM
    asked = rows((0, [written(f"{number}", BODY)]), (beside, lines(question.question, BODY, WIDTH - beside)))
    answers = _shifted(_packed_cells([_answer(a, WIDTH - beside) for a in question.answers], WIDTH - beside), beside)
    other = _shifted([_to_fill("Other" if answers else "Answer", WIDTH - beside)], beside)
    return spaced(whole([*asked, *answers, *other], MOST_WHOLE), 3 * MM)


def _shifted(blocks: Sequence[Block], by: float) -> list[Block]:
    return [row([(by, block)]) for block in blocks]


def _answer(text: str, width: float) -> Block:
    """A box to tick and the answer; underscores in it become a line to fill."""
    cells: list[tuple[float, Block]] = [(0, Block(BODY.height, _draw_tick))]
    at = AFTER_TICK
    for i, part in enumerate(re.split(r"_{2,}", text)):
        if i:
            cells.append((at, _blank(BLANK)))
            at += BLANK
        if shown := printable(part):
            cells.append((at, written(shown, BODY)))
            at += text_width(shown, BODY.font, BODY.size)
    if at <= width:
        return Block(BODY.height, row(cells).draw, width=at)
    whole = stack(lines(text, BODY, width - AFTER_TICK))
    return Block(whole.height, row([cells[0], (AFTER_TICK, whole)]).draw, width=width)


def _draw_tick(pen: Pen, x: float, top: float) -> None:
    tick_box(TICK).draw(pen, x, top + BODY.baseline - TICK * 0.88)


def _blank(width: float) -> Block:
    def draw(pen: Pen, x: float, top: float) -> None:
        pen.line(x, top + BODY.baseline + 1, x + width, top + BODY.baseline + 1)

    return Block(BODY.height, draw)


def _packed_cells(cells: Sequence[Block], width: float) -> list[Block]:
    """Cells one after another, as many in a row as have room."""
    packs: list[list[tuple[float, Block]]] = []
    at = width
    for cell in cells:
        if at + BETWEEN + cell.width > width:
            packs.append([])
            at = -BETWEEN
        at += BETWEEN
        packs[-1].append((at, cell))
        at += cell.width
    return [row(pack).after(1.6 * MM) for pack in packs]


def _to_fill(label: str, width: float) -> Block:
    """A label and a line to write on, up to the right edge."""
    shown = printable(label)
    begin = text_width(shown, SMALL.font, SMALL.size) + 2 * MM

    def draw(pen: Pen, x: float, top: float) -> None:
        baseline = top + WRITING - 2 * MM
        pen.text(x, baseline, shown, SMALL)
        pen.line(x + begin, baseline + 1, x + width, baseline + 1)

    return Block(WRITING, draw)


def _signature(letter: Letter) -> Group:
    """Name, role, signature and date, and who decides."""
    half = WIDTH / 2 - 4 * MM
    pairs = [("Name", "Role"), ("Signature", "Date")]
    signed = [row([(0, _to_fill(a, half)), (WIDTH / 2 + 4 * MM, _to_fill(b, half))]).after(2 * MM) for a, b in pairs]
    return Group("the signature", (*caution(letter), stack(signed)), divider=(rule(WIDTH).after(6 * MM),))
