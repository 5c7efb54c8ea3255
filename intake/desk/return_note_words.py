"""What stands on a note of return, in words. No patient is named: the parcel's number and label tell which it is."""

from intake.desk.desk import Desk
from intake.desk.issue import logo_of
from intake.desk.parcel_cards import ParcelCard, parcel_card
from intake.documents.return_note import ReturnNote, draw_return_note
from intake.domain.parcels import WAY_WORDS, in_it, seen_words
from intake.domain.wording import capital, counted, listed
from intake.domain.written_dates import shown_day, shown_moment
from intake.store.rows import DocumentRow


def draw_note(desk: Desk, document: DocumentRow) -> bytes:
    """The note of return of the parcel that a document is about."""
    card = parcel_card(desk, int(document.about["parcel"]))
    return draw_return_note(return_note(desk, card, document), desk.lab.letter.window)


def return_note(desk: Desk, card: ParcelCard, document: DocumentRow) -> ReturnNote:
    """What the note says."""
    row = desk.store.read.practice(card.practice_code) if card.practice_code else None
    address = (*row.practice.address, row.practice.postcode) if row else ()
    lab = desk.lab
    facts = (
        ("What came", _contents(card)),
        ("When", f"{shown_moment(card.at)}, {WAY_WORDS[card.way]}; opened by {card.who}"),
        ("Its label", " · ".join(filter(None, (card.label, card.service))) or "none"),
        ("What was seen", _seen(card)),
        ("Disinfection", card.disinfections[-1].says if card.disinfections else _not_disinfected(card)),
    )
    return ReturnNote(
        number=str(document.document_id),
        date=shown_day(document.created.date()),
        lab=lab.name,
        practice=card.practice or "The practice",
        address=tuple(filter(None, address)),
        subject=f"Returned to you: our parcel {card.parcel_id}",
        facts=facts,
        why=card.why,
        text=lab.parcels.returned,
        closing=lab.letter.closing.format_map({"count": "1", "practice": card.practice, "lab": lab.name}),
        lab_address=tuple(filter(None, (*lab.address, lab.postcode))),
        telephone=lab.telephone,
        email=lab.email,
        logo=logo_of(desk),
    )


def _contents(card: ParcelCard) -> str:
    """What lay in it, by its kinds: the names on bags are left out, and so is what was noted of each."""
    kinds = [in_it(each.kind) for each in card.contents]
    told = [kind if kinds.count(kind) == 1 else _several(kind, kinds.count(kind)) for kind in dict.fromkeys(kinds)]
    return capital(listed(told)) if told else "A parcel that we did not go through"


def _several(kind: str, count: int) -> str:
    return counted(count, "case") if kind == "a case" else f"{kind}, {count} times"


def _seen(card: ParcelCard) -> str:
    return capital(seen_words(card.seen))


def _not_disinfected(card: ParcelCard) -> str:
    declared = "Declared by you" if card.hygiene != "not-declared" else "Not declared on it"
    return f"{declared}, and not done here. Treat it as contaminated when you open it."
