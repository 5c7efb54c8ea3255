"""Sheets of the lab's own codes: a practice's stickers, the codes of the benches, the labels of the boxes."""

from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue
from intake.documents.code_sheet import BENCHES, BOXES, STICKERS, Label, draw_labels, sheet_of
from intake.domain.lab import Lab
from intake.domain.languages import spoken
from intake.domain.own_codes import box_code, own_code
from intake.domain.practice import Practice
from intake.domain.reading import find_practice
from intake.errors import IntakeError
from intake.store.rows import DocumentRow

MOST_SHEETS = 50
"""Of stickers at once."""
MOST_BOXES = 1200
"""Labels of boxes at once: fifty sheets."""


class NoCodes(IntakeError):
    """There is nothing that the sheet could be printed for; the message says what is missing."""


def print_stickers(desk: Desk, practice_code: str, sheets: int = 1) -> Issued:
    """Draws sheets of a practice's stickers and prints them.

    Raises:
        NoCodes: the directory has no such practice, or no sheet or too many are asked for.
        CodeTooLong: its code is too long for a barcode.
    """
    practice = find_practice(practice_code, desk.practices())
    if practice is None:
        raise NoCodes(f"The directory has no practice “{practice_code}”, so there are no stickers of it.")
    if not 1 <= sheets <= MOST_SHEETS:
        raise NoCodes(f"Ask for 1 to {MOST_SHEETS} sheets; this was {sheets}.")
    sheet_of(sticker(practice, desk.lab), STICKERS)
    with desk.work() as work:
        document_id = work.documents.add_sheet("stickers", {"sheets": sheets}, practice.code)
        work.commit()
    return issue(desk, document_id)


def print_bench_codes(desk: Desk) -> Issued:
    """Draws the codes of all benches on one sheet or more and prints them. Raises NoCodes where there is no bench."""
    if not desk.lab.bench_by_name:
        raise NoCodes("The setup names no bench yet, so there is no code to print.")
    with desk.work() as work:
        document_id = work.documents.add_sheet("bench-codes", {"benches": list(desk.lab.bench_by_name)})
        work.commit()
    return issue(desk, document_id)


def print_box_labels(desk: Desk, first: int, last: int) -> Issued:
    """Draws the labels of the boxes from `first` to `last` and prints them.

    Raises NoCodes where the lab's boxes have no numbers, for boxes that it does not have, and for too many at once.
    """
    boxes = desk.lab.boxes
    if boxes is None:
        raise NoCodes("The boxes of this lab have no numbers. The setup can lay them down.")
    if not boxes.first <= first <= last <= boxes.last:
        raise NoCodes(f"The boxes of this lab are {boxes.first} to {boxes.last}; {first} to {last} was asked for.")
    if last - first >= MOST_BOXES:
        raise NoCodes(f"Print at most {MOST_BOXES} labels at once.")
    with desk.work() as work:
        document_id = work.documents.add_sheet("box-labels", {"first": first, "last": last})
        work.commit()
    return issue(desk, document_id)


def draw_stickers(desk: Desk, document: DocumentRow) -> bytes:
    """The sheets of a practice's stickers."""
    row = desk.store.read.practice(str(document.practice_code))
    assert row is not None, "only a practice of the directory has stickers"
    label = sticker(row.practice, desk.lab)
    count = sheet_of(label, STICKERS) * int(document.about["sheets"])
    return draw_labels([label] * count, STICKERS, f"Stickers {row.practice.code}")


def draw_bench_codes(desk: Desk, document: DocumentRow) -> bytes:
    """The codes of the benches."""
    benches = [bench_label(name, desk.lab) for name in document.about["benches"]]
    return draw_labels(benches, BENCHES, "Bench codes")


def draw_box_labels(desk: Desk, document: DocumentRow) -> bytes:
    """The labels of the boxes."""
    numbers = range(int(document.about["first"]), int(document.about["last"]) + 1)
    return draw_labels([box_label(number, desk.lab) for number in numbers], BOXES, "Box labels")


def sticker(practice: Practice, lab: Lab) -> Label:
    """What stands on a sticker of a practice, in its language."""
    to = spoken(lab, practice.language).words.labels.sticker.format(lab=lab.name)
    return Label(own_code("practice", practice.code), practice.name, practice.code, to)


def bench_label(bench: str, lab: Lab) -> Label:
    """The code of a bench."""
    return Label(own_code("bench", bench), bench, lab.words.labels.bench)


def box_label(number: int, lab: Lab) -> Label:
    """The label of a box."""
    return Label(box_code(number), str(number), lab.words.labels.box.format(number=number))
