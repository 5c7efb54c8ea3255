"""A returned reply form: recognised by its own number and check, held against the letter as it was issued, and read."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from intake.domain.form_check import FORM, form_check, is_as_issued, written
from intake.domain.reply_fields import (
    DATE,
    NAME,
    ROLE,
    ROLES_TO_TICK,
    Filled,
    agreed_in,
    agreed_key,
    filled,
    question_key,
    questions_in,
)
from intake.domain.reply_number import ReplyNumberRefused, read_reply_number
from intake.inbox.page_codes import codes_of_pdf, codes_of_picture
from intake.inbox.pdf_form import Mark, PdfForm, PdfUnreadable, is_pdf, read_form

Kind = Literal["form", "flattened", "scanned", "altered", "unreadable"]
Issued = Callable[[int], bytes | None]
"""The PDF of a letter as it was issued; None where there is no such letter."""
SIGNATURE = 36
"""So many points a signature may reach over and under its line."""
_BY_EYE = "Read it, and take its answers down by hand."
_NO_FORM = "Nothing in this file says that it is a reply form of this laboratory."


@dataclass(frozen=True)
class ReplyRead:
    """What a returned form says.

    Attributes:
        kind: form: as it was issued, filled in; flattened: its fields are gone; scanned: a picture of the page;
            altered: it asks other things than were asked, or says something beside its fields; unreadable: nothing on
            it says which letter it answers.
        letter_id: The letter that it answers, by its number.
        answers: By query, what is filled in.
        agreed: By answer that was to be confirmed, what is filled in.
        name: Who filled it in.
        role: As what: `prescriber`, `on-behalf` or `team`; empty where nothing was chosen.
        date: When, as it was written.
        problem: Why a person has to read it, in a sentence.
    """

    kind: Kind
    letter_id: int | None = None
    answers: Mapping[int, Filled] = field(default_factory=dict)
    agreed: Mapping[int, Filled] = field(default_factory=dict)
    name: str = ""
    role: str = ""
    date: str = ""
    problem: str = ""


def read_reply(content: bytes, name: str, issued: Issued) -> ReplyRead:
    """Reads a file that may be a returned reply form; what is unclear gets a kind and a sentence, never a guess.

    Args:
        content: The file.
        name: Its name, for messages only.
        issued: Gives the letters as they were issued.
    """
    try:
        if not is_pdf(content):
            return _by_codes(codes_of_picture(content), "scanned", "The form was printed and scanned.")
        form = read_form(content)
        if FORM in form.fields:
            return _filled_in(form, issued)
        scanned = not any(text.strip() for text in form.texts)
        kind: Kind = "scanned" if scanned else "flattened"
        why = "The form was printed and scanned." if scanned else "The form has no fields any more."
        return _by_codes((*codes_of_pdf(content), *_numbers_in(form)), kind, why)
    except PdfUnreadable as problem:
        return ReplyRead("unreadable", problem=f"{name}: {problem}")


def _filled_in(form: PdfForm, issued: Issued) -> ReplyRead:
    try:
        letter_id = read_reply_number(form.fields[FORM])
    except ReplyNumberRefused as refused:
        return ReplyRead("unreadable", problem=str(refused))
    if why := _altered(form, letter_id, issued):
        return ReplyRead("altered", letter_id, problem=f"{why} {_BY_EYE}")
    fields = form.fields
    role = fields.get(ROLE, "")
    return ReplyRead(
        kind="form",
        letter_id=letter_id,
        answers={query: filled(fields, question_key(query)) for query in questions_in(fields)},
        agreed={answer: filled(fields, agreed_key(answer)) for answer in agreed_in(fields)},
        name=written(fields.get(NAME, "")),
        role=role if role in ROLES_TO_TICK else "",
        date=written(fields.get(DATE, "")),
    )


def _altered(form: PdfForm, letter_id: int, issued: Issued) -> str:
    """Why a form is not the one that was issued; empty where it is."""
    if not is_as_issued(form.fields):
        return "What this form asks was changed on the way."
    pdf = issued(letter_id)
    if pdf is None:
        return ""  # there is no such letter here: that is told with the letter, not as a change
    original = read_form(pdf)
    if form_check(original.fields) != form_check(form.fields):
        return "This form asks other things than the letter that it names."
    shown, now = ([_words(text) for text in each.texts] for each in (original, form))
    if now[: len(shown)] != shown:
        return "The words printed on this form are not those of the letter that it names."
    if len(now) > len(shown):
        return "There are more pages in this file than in the form."
    if not all(_is_signature(mark, original) for mark in form.marks):
        return "Something is written or drawn on the pages of this form beside its fields."
    return ""


def _is_signature(mark: Mark, original: PdfForm) -> bool:
    """Whether something was drawn, or stamped, where the signature belongs: on the line in front of the date."""
    date = original.places.get(DATE)
    if date is None or mark.kind not in ("/Ink", "/Stamp"):
        return False
    return mark.within(date.page, 0, date.low - SIGNATURE, date.left, date.high + SIGNATURE)


def _words(text: str) -> str:
    """The words of a page, however they are spaced."""
    return re.sub(r"\s+", "", text)


def _by_codes(codes: tuple[str, ...], kind: Kind, why: str) -> ReplyRead:
    """Which letter a page belongs to, by its barcodes; two letters on one page are none."""
    letters = {letter for code in codes if (letter := _letter(code)) is not None}
    if len(letters) == 1:
        return ReplyRead(kind, letters.pop(), problem=f"{why} {_BY_EYE}")
    if letters:
        return ReplyRead("unreadable", problem="There are forms of several letters in this file. Part them first.")
    return ReplyRead("unreadable", problem=f"{_NO_FORM} If it is a prescription, type it in Arrivals.")


def _letter(code: str) -> int | None:
    try:
        return read_reply_number(code)
    except ReplyNumberRefused:
        return None


def _numbers_in(form: PdfForm) -> tuple[str, ...]:
    """Numbers of reply forms printed in words on the pages."""
    return tuple(re.findall(r"\bR ?\d{6,12} ?\d\d\b", "\n".join(form.texts)))
