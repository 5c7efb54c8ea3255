"""The query letter: one to a practice for all its incomplete cases, with a slip for the answers, as a PDF on A4."""

from io import BytesIO

from intake.documents.address_window import WINDOWS
from intake.documents.code_128 import module_width
from intake.documents.flow import draw_all, paginate
from intake.documents.form_fields import FormWriter
from intake.documents.letter_content import AgreedAnswer, AgreedCase, Letter, LetterCase, LetterQuestion
from intake.documents.letter_sheet import (
    BOTTOM,
    LATER_TOP,
    LEFT,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    AddressDoesNotFit,
    draw_first,
    draw_form_number,
    draw_later,
    draw_page_number,
)
from intake.documents.letter_slip import letter_slip
from intake.documents.letter_text import letter_text
from intake.documents.paper import MM, Pen, new_canvas
from intake.domain.form_check import CHECK, FORM, form_check

__all__ = [
    "WINDOWS",
    "AddressDoesNotFit",
    "AgreedAnswer",
    "AgreedCase",
    "Letter",
    "LetterCase",
    "LetterQuestion",
    "draw_letter",
]

MODULE = 0.33 * MM
"""The narrowest bar on a slip, at least: it comes back as a scan or a photo."""


def draw_letter(letter: Letter, window: str = "dl", dpi: int = 300) -> bytes:
    """The letter as a PDF, its address placed for a window of `WINDOWS`; `dpi` is the printer's, for the barcodes.

    Its slip is a form to fill in where `letter.form` is given.

    Raises AddressDoesNotFit when the window does not show the whole address.
    """
    place = WINDOWS[window]
    first, later = BOTTOM - place.body_top * MM, BOTTOM - LATER_TOP
    text = paginate(letter_text(letter), first, later)
    module = module_width(dpi, MODULE)
    pages = text + paginate(letter_slip(letter, module), later, later)
    out = BytesIO()
    canvas = new_canvas(out, PAGE_WIDTH, PAGE_HEIGHT)
    canvas.setTitle(f"{letter.kind} {letter.number}")
    form = FormWriter(canvas, PAGE_HEIGHT) if letter.form else None
    for i, page in enumerate(pages):
        pen = Pen(canvas, PAGE_HEIGHT, form)
        if i == 0:
            draw_first(letter, place, pen)
        else:
            draw_later(letter, pen)
        if letter.form and i >= len(text):
            draw_form_number(letter.form, letter.words.form, module, pen)
        draw_all(page, pen, LEFT, LATER_TOP if i else place.body_top * MM)
        draw_page_number(pen, letter.words.page.format(page=i + 1, pages=len(pages)))
        if form and i == len(pages) - 1:
            form.keep(FORM, letter.form)
            form.keep(CHECK, form_check(form.fields))
        canvas.showPage()
    canvas.save()
    return out.getvalue()
