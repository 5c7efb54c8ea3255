"""The ticket that travels with the box, as a PDF."""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from intake.documents.blocks import Block
from intake.documents.flow import Placed, TooMuch, draw_all, paginate
from intake.documents.paper import MM, Pen, new_canvas
from intake.documents.ticket_body import body
from intake.documents.ticket_content import (
    SisterJob,
    Ticket,
    TicketAppliance,
    TicketBench,
    TicketItem,
    TicketPicture,
)
from intake.documents.ticket_head import foot, head, head_again
from intake.documents.ticket_sheet import SHEETS, Setting, Sheet, settings
from intake.errors import IntakeError

__all__ = [
    "SHEETS",
    "DoesNotFit",
    "SisterJob",
    "Ticket",
    "TicketAppliance",
    "TicketBench",
    "TicketItem",
    "TicketPicture",
    "draw_ticket",
    "draw_tickets",
]

MOST_PAGES = 4


class DoesNotFit(IntakeError):
    """A ticket that needs more paper than the ticket of one job may have."""


def draw_ticket(ticket: Ticket, size: str = "A6", dpi: int = 203) -> bytes:
    """One ticket as a PDF of one page, or of more where one does not hold it; `dpi` is the printer's, for the barcode.

    Pictures of scans that do not fit on four pages are left out, and a line says so. Raises DoesNotFit, naming what
    does not, when four pages with the smallest type do not hold the words.
    """
    return draw_tickets([ticket], size, dpi)


def draw_tickets(tickets: Iterable[Ticket], size: str = "A6", dpi: int = 203) -> bytes:
    """Many tickets in one PDF, each from a new page; raises as `draw_ticket` does."""
    sheet = SHEETS[size]
    out = BytesIO()
    canvas = new_canvas(out, sheet.width * MM, sheet.height * MM)
    numbers = [_draw(ticket, sheet, dpi, canvas) for ticket in tickets]
    canvas.setTitle(f"Ticket {numbers[0]}" if len(numbers) == 1 else f"{len(numbers)} tickets")
    canvas.save()
    return out.getvalue()


@dataclass(frozen=True)
class _Layout:
    """A ticket in a setting: the heads of its pages and what stands under them, or what there is no room for."""

    setting: Setting
    heads: tuple[Block, Block]
    pages: list[list[Placed]]
    no_room_for: str = ""


def _draw(ticket: Ticket, sheet: Sheet, dpi: int, canvas: Canvas) -> str:
    layout = _fitted(ticket, sheet, dpi)
    setting = layout.setting
    for i, page in enumerate(layout.pages, 1):
        pen, top = Pen(canvas, setting.height), layout.heads[min(i, 2) - 1]
        top.draw(pen, setting.margin, setting.margin)
        draw_all(page, pen, setting.margin, _body_top(top, setting))
        end = foot(ticket, setting, _page(ticket, i, len(layout.pages)))
        end.draw(pen, setting.margin, setting.height - setting.margin - end.height)
        canvas.showPage()
    return ticket.number


def _page(ticket: Ticket, page: int, pages: int) -> str:
    """Which page it is; nothing where there is one alone."""
    return ticket.words.page.format(page=page, pages=pages) if pages > 1 else ""


def _fitted(ticket: Ticket, sheet: Sheet, dpi: int) -> _Layout:
    """The words in the largest type that needs the fewest pages, and the pictures where they take none from them.

    The pictures stand under the words, in smaller type if that saves a page; or on a page of their own behind them; or
    a line says that there is no room for them.
    """
    choices = settings(sheet, dpi)
    words = replace(ticket, pictures=(), pictures_note="")
    plain = _of_fewest_pages(words, choices)
    if ticket == words:
        return plain
    behind = _laid_out(ticket, plain.setting)
    return (
        _largest(partial(_laid_out, ticket), choices, len(plain.pages))
        or (behind if behind.pages else None)
        or _largest(partial(_laid_out, replace(words, pictures_note=words.words.no_room)), choices, len(plain.pages))
        or plain
    )


def _of_fewest_pages(ticket: Ticket, choices: Sequence[Setting]) -> _Layout:
    """The largest type with which the ticket needs one page, or else the largest with which it needs two, and so on."""
    laid_out = cache(partial(_laid_out, ticket))
    for most in range(1, MOST_PAGES + 1):
        if found := _largest(laid_out, choices, most):
            return found
    least = choices[-1]
    raise DoesNotFit(
        f"The ticket {ticket.number} does not fit on {MOST_PAGES} pages of {least.sheet.name}: there is no room for "
        f"{laid_out(least).no_room_for}. Choose a larger ticket, or shorten what is written."
    )


def _largest(laid_out: Callable[[Setting], _Layout], choices: Sequence[Setting], most: int) -> _Layout | None:
    """The layout in the largest type that needs at most so many pages, if any."""
    found = bisect_left(choices, True, key=lambda setting: 0 < len(laid_out(setting).pages) <= most)
    return laid_out(choices[found]) if found < len(choices) else None


def _laid_out(ticket: Ticket, setting: Setting) -> _Layout:
    heads = head(ticket, setting), head_again(ticket, setting)
    foot_top = setting.height - setting.margin - foot(ticket, setting, _page(ticket, 2, 2)).height
    first, later = (foot_top - 1.5 * setting.unit - _body_top(top, setting) for top in heads)
    try:
        return _Layout(setting, heads, paginate(body(ticket, setting), first, later, MOST_PAGES))
    except TooMuch as refusal:
        return _Layout(setting, heads, [], refusal.group)


def _body_top(top: Block, setting: Setting) -> float:
    return setting.margin + top.height + 1.5 * setting.unit
