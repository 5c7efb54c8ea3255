"""A text of a setup that need not be in force, on the paper that it is for: a real letter, or an example."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from intake.desk.blank_words import blank_words
from intake.desk.code_sheets import bench_label, box_label, sticker
from intake.desk.desk import Desk
from intake.desk.example_letter import asked_by, example_letter
from intake.desk.example_ticket import Example, example_words, kind_of
from intake.desk.hygiene import DisinfectionLine
from intake.desk.issue import letter_contents, logo_of
from intake.desk.letter_words import letter_words
from intake.desk.mailing import mail_words
from intake.desk.parcel_cards import ParcelCard
from intake.desk.parcel_contents import ContentLine
from intake.desk.return_note_words import note_of
from intake.documents.blank_prescription import draw_blank
from intake.documents.code_sheet import STICKERS, draw_labels
from intake.documents.letter import draw_letter
from intake.documents.page_picture import PagePicture, page_picture
from intake.documents.page_search import FEWEST, Found, find_on_pages
from intake.documents.return_note import ReturnNote, draw_return_note
from intake.documents.ticket import draw_ticket
from intake.domain.case import Condition, Patient
from intake.domain.example_case import PRACTICE, example_case
from intake.domain.hygiene import DoneHere
from intake.domain.lab import Lab
from intake.domain.languages import in_language, spoken
from intake.domain.parcels import ContentKind, ParcelHygiene
from intake.domain.rulebook import Requirement
from intake.domain.texts import Text
from intake.store.words import ParcelWay

ON_SCREEN = (("parcels", "sharps"), ("parcels", "not_disinfected"), ("cautions", "pouring"))


@dataclass(frozen=True)
class PaperShown:
    """A text where it is used.

    Attributes:
        about: What is shown, in a sentence.
        picture: The page on which it stands; None where it is no paper.
        mark: Where on the page; None where it does not stand on this one.
        says: The text of an e-mail; empty where it is a paper.
    """

    about: str
    picture: PagePicture | None = None
    mark: Found | None = None
    says: str = ""


def paper_shown(desk: Desk, lab: Lab, text: Text, language: str | None, wide: int) -> PaperShown:
    """A text on the paper, or in the mail, that it is for.

    Args:
        desk: Its clock, its folder and its newest letter count.
        lab: The setup, which need not be in force.
        text: The text.
        language: In which language; None for the lab's own.
        wide: So many pixels wide.

    Raises DoesNotFit, AddressDoesNotFit or BlankDoesNotFit as for a real one.
    """
    if text.part == "mail":
        return _mail(lab, text, language)
    if text.place[:2] in ON_SCREEN:
        return PaperShown("This stands on the screen, and on the lists that go with it.")
    sought = _pieces(lab, text, language)
    for about, pdf in _papers(desk, lab, text, language):
        if found := next(filter(None, (find_on_pages(pdf, piece) for piece in sought)), None):
            return PaperShown(f"{about} Page {found.page + 1}.", page_picture(pdf, wide, found.page), found)
    said = f"{about} This text does not stand on it." if any(len(piece) >= FEWEST for piece in sought) else about
    return PaperShown(said, page_picture(pdf, wide))


def _pieces(lab: Lab, text: Text, language: str | None) -> list[str]:
    """Of each line of a text the longest piece between braces, or between lines to fill in."""
    told = lab.languages.get(language or "")
    said = in_language(text, told.phrases) if told else text.words
    parted = (
        [piece for part in line.split("{") for piece in part.rpartition("}")[2].split("__")]
        for line in ((said,) if isinstance(said, str) else said)
    )
    return [max(pieces, key=len).strip(" _") for pieces in parted]


def _papers(desk: Desk, lab: Lab, text: Text, language: str | None) -> "list[tuple[str, bytes]]":
    """The papers on which a text may stand, the likeliest first."""
    group = str(text.place[1]) if text.part == "words" else text.part
    now, logo = desk.now(), logo_of(replace(desk, lab=lab))
    practice = PRACTICE.model_copy(update={"language": language})
    if group in ("cautions", "ticket", "seen"):
        return [("The ticket of an example.", _ticket(lab, now))]
    if group == "rules" and not text.goes_out:
        return [("The ticket of an example.", _ticket(lab, now, _rule(lab, text)))]
    if group in ("parcels", "note", "contents"):
        return [("A note of return, made up.", draw_return_note(example_note(lab, language, now), lab.letter.window))]
    if group in ("form", "needs", "names"):
        return [("The prescription form of an example.", draw_blank(blank_words(practice, lab, now.date(), logo)))]
    if group == "labels":
        return [("Labels of an example.", _labels(lab, language))]
    return [*_newest_letter(desk, lab, language), *_letters(lab, text, now, language)]


def _newest_letter(desk: Desk, lab: Lab, language: str | None) -> list[tuple[str, bytes]]:
    document = desk.store.read.newest_letter()
    if document is None:
        return []
    about = letter_contents(desk, document)
    if not about.cases:
        return []
    codes = {case.practice_code for case in about.cases if case.practice_code}
    known = [row.practice.model_copy(update={"language": language}) for row in desk.store.read.practices_of(codes)]
    letter = letter_words(document, about, known, lab, logo_of(replace(desk, lab=lab)))
    said = f"Your newest letter, {document.document_id}, as it would be written now."
    return [(said, draw_letter(letter, lab.letter.window))]


def _letters(lab: Lab, text: Text, now: datetime, language: str | None) -> list[tuple[str, bytes]]:
    kind = lab.types[0]
    if rule := _rule(lab, text):
        kind = next((each for each in lab.types if each.id in rule.types), kind)
        letters = [example_letter(lab, kind, now, language, rule=rule)]
    else:
        letters = [example_letter(lab, kind, now, language, late) for late in (False, True)]
    return [("The letter of an example.", draw_letter(letter, lab.letter.window)) for letter in letters]


def _rule(lab: Lab, text: Text) -> Requirement | None:
    """The rule that a text is of."""
    if text.part == "rules" and isinstance(text.place[1], int):
        return lab.rules[text.place[1]]
    if text.part == "answers":
        return next((rule for rule in lab.rules if rule.id == text.place[2] and rule.level != "warns"), None)
    return None


def _ticket(lab: Lab, now: datetime, rule: Requirement | None = None) -> bytes:
    """The ticket of a case that every caution of the setup is about, or the caution of a rule."""
    under_18 = next((rule.types for rule in lab.rules if rule.id == "under-18-whitening"), ())
    found = kind_of(lab, Example(kind=next(iter(under_18), None) if not isinstance(under_18, str) else None))
    assert found is not None, "a setup with texts has appliance types"
    kind, lab = found
    case = example_case(lab, kind, now)
    patient = Patient(label=case.patient.label, reference=case.patient.reference, under_18=True, allergies=("latex",))
    words = example_words(lab, case.model_copy(update={"hygiene": "unknown", "patient": patient}), now)
    if rule is not None:
        words = replace(words, cautions=(asked_by(rule, case, lab, PRACTICE).question,))
    return draw_ticket(replace(words, copy=2, held=True, missing=("…",)), lab.ticket.size, lab.ticket.dpi)


def _labels(lab: Lab, language: str | None) -> bytes:
    practice = PRACTICE.model_copy(update={"language": language})
    bench = bench_label(next(iter(lab.bench_by_name), "Bench"), lab)
    return draw_labels([sticker(practice, lab), bench, box_label(1, lab)], STICKERS, "")


def _mail(lab: Lab, text: Text, language: str | None) -> PaperShown:
    is_letter = text.place[1] in ("mail", "mail_subject")
    subject, said = mail_words(spoken(lab, language), PRACTICE.name, 1, 2 if is_letter else None)
    return PaperShown(f"An e-mail with the subject “{subject}”.", says=said)


def example_note(
    lab: Lab,
    language: str | None,
    now: datetime,
    contents: Sequence[ContentKind] = (),
    way: ParcelWay = "post",
    hygiene: ParcelHygiene = "not-declared",
    done: DoneHere | None = None,
    seen: tuple[Condition, ...] = ("wet", "torn-tray"),
) -> ReturnNote:
    """The note of return of an invented parcel, by a setup that need not be in force."""
    card = ParcelCard(
        parcel_id=1,
        version=1,
        at=now,
        who="AB",
        way=way,
        label="",
        label_kind="none",
        service="",
        practice_code=PRACTICE.code,
        practice="" if contents else PRACTICE.name,
        hygiene=hygiene,
        hygiene_says="",
        to_disinfect=True,
        seen=seen,
        seen_says="",
        note="",
        accepted_by="",
        state="refused",
        why="…",
        says="",
        again=None,
        contents=tuple(_content(kind) for kind in contents),
        photographs=(),
        disinfections=(DisinfectionLine(1, done.at, done.who, done.agent, done.minutes, 1, None, ""),) if done else (),
        incidents=(),
        return_notes=(),
    )
    return note_of(card, PRACTICE.model_copy(update={"language": language}), 1, now, lab)


def _content(kind: ContentKind) -> ContentLine:
    return ContentLine(1, 1, 1, kind, "", "", "", "", None, None, None, (), "", settled=True, says="")
