"""The first page of a blank prescription: who prescribes what, for whom and for when, and what is sent with it."""

from collections.abc import Sequence

from intake.documents.blank_content import Blank
from intake.documents.blank_sheet import BODY, HEADING, SMALL, WIDTH
from intake.documents.blank_table import appliance_table
from intake.documents.blocks import Block, row
from intake.documents.fill_in import to_fill, to_tick
from intake.documents.fonts import printable, text_width
from intake.documents.form_fields import Field, MenuField, TextField, TickField
from intake.documents.paper import MM, Pen
from intake.documents.text import lines, written
from intake.domain.blank_fields import (
    ALLERGIES,
    APPOINTMENT,
    BITE_KIND,
    BITE_KINDS,
    BITE_MM,
    DATE,
    HYGIENE,
    IMPRESSION_MATERIAL,
    IMPRESSION_TAKEN,
    LABEL,
    NOTES,
    PRESCRIBER,
    REFERENCE,
    TICKED,
    UNDER_18,
    YES_NO,
    item_field,
)
from intake.domain.case import Arch, ItemKind
from intake.domain.printed.form import FormWords

GAP = 6 * MM
LINE = 8.5 * MM
"""The height of a line to write on."""
NOTES_HIGH = 24 * MM
HALF = (WIDTH - GAP) / 2


def front(blank: Blank) -> list[Block]:
    """Everything on the first page under its head."""
    caution = [block.after(2 * MM if i == 0 else 0) for i, block in enumerate(lines(blank.caution, SMALL, WIDTH))]
    words = blank.words
    signed = _side_by_side((HALF, words.signature, None), (HALF, words.date, TextField(DATE, words.date)))
    return [
        *_patient(blank),
        *_titled(words.to_make),
        appliance_table(blank).after(0.5 * MM),
        *_titled(words.sent),
        *_sent(blank),
        _notes(words).after(3 * MM),
        *caution,
        signed.after(1 * MM),
    ]


def _patient(blank: Blank) -> list[Block]:
    words = blank.words
    prescribers = MenuField(PRESCRIBER, words.prescriber, tuple((name, name) for name in blank.prescribers))
    age = [(getattr(words, each), TickField(UNDER_18, words.under_18, f"{i}")) for i, each in enumerate(YES_NO)]
    label, reference = TextField(LABEL, words.label), TextField(REFERENCE, words.reference)
    named = _side_by_side((WIDTH * 0.36, words.label, label), (WIDTH * 0.32, words.reference, reference))
    asked = printable(f"{words.under_18}:")
    beside = text_width(asked, SMALL.font, SMALL.size) + 3 * MM
    under_18 = _low(row([(0, written(asked, SMALL, beside=BODY)), (beside, _ticks(age))]))
    appointment = TextField(APPOINTMENT, words.appointment)
    return [
        _side_by_side((HALF, words.prescriber, prescribers), (HALF, words.appointment, appointment)),
        row([(0, named), (named.width + GAP, under_18)]),
        to_fill(words.allergies, WIDTH, TextField(ALLERGIES, words.allergies), LINE),
    ]


def _sent(blank: Blank) -> list[Block]:
    """What comes with the prescription, how it was taken, and whether it was disinfected."""
    words = blank.words
    of_arches: tuple[tuple[str, ItemKind], ...] = (
        (words.impression, "impression"),
        (words.model, "model"),
        (words.scan, "scan"),
    )
    records = [_of_arches(said, item, words) for said, item in of_arches]
    material = MenuField(IMPRESSION_MATERIAL, words.impression_material, blank.materials)
    taken = TextField(IMPRESSION_TAKEN, f"{words.impression}: {words.taken}")
    kinds = [
        (getattr(words, kind), TickField(BITE_KIND, words.bite_record, f"{i}")) for i, kind in enumerate(BITE_KINDS)
    ]
    bite = _ticks([(f"{words.bite_record}:", _item("bite-record", words.bite_record, words)), *kinds])
    opened = TextField(BITE_MM, f"{words.bite_record}: {words.opened_by}")
    measured = to_fill(words.opened_by, WIDTH - bite.width - GAP, opened, LINE)
    either = (words.disinfected, words.not_disinfected)
    clean = _ticks([(said, TickField(HYGIENE, " / ".join(either), f"{i}")) for i, said in enumerate(either)])
    rest: tuple[tuple[str, ItemKind], ...] = (
        (words.photo, "photo"),
        (words.shade_tab, "shade-tab"),
        (words.repair, "appliance"),
    )
    others = _ticks([(said, _item(item, said, words)) for said, item in rest])
    return [
        row([(i * WIDTH / len(records), block) for i, block in enumerate(records)]).after(1 * MM),
        _side_by_side((HALF, words.impression_material, material), (HALF, words.taken, taken)),
        row([(0, _low(bite)), (bite.width + GAP, measured)]),
        row([(0, others), (WIDTH - clean.width, clean)]).after(2 * MM),
    ]


def _of_arches(said: str, item: ItemKind, words: FormWords) -> Block:
    """A kind of record with a box for each arch."""
    arches: tuple[tuple[str, Arch], ...] = ((words.upper, "upper"), (words.lower, "lower"))
    ticks = _ticks([(name, _item(item, f"{said} {name}", words, arch)) for name, arch in arches])
    shown = printable(f"{said}:")
    return row([(0, written(shown, BODY)), (text_width(shown, BODY.font, BODY.size) + 3 * MM, ticks)])


def _item(item: ItemKind, said: str, words: FormWords, arch: Arch | None = None) -> TickField:
    return TickField(item_field(item, arch), f"{words.sent}: {said}", TICKED, radio=False)


def _notes(words: FormWords) -> Block:
    """A box to write in."""
    shown = printable(words.notes)
    left = max(12 * MM, text_width(shown, SMALL.font, SMALL.size) + 3 * MM)
    what = TextField(NOTES, words.notes, lines=True)

    def draw(pen: Pen, x: float, top: float) -> None:
        written(shown, SMALL).draw(pen, x, top + 1 * MM)
        pen.panel((x + left, top, WIDTH - left, NOTES_HIGH))
        pen.to_fill(what, (x + left + 0.6 * MM, top + 0.6 * MM, WIDTH - left - 1.2 * MM, NOTES_HIGH - 1.2 * MM))

    return Block(NOTES_HIGH, draw, width=WIDTH)


def _titled(text: str) -> list[Block]:
    return [block.after(3 * MM) for block in lines(text, HEADING, WIDTH)]


def _side_by_side(*cells: tuple[float, str, Field | None]) -> Block:
    """Lines to write on beside each other: the width of each, its label and its field."""
    at, placed = 0.0, []
    for width, label, what in cells:
        placed.append((at, to_fill(label, width, what, LINE)))
        at += width + GAP
    both = row(placed)
    return Block(both.height, both.draw, width=at - GAP)


def _ticks(cells: Sequence[tuple[str, TickField]]) -> Block:
    """Boxes to tick one after another."""
    at, placed = 0.0, []
    for words, what in cells:
        box = to_tick(words, BODY, what)
        placed.append((at, box))
        at += box.width + 4 * MM
    both = row(placed)
    return Block(both.height, both.draw, width=at - 4 * MM)


def _low(block: Block) -> Block:
    """A block of one line on the baseline of a line to write on."""
    down = LINE - 2 * MM - BODY.baseline
    return Block(LINE, lambda pen, x, top: block.draw(pen, x, top + down), width=block.width)
