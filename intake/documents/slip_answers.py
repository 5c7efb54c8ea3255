"""The answers of a question to tick on the reply slip, with lines to fill in among their words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from intake.documents.blocks import Block, row, stack
from intake.documents.fill_in import AFTER_TICK, draw_line, draw_tick
from intake.documents.fonts import printable, text_width
from intake.documents.form_fields import Field, TextField, TickField
from intake.documents.letter_sheet import BODY
from intake.documents.paper import MM, Pen
from intake.documents.text import wrap, written
from intake.domain.reply_fields import LINE, choice_field, line_field, lines_of

BLANK, OF_AN_UNDERSCORE = 30 * MM, 7.5 * MM
"""How long a line to fill in an answer is at least, and for each underscore."""
BETWEEN = 7 * MM


@dataclass(frozen=True)
class _Piece:
    """A word of an answer, or a line to fill in it."""

    width: float
    word: str = ""
    field: Field | None = None


def answers(texts: Sequence[str], key: str, says: str, width: float, line: str = "line {number}") -> list[Block]:
    """The answers of a question to tick, as many in a row as have room; without `key` the form has no fields for them.

    `says` is the question, and `line` what a line to fill in is called, for those who have the form read out to them.
    """
    return packed_cells([_answer(text, choice, key, says, width, line) for choice, text in enumerate(texts)], width)


def _answer(text: str, choice: int, key: str, says: str, width: float, line: str) -> Block:
    """A box to tick and the answer; underscores in it become a line to fill."""
    tick = TickField(choice_field(key), says, str(choice)) if key else None
    rows = list(_rows(list(_pieces(text, choice, key, width - AFTER_TICK, line)), width - AFTER_TICK))
    lines = [_row(pieces) for pieces in rows]
    said = stack([line.after(0.8 * MM) if i else line for i, line in enumerate(lines)])

    def draw(pen: Pen, x: float, top: float) -> None:
        draw_tick(pen, x, top + BODY.baseline, tick)
        said.draw(pen, x + AFTER_TICK, top)

    return Block(said.height, draw, width=AFTER_TICK + max((line.width for line in lines), default=0))


def _pieces(text: str, choice: int, key: str, width: float, line: str) -> Iterator[_Piece]:
    """The words and lines of an answer in their order; words keep the blanks behind them."""
    blanks = [max(BLANK, len(found[0]) * OF_AN_UNDERSCORE) for found in LINE.finditer(text)]
    for i, part in enumerate(lines_of(text)):
        if i:
            field = TextField(line_field(key, choice, i - 1), f"{text}, {line.format(number=i)}") if key else None
            yield _Piece(min(blanks[i - 1], width), field=field)
        if shown := printable(part):
            yield from map(_worded, _words(shown))


def _words(text: str) -> Iterator[str]:
    """The words of a text, each with the blank in front of it: an answer is broken before a word."""
    first, *rest = text.split(" ")
    yield from filter(None, (first, *(f" {word}" for word in rest)))


def _rows(pieces: Sequence[_Piece], width: float) -> Iterator[list[_Piece]]:
    """The pieces in rows of at most this width; a word that is longer is broken."""
    line: list[_Piece] = []
    for piece in (part for whole in pieces for part in _broken(whole, width)):
        if line and sum(each.width for each in line) + piece.width > width:
            yield line
            line = []
        line.append(piece if line or not piece.word else _worded(piece.word.lstrip()))
    yield line


def _broken(piece: _Piece, width: float) -> list[_Piece]:
    if piece.width <= width or not piece.word:
        return [piece]
    return [_worded(part) for part in wrap(piece.word, BODY, width)]


def _worded(word: str) -> _Piece:
    return _Piece(text_width(word, BODY.font, BODY.size), word)


def _row(pieces: Sequence[_Piece]) -> Block:
    """The pieces side by side, neighbouring words drawn as one text."""
    cells: list[tuple[float, Block]] = []
    at = 0.0
    for is_word, run in groupby(pieces, key=lambda piece: bool(piece.word)):
        side_by_side = list(run)
        for part in [_worded("".join(piece.word for piece in side_by_side))] if is_word else side_by_side:
            cells.append((at, written(part.word, BODY) if is_word else _blank(part)))
            at += part.width
    return Block(BODY.height, row(cells).draw if cells else _nothing, width=at)


def _nothing(pen: Pen, x: float, top: float) -> None:
    """An answer without words."""


def _blank(piece: _Piece) -> Block:
    return Block(BODY.height, lambda pen, x, top: draw_line(pen, x, top + BODY.baseline, piece.width, piece.field))


def packed_cells(cells: Sequence[Block], width: float) -> list[Block]:
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
