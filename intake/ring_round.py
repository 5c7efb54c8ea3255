"""The demo's ring-round: what invented practices say to what is asked, by telephone and on forms that come back."""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from email.message import EmailMessage
from email.policy import SMTP
from io import BytesIO
from pathlib import Path
from typing import Any

from intake.desk.answering import take_answer
from intake.desk.call_card import CardCase, CardQuestion, call_card
from intake.desk.desk import Desk
from intake.desk.receive import Received, receive
from intake.desk.replies import take_reply
from intake.desk.tries import note_try
from intake.domain.answer import Authority, Speaker
from intake.domain.answering import read_answer
from intake.domain.reply_fields import (
    DATE,
    NAME,
    ROLE,
    agreed_in,
    agreed_key,
    asks,
    choice_field,
    line_field,
    question_key,
)
from intake.domain.ringing import Outcome
from intake.domain.written_dates import shown_day
from intake.resources import demo


@dataclass(frozen=True)
class Says:
    """What is said to one question."""

    about: str
    """The patient's reference."""
    asked: str
    """The requirement."""
    says: str
    """What the desk types; on a form, the answer that is ticked."""
    lines: tuple[str, ...] = ()
    """What is written on the lines of that answer."""


@dataclass(frozen=True)
class Call:
    """One try to reach a practice, and what it says when it is reached."""

    at: datetime
    practice: str
    outcome: Outcome
    speaker: str = ""
    role: Authority = "team"
    answers: tuple[Says, ...] = ()


@dataclass(frozen=True)
class Form:
    """A reply form as it comes back."""

    at: datetime
    practice: str
    name: str
    role: Authority
    answers: tuple[Says, ...]
    agreed: bool = False
    """Whether what was agreed by word of mouth is confirmed on it."""
    by_mail: bool = False
    taken: bool = False


@dataclass(frozen=True)
class Happened:
    """What was done, in sentences, and the tickets that wait to be printed."""

    said: tuple[str, ...]
    tickets: tuple[int, ...] = ()


def ring_round() -> tuple[tuple[Call, ...], tuple[Form, ...]]:
    """The calls of the evening and the forms of the next morning, each in their order."""
    read = tomllib.loads(demo("ring-round.toml").read_text(encoding="utf-8"))
    calls = tuple(Call(**each | {"answers": _answers(each)}) for each in read["calls"])
    return calls, tuple(Form(**each | {"answers": _answers(each)}) for each in read["forms"])


def ring(desk: Desk, call: Call) -> Happened:
    """Rings a practice: notes the try, and takes down what it says."""
    said = [note_try(desk, call.practice, call.outcome).said]
    tickets: list[int] = []
    speaker = Speaker(name=call.speaker, authority=call.role, route="telephone")
    for each in call.answers:
        case, question = _question(desk, call.practice, each)
        practice = desk.practice_of(case.case)
        answer = read_answer(each.says, question.finding, case.case, desk.lab, practice, desk.now()).answer
        assert answer is not None, f"{call.practice}, {each.about}: “{each.says}” is no answer to {each.asked}"
        taken = take_answer(desk, question.query_id, answer, speaker)
        standing = " It is standing from now on." if taken.practice_before else ""
        said.append(f"  {case.patient}: {taken.said}{standing}")
        tickets += taken.tickets
    return Happened(tuple(said), tuple(dict.fromkeys(tickets)))


def come_back(desk: Desk, form: Form, folder: Path) -> Happened:
    """Fills in the form of a practice's newest letter, keeps its file in a folder, and takes it in from there."""
    letter = desk.store.read.letters_to(form.practice)[-1].document_id
    filled = _filled(desk, form, desk.store.read.pdf(letter) or b"")
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / f"letter-{letter}.{'eml' if form.by_mail else 'pdf'}"
    file.write_bytes(_mail(desk, form, filled) if form.by_mail else filled)
    (received,) = receive(desk, [file])
    return _taken(desk, received) if form.taken else Happened((f"{received.said}. It waits to be looked at.",))


def _taken(desk: Desk, received: Received) -> Happened:
    assert received.reply_id is not None, received.said
    taken = take_reply(desk, received.reply_id)
    said = (f"{received.said}. It is taken.", *(f"  {each.said}" for each in taken.answers))
    return Happened(said, tuple(dict.fromkeys(taken.tickets)))


def _answers(table: Mapping[str, Any]) -> tuple[Says, ...]:
    return tuple(Says(**each | {"lines": tuple(each.get("lines", ()))}) for each in table.get("answers", ()))


def _question(desk: Desk, key: str, each: Says) -> tuple[CardCase, CardQuestion]:
    """The question on a practice's card that is answered. Raises LookupError where it is not asked."""
    card = call_card(desk, key)
    for case in card.cases if card else ():
        for question in case.questions:
            if each.about in case.patient and each.asked == question.finding.requirement:
                return case, question
    raise LookupError(f"{key} is not asked about {each.asked} of {each.about}")


def _filled(desk: Desk, form: Form, pdf: bytes) -> bytes:
    """The form with its fields written as any PDF reader writes them."""
    # Only the demo that is run to files fills forms in: the window does not wait for this.
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import NameObject

    fields = {name: str(each.get("/V", "")) for name, each in (PdfReader(BytesIO(pdf)).get_fields() or {}).items()}
    values = {NAME: form.name, DATE: shown_day(form.at.date()), ROLE: NameObject(f"/{form.role}")}
    for each in form.answers:
        key = question_key(_question(desk, form.practice, each)[1].query_id)
        choice = fields[asks(key)].split("\n")[1:].index(each.says)
        values[choice_field(key)] = NameObject(f"/{choice}")
        values |= {line_field(key, choice, at): text for at, text in enumerate(each.lines)}
    if form.agreed:
        values |= {choice_field(agreed_key(answer)): NameObject("/0") for answer in agreed_in(fields)}
    writer = PdfWriter(clone_from=BytesIO(pdf))
    for page in writer.pages:
        here = _names(page.annotations or ()) & values.keys()
        if here:
            writer.update_page_form_field_values(page, {name: values[name] for name in here})
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def _names(annotations: Iterable[Any]) -> set[str]:
    """The names of the fields on a page; the buttons of a row have theirs from the row."""
    widgets = [each.get_object() for each in annotations]
    return {str(each.get("/T") or each["/Parent"]["/T"]) for each in widgets if each.get("/Subtype") == "/Widget"}


def _mail(desk: Desk, form: Form, pdf: bytes) -> bytes:
    """An e-mail of the practice with the form attached."""
    practice = desk.store.read.practice(form.practice)
    mail = EmailMessage(policy=SMTP)
    mail["From"] = practice.practice.email if practice else ""
    mail["To"], mail["Subject"] = desk.lab.email, "Your letter"
    mail.set_content("Please find the form attached.")
    mail.add_attachment(pdf, maintype="application", subtype="pdf", filename="form.pdf")
    return bytes(mail)
