"""The first page of a blank prescription: who prescribes what, for whom and for when, and what is sent with it."""

from collections.abc import Sequence

from intake.documents.blank_content import Blank
from intake.documents.blank_sheet import BODY, HEADING, SMALL, WIDTH
from intake.documents.blank_table import appliance_table
from intake.documents.blocks import Block, row
from intake.documents.fill_in import to_fill, to_tick
from intake.documents.fonts import text_width
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

GAP = 6 * MM
LINE = 8.5 * MM
"""The height of a line to write on."""
NOTES_HIGH = 24 * MM
HALF = (WIDTH - GAP) / 2
RECORDS: tuple[tuple[str, ItemKind], ...] = (("Impression", "impression"), ("Model", "model"), ("Scan", "scan"))
OTHERS: tuple[tuple[str, ItemKind], ...] = (
    ("photo", "photo"),
    ("shade tab", "shade-tab"),
    ("appliance to repair", "appliance"),
)


def front(blank: Blank) -> list[Block]:
    """Everything on the first page under its head."""
    caution = [block.after(2 * MM if i == 0 else 0) for i, block in enumerate(lines(blank.caution, SMALL, WIDTH))]
    signed = _side_by_side((HALF, "Signature", None), (HALF, "Date", TextField(DATE, "Date")))
    return [
        *_patient(blank),
        *_titled("To make"),
        appliance_table(blank).after(0.5 * MM),
        *_titled("Sent with it"),
        *_sent(blank),
        _notes().after(3 * MM),
        *caution,
        signed.after(1 * MM),
    ]


def _patient(blank: Blank) -> list[Block]:
    prescribers = MenuField(PRESCRIBER, "Prescriber", tuple((name, name) for name in blank.prescribers))
    age = [(words, TickField(UNDER_18, "Under 18", f"{i}")) for i, words in enumerate(YES_NO)]
    label, reference = TextField(LABEL, "Patient’s label"), TextField(REFERENCE, "Patient’s reference")
    named = _side_by_side((WIDTH * 0.36, "Patient’s label", label), (WIDTH * 0.32, "Reference", reference))
    under_18 = _low(row([(0, written("Under 18:", SMALL, beside=BODY)), (16 * MM, _ticks(age))]))
    appointment = TextField(APPOINTMENT, "Appointment, date and time")
    return [
        _side_by_side((HALF, "Prescriber", prescribers), (HALF, "Appointment, date and time", appointment)),
        row([(0, named), (named.width + GAP, under_18)]),
        to_fill("Allergies, or “none”", WIDTH, TextField(ALLERGIES, "Allergies"), LINE),
    ]


def _sent(blank: Blank) -> list[Block]:
    """What comes with the prescription, how it was taken, and whether it was disinfected."""
    records = [_of_arches(words, item) for words, item in RECORDS]
    material = MenuField(IMPRESSION_MATERIAL, "Impression material", blank.materials)
    taken = TextField(IMPRESSION_TAKEN, "Impression taken on, date and time")
    kinds = [(kind, TickField(BITE_KIND, "Bite record", f"{i}")) for i, kind in enumerate(BITE_KINDS)]
    bite = _ticks([("Bite record:", _item("bite-record")), *kinds])
    opened = "opened or protruded by, mm"
    measured = to_fill(opened, WIDTH - bite.width - GAP, TextField(BITE_MM, f"Bite record {opened}"), LINE)
    hygiene = enumerate(("disinfected", "not disinfected"))
    clean = _ticks([(words, TickField(HYGIENE, "Hygiene", f"{i}")) for i, words in hygiene])
    others = _ticks([(words, _item(item)) for words, item in OTHERS])
    return [
        row([(i * WIDTH / len(records), block) for i, block in enumerate(records)]).after(1 * MM),
        _side_by_side((HALF, "Impression material", material), (HALF, "taken on, at", taken)),
        row([(0, _low(bite)), (bite.width + GAP, measured)]),
        row([(0, others), (WIDTH - clean.width, clean)]).after(2 * MM),
    ]


def _of_arches(words: str, item: ItemKind) -> Block:
    """A kind of record with a box for each arch."""
    ticks = _ticks([("upper", _item(item, "upper")), ("lower", _item(item, "lower"))])
    return row([(0, written(f"{words}:", BODY)), (text_width(f"{words}:", BODY.font, BODY.size) + 3 * MM, ticks)])


def _item(item: ItemKind, arch: Arch | None = None) -> TickField:
    says = f"{item.replace('-', ' ')} {arch or ''}".strip()
    return TickField(item_field(item, arch), f"Sent with it: {says}", TICKED, radio=False)


def _notes() -> Block:
    """A box to write in."""
    left, what = 12 * MM, TextField(NOTES, "Notes", lines=True)

    def draw(pen: Pen, x: float, top: float) -> None:
        written("Notes", SMALL).draw(pen, x, top + 1 * MM)
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
