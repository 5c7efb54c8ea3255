"""A blank prescription that came back filled in, in a file: the form of a case that the desk would have typed."""

from collections.abc import Sequence
from datetime import date

from intake.domain.blank_fields import FORM, read_blank_number
from intake.domain.blank_reading import typed_blank
from intake.domain.form_check import is_as_issued
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.errors import IntakeError
from intake.inbox.pdf_form import read_form

DRAWN = "On the form something is written or drawn beside its fields: look at it."
"""Kept in the notes where it is so: a signature, or something that nobody may miss."""


class BlankAltered(IntakeError):
    """A blank prescription that came back is not the one that was issued."""


def read_blank(content: bytes, lab: Lab, practices: Sequence[Practice], today: date) -> dict[str, str]:
    """The typed form, by place, that `intake.domain.form.read_form` reads.

    Args:
        content: The file.
        lab: The setup, whose words it is written in.
        practices: The directory.
        today: The lab's day, from which a day without a year is counted.

    Raises:
        PdfUnreadable: the file is no PDF that can be read.
        BlankNumberRefused: nothing in it says which practice it was drawn for.
        BlankAltered: a person has to read it.
    """
    form = read_form(content)
    read_blank_number(form.fields.get(FORM, ""))
    if not is_as_issued(form.fields):
        raise BlankAltered("What this form asks was changed on the way. Read it, and type the case in Arrivals.")
    typed = typed_blank(form.fields, lab, practices, today)
    return typed | {"notes": " · ".join(filter(None, (typed.get("notes"), DRAWN)))} if form.marks else typed
