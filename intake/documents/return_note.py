"""The note of return: goes back with a parcel that is refused, on A4, its address in the envelope's window.

It names no patient: the parcel's number and label tell which it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from intake.documents.address_window import WINDOWS
from intake.documents.blocks import rows, whole
from intake.documents.flow import Group, draw_all, paginate
from intake.documents.letter_sheet import (
    BODY,
    BOTTOM,
    LATER_TOP,
    LEFT,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SMALL,
    WIDTH,
    draw_first,
    draw_later,
    draw_page_number,
)
from intake.documents.letter_text import BESIDE, MOST_WHOLE, ROOM, SUBJECT, spaced
from intake.documents.paper import MM, Pen, new_canvas
from intake.documents.text import lines
from intake.domain.printed.papers import LetterWords, NoteWords

_WORDS, _PAGE = NoteWords(), LetterWords().page


@dataclass(frozen=True)
class ReturnNote:
    """Everything on a note of return, in the words to be printed; what is empty is left out."""

    number: str
    date: str
    """With the weekday."""
    lab: str
    practice: str
    address: tuple[str, ...]
    """The lines under the practice's name, the postcode last."""
    subject: str
    facts: tuple[tuple[str, str], ...]
    """What came, when, its label, what was seen: each a name and what is to be said."""
    why: str
    """Why it goes back."""
    text: str
    """The lab's own words."""
    closing: str
    lab_address: tuple[str, ...] = ()
    telephone: str = ""
    email: str = ""
    logo: Path | None = None
    words: NoteWords = _WORDS
    page: str = _PAGE
    """Which page it is, as letters say it."""

    @property
    def kind(self) -> str:
        """What it is called."""
        return self.words.kind


def draw_return_note(note: ReturnNote, window: str = "dl") -> bytes:
    """The note as a PDF, its address placed for a window of `WINDOWS`.

    Raises AddressDoesNotFit when the window does not show the whole address.
    """
    place = WINDOWS[window]
    pages = paginate(_groups(note), BOTTOM - place.body_top * MM, BOTTOM - LATER_TOP)
    out = BytesIO()
    canvas = new_canvas(out, PAGE_WIDTH, PAGE_HEIGHT)
    canvas.setTitle(f"{note.kind} {note.number}")
    for i, page in enumerate(pages):
        pen = Pen(canvas, PAGE_HEIGHT)
        if i == 0:
            draw_first(note, place, pen)
        else:
            draw_later(note, pen)
        draw_all(page, pen, LEFT, LATER_TOP if i else place.body_top * MM)
        draw_page_number(pen, note.page.format(page=i + 1, pages=len(pages)))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _groups(note: ReturnNote) -> Sequence[Group]:
    facts = [(name, said) for name, said in note.facts if said.strip()]
    groups = [
        Group("the subject", tuple(lines(note.subject, SUBJECT, WIDTH))),
        *(_fact(name, said, 4 * MM if i == 0 else 1.6 * MM) for i, (name, said) in enumerate(facts)),
        _fact(note.words.why, note.why, 1.6 * MM, strong=True),
        Group("the text", spaced(lines(note.text, BODY, WIDTH), 5 * MM)),
        Group("the closing", spaced(lines(f"{note.closing}\n{note.lab}", BODY, WIDTH), 4 * MM)),
    ]
    return [group for group in groups if group.blocks]


def _fact(name: str, said: str, space: float, strong: bool = False) -> Group:
    """What is said beside its name."""
    label = lines(name, SMALL, BESIDE - 4 * MM, beside=BODY)
    text = lines(said, BODY.bold if strong else BODY, ROOM)
    return Group(name, spaced(whole(rows((0, label), (BESIDE, text)), MOST_WHOLE), space) if text else ())
