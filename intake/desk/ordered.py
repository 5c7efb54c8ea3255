"""What a delivery says of the case: by the prescription file or filled-in blank in it, else by its message."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from intake.desk.check import fingerprint_of
from intake.desk.desk import Desk
from intake.desk.senders import labels_of, practice_of_sender
from intake.domain.case import Case, NewPractice
from intake.domain.form import read_form
from intake.domain.practice import Practice
from intake.domain.reading import find_practice, read_case
from intake.errors import IntakeError
from intake.inbox.filled_blank import read_blank
from intake.inbox.mail_lines import labelled
from intake.inbox.message import ReadMail
from intake.inbox.pdf_form import is_pdf

_PLACES = {
    "practice": "practice",
    "prescriber": "prescriber",
    "patient": "patient.label",
    "reference": "patient.reference",
    "appliance": "appliances[0]",
    "appointment": "appointment",
    "notes": "notes",
}
"""Where in the form what a labelled line says is put."""


@dataclass(frozen=True)
class Ordered:
    """What was ordered, as far as it can be read."""

    practice: str = ""
    patient_label: str = ""
    patient_reference: str = ""
    prescription: dict[str, Any] = field(default_factory=dict)
    """As an arrival keeps it."""
    problem: str = ""
    """Why the prescription cannot be read."""
    fingerprint: str | None = None
    """What tells the prescription file from every other; None where it is not by a file."""


def ordered(desk: Desk, prescriptions: Sequence[Path | bytes], mail: ReadMail | None) -> Ordered:
    """What is ordered. Of several prescriptions the first that can be read counts."""
    problem = ""
    for source in prescriptions:
        try:
            content = source if isinstance(source, bytes) else source.read_bytes()
            found = _by_blank(desk, content) if is_pdf(content) else _by_file(desk, content)
            return replace(found, fingerprint=fingerprint_of(content))
        except IntakeError as unreadable:
            problem = problem or str(unreadable)
        except OSError as error:
            problem = problem or f"The prescription cannot be read: {error.strerror or type(error).__name__}."
    return _typed(desk, _of_mail(desk, mail) if mail is not None else {}, problem)


def _by_file(desk: Desk, content: bytes) -> Ordered:
    practices = desk.practices()
    case = read_case(content, desk.lab, practices)
    return Ordered(
        practice=_practice_shown(case, practices),
        patient_label=case.patient.label or "",
        patient_reference=case.patient.reference or "",
        prescription={"case": case.model_dump(mode="json")},
    )


def _by_blank(desk: Desk, content: bytes) -> Ordered:
    return _typed(desk, read_blank(content, desk.lab, desk.practices(), desk.now().date()), "")


def _typed(desk: Desk, typed: dict[str, str], problem: str) -> Ordered:
    form = read_form(typed, desk.lab, desk.practices(), desk.now())
    return Ordered(
        practice=form.ordering.name if form.ordering else typed.get("practice", ""),
        patient_label=form.case.patient.label or "",
        patient_reference=form.case.patient.reference or "",
        prescription={"typed": typed, "kept": None, "case_id": None, "version": None} if typed else {},
        problem=problem,
    )


def _of_mail(desk: Desk, mail: ReadMail) -> dict[str, str]:
    """The form as the lines of a message fill it in; its sender’s practice where they name none of the directory."""
    labels = {str(field): words for field, words in labels_of(desk, mail.sender).items()}
    said = labelled(mail.text, labels)
    typed = {place: said[field] for field, place in _PLACES.items() if field in said}
    named = read_form(typed, desk.lab, desk.practices(), desk.now()).practice
    code = practice_of_sender(desk, mail.sender) if named is None else ""
    return typed | {"practice": code} if code else typed


def _practice_shown(case: Case, practices: Sequence[Practice]) -> str:
    known = find_practice(case.practice, practices)
    if known is not None:
        return known.name
    return case.practice.name if isinstance(case.practice, NewPractice) else case.practice or ""
