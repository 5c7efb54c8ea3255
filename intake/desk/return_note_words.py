"""What stands on a note of return, in words. No patient is named: the parcel's number and label tell which it is."""

from collections import Counter
from datetime import datetime
from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.issue import logo_of
from intake.desk.parcel_cards import ParcelCard, parcel_card
from intake.documents.return_note import ReturnNote, draw_return_note
from intake.domain.hygiene import DoneHere, done_words
from intake.domain.lab import Lab
from intake.domain.languages import spoken
from intake.domain.parcels import ContentKind, seen_words
from intake.domain.practice import Practice
from intake.domain.printed.work import ContentWords
from intake.domain.wording import capital
from intake.store.rows import DocumentRow


def draw_note(desk: Desk, document: DocumentRow) -> bytes:
    """The note of return of the parcel that a document is about."""
    card = parcel_card(desk, int(document.about["parcel"]))
    return draw_return_note(return_note(desk, card, document), desk.lab.letter.window)


def return_note(desk: Desk, card: ParcelCard, document: DocumentRow) -> ReturnNote:
    """What the note says."""
    row = desk.store.read.practice(card.practice_code) if card.practice_code else None
    practice = row.practice if row else None
    return note_of(card, practice, document.document_id, document.created, desk.lab, logo_of(desk))


def note_of(
    card: ParcelCard, practice: Practice | None, number: int, at: datetime, lab: Lab, logo: Path | None = None
) -> ReturnNote:
    """The note of a parcel to its practice, in the language of that.

    Args:
        card: The parcel.
        practice: Its practice, where the directory has it.
        number: Of the note.
        at: When it was written.
        lab: The setup.
        logo: The lab's.
    """
    address = (*practice.address, practice.postcode) if practice else ()
    lab = spoken(lab, practice.language if practice else None)
    words, dates = lab.words.note, lab.words.dates
    way = words.post if card.way == "post" else words.by_hand
    facts = (
        (words.what, _contents(card, lab)),
        (words.when, words.opened.format(moment=dates.shown_moment(card.at), way=way, who=card.who)),
        (words.label, " · ".join(filter(None, (card.label, card.service))) or words.no_label),
        (words.seen, capital(seen_words(card.seen, lab.words))),
        (words.disinfection, _disinfection(card, lab)),
    )
    return ReturnNote(
        number=str(number),
        date=dates.shown_day(at.date()),
        lab=lab.name,
        practice=card.practice or words.the_practice,
        address=tuple(filter(None, address)),
        subject=words.subject.format(parcel=card.parcel_id),
        facts=facts,
        why=card.why,
        text=lab.parcels.returned,
        closing=lab.letter.closing.format_map({"count": "1", "practice": card.practice, "lab": lab.name}),
        lab_address=tuple(filter(None, (*lab.address, lab.postcode))),
        telephone=lab.telephone,
        email=lab.email,
        logo=logo,
        words=words,
        page=lab.words.letter.page,
    )


def _contents(card: ParcelCard, lab: Lab) -> str:
    """What lay in it, by its kinds: the names on bags are left out, and so is what was noted of each."""
    kinds = Counter(each.kind for each in card.contents)
    told = [_kind(kind, count, lab.words.contents) for kind, count in kinds.items()]
    return capital(lab.words.work.listed(told)) if told else lab.words.note.not_gone_through


def _kind(kind: ContentKind, count: int, words: ContentWords) -> str:
    what: str = getattr(words, kind)
    if count == 1:
        return what
    return words.cases.format(count=count) if kind == "case" else words.several.format(what=what, count=count)


def _disinfection(card: ParcelCard, lab: Lab) -> str:
    if card.disinfections:
        done = card.disinfections[-1]
        return done_words(DoneHere(done.agent, done.minutes, done.who, done.at), lab)
    return lab.words.note.declared if card.hygiene != "not-declared" else lab.words.note.not_declared
