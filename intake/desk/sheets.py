"""The sheets that are neither tickets nor letters: how each is drawn, and what the printer's list calls it."""

from intake.desk.desk import Desk
from intake.store.rows import DocumentRow

TITLES = {
    "ticket": "Ticket",
    "letter": "Letter",
    "blank": "Prescription form",
    "return-note": "Note of return",
    "stickers": "Stickers",
    "bench-codes": "Bench codes",
    "box-labels": "Box labels",
    "day-sheet": "Day sheet",
    "pour-list": "Pour list",
}


def draw_sheet(desk: Desk, document: DocumentRow) -> bytes:
    """The PDF of a sheet, by what it is about as that stands."""
    match document.kind:
        case "return-note":
            from intake.desk.return_note_words import draw_note

            return draw_note(desk, document)
        case "day-sheet":
            from intake.desk.day_sheet_words import draw_day

            return draw_day(desk, document)
        case "pour-list":
            from intake.desk.pour_list_words import draw_list

            return draw_list(desk, document)
        case "stickers":
            from intake.desk.code_sheets import draw_stickers

            return draw_stickers(desk, document)
        case "bench-codes":
            from intake.desk.code_sheets import draw_bench_codes

            return draw_bench_codes(desk, document)
        case "box-labels":
            from intake.desk.code_sheets import draw_box_labels

            return draw_box_labels(desk, document)
        case _:
            raise AssertionError(f"{document.kind} is no sheet")
