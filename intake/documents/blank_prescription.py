"""The blank prescription: it asks for everything that the lab would otherwise ask, on paper and in a viewer."""

from io import BytesIO

from intake.documents.blank_content import Blank, BlankNeeds, BlankOption
from intake.documents.blank_front import front
from intake.documents.blank_needs import needs_text
from intake.documents.blank_sheet import BOTTOM, LEFT, PAGE_HEIGHT, PAGE_WIDTH, TOP, draw_foot, head, head_again
from intake.documents.blocks import stack
from intake.documents.code_128 import module_width
from intake.documents.flow import draw_all, paginate
from intake.documents.form_fields import FormWriter
from intake.documents.paper import MM, Pen, new_canvas
from intake.domain.form_check import CHECK, FORM, form_check
from intake.errors import IntakeError

__all__ = ["Blank", "BlankDoesNotFit", "BlankNeeds", "BlankOption", "draw_blank"]

MODULE = 0.33 * MM
"""The narrowest bar, at least: the form comes back as a scan or a photo."""


class BlankDoesNotFit(IntakeError):
    """A blank prescription with more on its first page than the page holds."""


def draw_blank(blank: Blank, dpi: int = 300) -> bytes:
    """The blank prescription as a PDF: the form on the first page, what the lab asks for behind it.

    Args:
        blank: What stands on it.
        dpi: The printer's, for the barcode.

    Raises:
        BlankDoesNotFit: names, addresses or texts are longer than the page has room for.
    """
    face = stack([head(blank, module_width(dpi, MODULE)), *front(blank)])
    if face.height > BOTTOM - TOP:
        raise BlankDoesNotFit(
            f"The prescription form for {blank.practice} does not fit on its page. Shorten the laboratory’s address "
            "or the text of the caution."
        )
    again = head_again(blank)
    room = BOTTOM - TOP - again.height - 3 * MM
    backs = paginate(needs_text(blank), room, room) if blank.needs else []
    out = BytesIO()
    canvas = new_canvas(out, PAGE_WIDTH, PAGE_HEIGHT)
    canvas.setTitle(f"{blank.words.title} {blank.code}")
    form = FormWriter(canvas, PAGE_HEIGHT)
    pen = Pen(canvas, PAGE_HEIGHT, form)
    face.draw(pen, LEFT, TOP)
    form.keep(FORM, blank.number)
    form.keep(CHECK, form_check(form.fields))
    draw_foot(blank, pen, 1, 1 + len(backs))
    canvas.showPage()
    for number, back in enumerate(backs, 2):
        pen = Pen(canvas, PAGE_HEIGHT)
        again.draw(pen, LEFT, TOP)
        draw_all(back, pen, LEFT, TOP + again.height + 3 * MM)
        draw_foot(blank, pen, number, 1 + len(backs))
        canvas.showPage()
    canvas.save()
    return out.getvalue()
