"""The table in which appliances are prescribed: a column for each of them, a line for each thing to say."""

from collections.abc import Callable
from dataclasses import dataclass

from intake.documents.blank_content import Blank, BlankOption
from intake.documents.blank_sheet import BODY, SMALL, WIDTH
from intake.documents.blocks import Block
from intake.documents.fill_in import FIELD, to_tick
from intake.documents.fonts import printable
from intake.documents.form_fields import Field, MenuField, TextField, TickField
from intake.documents.paper import MM, Pen
from intake.documents.text import written
from intake.domain.blank_fields import APPLIANCES, ARCHES, appliance_field, arch_field, notes_field, option_field
from intake.domain.printed.form import FormWords

LABELS = 30 * MM
COLUMN = (WIDTH - LABELS) / APPLIANCES
LINE, NOTES = 8 * MM, 13 * MM
HEADS = 5.5 * MM
INSET = 0.6 * MM


@dataclass(frozen=True)
class _Line:
    """One line of the table: its label, its height, and what is filled in for each appliance."""

    label: str
    field: Callable[[int], Field] | None
    height: float = LINE


def appliance_table(blank: Blank) -> Block:
    """The table; the fields follow each other appliance by appliance, since a viewer's Tab key goes by their order."""
    table = _lines(blank)
    tops = [HEADS + sum(line.height for line in table[:i]) for i in range(len(table) + 1)]

    def draw(pen: Pen, x: float, top: float) -> None:
        for at, line in zip(tops, table, strict=False):
            pen.line(x, top + at, x + WIDTH, top + at)
            written(printable(line.label), SMALL).draw(pen, x, top + at + (LINE - SMALL.height) / 2)
        pen.line(x, top + tops[-1], x + WIDTH, top + tops[-1])
        for index in range(APPLIANCES):
            left = x + LABELS + index * COLUMN
            written(f"{index + 1}", SMALL.bold, INSET + 1 * MM).draw(pen, left, top + (HEADS - SMALL.height) / 2)
            pen.line(left, top + HEADS, left, top + tops[-1])
            for at, line in zip(tops, table, strict=False):
                _draw_cell(pen, line, blank.words, index, (left, top + at, COLUMN, line.height))
        pen.line(x + WIDTH, top + HEADS, x + WIDTH, top + tops[-1])

    return Block(tops[-1], draw, width=WIDTH)


def _lines(blank: Blank) -> list[_Line]:
    words = blank.words
    return [
        _Line(words.appliance, lambda i: MenuField(appliance_field(i), f"{words.appliance} {i + 1}", blank.types)),
        _Line(words.arch, None),
        *(_Line(option.label, _option(option, words)) for option in blank.options),
        _Line(words.notes, lambda i: TextField(notes_field(i), _of(words.notes, i, words), lines=True), NOTES),
    ]


def _of(what: str, index: int, words: FormWords) -> str:
    return words.of_appliance.format(what=what, number=index + 1)


def _option(option: BlankOption, words: FormWords) -> Callable[[int], Field]:
    def field(index: int) -> Field:
        name, says = option_field(index, option.name), _of(option.label, index, words)
        return MenuField(name, says, tuple((m, m) for m in option.menu)) if option.menu else TextField(name, says)

    return field


def _draw_cell(pen: Pen, line: _Line, words: FormWords, index: int, box: tuple[float, float, float, float]) -> None:
    x, top, width, height = box
    if line.field is not None:
        high = FIELD if line.height == LINE else height - 2 * INSET
        pen.to_fill(line.field(index), (x + INSET, top + (height - high) / 2, width - 2 * INSET, high))
        return
    step = (width - 1.5 * MM) / len(ARCHES)
    for i, arch in enumerate(ARCHES):
        tick = TickField(arch_field(index), _of(words.arch, index, words), f"{i}")
        to_tick(getattr(words, arch), BODY, tick).draw(pen, x + 1.5 * MM + i * step, top + (height - BODY.height) / 2)
