"""Where a setup is seen: on tickets, letters, slips, mails, notes, forms and labels, and in the verdicts on cases."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from io import BytesIO

from pypdf import PdfReader

from intake.desk.blank_words import blank_words
from intake.desk.code_sheets import bench_label, box_label, sticker
from intake.desk.example_letter import letter_about
from intake.desk.example_papers import example_note
from intake.desk.example_ticket import example_rows, example_words
from intake.desk.mailing import mail_words
from intake.desk.ticket_pictures import not_pictured
from intake.desk.ticket_words import ticket_words
from intake.documents.blank_prescription import draw_blank
from intake.documents.code_sheet import STICKERS, draw_labels
from intake.documents.letter import Letter, draw_letter
from intake.documents.return_note import draw_return_note
from intake.documents.ticket import draw_ticket
from intake.documents.ticket_content import TicketPicture
from intake.domain.case import (
    Appliance,
    Case,
    Item,
    Options,
    Patient,
    Raised,
    SeenCondition,
    SeenFault,
    SeenScan,
    Spoken,
)
from intake.domain.example_case import PRACTICE, example_case
from intake.domain.hygiene import DoneHere, standing_of_case, standing_of_parcel
from intake.domain.job_number import JobNumber
from intake.domain.judging import judge
from intake.domain.lab import Lab
from intake.domain.practice import StandingInstruction
from intake.domain.verdict import Verdict
from tests.domain.complete_cases import ARRIVED, COMPLETE, LOWER_SCAN, NO_POSITION, OPEN, UPPER_SCAN, a_case

DONE = DoneHere("chlorine", 10, "AB", ARRIVED)
CONDITIONS = (
    "dry",
    "wet",
    "crushed",
    "torn-tray",
    "distorted",
    "blood",
    "prescription-unreadable",
    "prescription-missing",
)
KINDS = ("case", "part", "repair", "nothing", "danger", "other")


def printed(pdf: bytes) -> str:
    """All words of a PDF without the blanks between them, and what its fields are called for who does not see it."""
    reader = PdfReader(BytesIO(pdf))
    fields = [f"{field.get('/TU', '')}{field.get('/Opt', '')}" for field in (reader.get_fields() or {}).values()]
    return re.sub(r"\s", "", "".join([*(page.extract_text() for page in reader.pages), *fields]))


def everything(lab: Lab) -> Iterator[str]:
    """What is printed and sent under a setup, and the verdicts, each as one text without blanks."""
    yield from (re.sub(r"\s", "", str(verdict)) for verdict in verdicts(lab))
    yield from (printed(draw_letter(letter)) for letter in letters(lab, few=True))
    yield from (printed(pdf) for pdf in tickets(lab))
    yield from (printed(draw_blank(blank_words(practice, lab, ARRIVED.date()))) for practice in practices())
    yield from (printed(pdf) for pdf in notes(lab))
    yield printed(draw_labels([sticker(PRACTICE, lab), bench_label("Casting", lab), box_label(1, lab)], STICKERS, ""))
    yield "".join(letter.date for letter in letters_of_the_year(lab))
    yield from ("".join("".join(mail_words(lab, "Mill", 1, cases)).split()) for cases in (2, None))
    yield re.sub(r"\s", "", lab.cautions.pouring + "".join(lab.parcels.sharps))  # shown as they are, on their screens
    yield re.sub(r"\s", "", standing_of_parcel("not-declared", (), None, (), lab).says)


def verdicts(lab: Lab) -> list[Verdict]:
    """What the lab says of cases that every rule of its book is about."""
    return [judge(case, lab, PRACTICE if case.practice else None, ARRIVED) for case in cases(lab)]


def cases(lab: Lab) -> Iterator[Case]:
    """Cases that bring too little, too much or what contradicts itself, and some whole ones."""
    for kind in (kind for kind in COMPLETE if kind in lab.type_by_id):
        case = a_case(kind, practice=PRACTICE.code)
        (appliance,) = case.appliances
        odd = Options(thickness_mm=40, bite_opening_mm=40, shade="Z9", pontics=("12",))
        yield case
        for changed in (
            {"items": ()},
            {"items": (UPPER_SCAN,)},
            {"items": (UPPER_SCAN, LOWER_SCAN, NO_POSITION)},
            {"items": (UPPER_SCAN, LOWER_SCAN, OPEN)},
            {"items": (*case.items, Item(item="bite-record", kind="protrusive", mm=40, source="scan"))},
            {"appliances": (appliance.model_copy(update={"arch": None}),)},
            {"appliances": (appliance.model_copy(update={"options": Options(), "teeth": ()}),)},
            {"appliances": (appliance.model_copy(update={"options": odd, "arch": "upper", "unclear_teeth": ("6",)}),)},
            {"appliances": (appliance.model_copy(update={"arch": "lower", "teeth": ("11",)}),)},
        ):
            yield case.model_copy(update=changed)
    yield from _odd_cases()


def _odd_cases() -> Iterator[Case]:
    tray = a_case("whitening-tray", practice=PRACTICE.code)
    alginate, unknown = (Item(item="impression", arch="upper", material=m) for m in ("alginate", "something"))
    child = Patient(under_18=True, allergies=("latex",))
    nobody: dict[str, object] = {"practice": None, "prescriber": None, "patient": Patient(under_18=True)}
    nobody |= {"appointment": None, "appliances": (tray.appliances[0].model_copy(update={"arch": None}),)}
    changes: list[dict[str, object]] = [
        nobody,
        {"hygiene": "unknown", "items": (alginate,)},
        {"hygiene": "not-disinfected", "items": (alginate,)},
        {"patient": child, "hygiene": "not-disinfected", "appliances": tray.appliances * 2},
        {"appointment": ARRIVED + timedelta(days=1)},
        {"patient": Patient(label="Jane Thornley", found="Jane Thornely")},
        {"patient": Patient(label="Jane Thornley", found="Kit Whitcombe")},
        {"raised": (Raised(question="Which tray?", by="AB", at=ARRIVED),)},
        {"spoken": (Spoken(requirement="thickness", appliance=0, says="1 mm", by="Dr X", on=ARRIVED.date()),)},
        {"spoken": (Spoken(requirement="prescriber", says="Dr X", by="Dr X", on=ARRIVED.date()),)},
        {"condition": SeenCondition(seen=("blood", "torn-tray", "prescription-missing"))},
        {"condition": SeenCondition(seen=("torn-tray",), accepted_by="AB")},
    ]
    for item, taken in (
        (alginate, 2),
        (alginate, -9),
        (unknown, 0),
        (alginate.model_copy(update={"material": None}), 0),
    ):
        changes.append({"items": (item.model_copy(update={"taken": ARRIVED + timedelta(days=taken)}),)})
    changes.append({"items": (alginate.model_copy(update={"taken": ARRIVED - timedelta(hours=2)}),)})
    for fault in ("unreadable", "unit", "jaw", "part", "broken", "twice"):
        seen = SeenScan(name="upper.stl", shows="upper", faults=(SeenFault(fault=fault, says="so"),))
        changes.append({"scans": (seen,)})
    yield from (tray.model_copy(update=each) for each in changes)


def letters(lab: Lab, few: bool = False) -> Iterator[Letter]:
    """Letters that say everything that a letter can say; where few will do, each requirement is asked once."""
    every = tuple(judged(lab, few))
    for case in every:
        yield letter_about(lab, case, ARRIVED, PRACTICE)
    whole = letter_about(lab, every[0], ARRIVED, PRACTICE)
    first = whole.cases[0]
    many = tuple(replace(first.questions[0], id=number) for number in range(1, 60))
    yield replace(whole, cases=(replace(first, numbers=(*first.numbers, "2"), questions=many),))
    yield replace(whole, cases=(replace(first, questions=(replace(first.questions[0], level="warns"),)),))
    two = letter_about(lab, every[0], ARRIVED, PRACTICE, times=2)
    yield replace(two, form="", cases=tuple(replace(each, questions=()) for each in two.cases))
    for role in ("prescriber", "on-behalf", "team"):
        for way in ("telephone", "in-person", "e-mail", "letter", "reply-form"):
            yield letter_about(lab, every[0], ARRIVED, PRACTICE, said_by=(role, way))


def letters_of_the_year(lab: Lab) -> Iterator[Letter]:
    """A letter of every month, and of every day of the week."""
    case = next(judged(lab))
    for days in range(0, 360, 17):
        yield letter_about(lab, case, ARRIVED + timedelta(days=days), PRACTICE)


def judged(lab: Lab, few: bool = False) -> Iterator[Case]:
    """Cases of which something is asked, as many as ask a question, or a requirement, that none before them asks."""
    asked: set[str] = set()
    for case in cases(lab):
        findings = judge(case, lab, PRACTICE, ARRIVED).findings
        asked_for = [each for each in findings if each.level != "warns"]
        asks = {each.requirement if few else f"{each.question} {each.because}" for each in asked_for}
        if asks - asked:
            asked |= asks
            yield case
    two = a_case("occlusal-splint-hard", practice=PRACTICE.code, items=())
    both = two.appliances[0].model_copy(update={"arch": "both", "teeth": ("11",)})
    yield two.model_copy(update={"appliances": (both, a_case("whitening-tray").appliances[0]), "appointment": None})
    yield two.model_copy(update={"patient": Patient(), "appointment": ARRIVED + timedelta(days=1)})


def tickets(lab: Lab) -> Iterator[bytes]:
    """Tickets that say everything that a ticket can say."""
    options = Options(
        thickness_mm=2,
        bite_opening_mm=3,
        shade="A2",
        material="acrylic",
        colour="clear",
        pontics=("12",),
        clasps=("16",),
        springs=("11",),
    )
    items = [
        Item(item="impression", arch="both", material="alginate"),
        *(Item(item=kind, arch="lower") for kind in ("model", "scan")),
        *(Item(item="bite-record", kind=kind, mm=3, source="scan") for kind in ("centric", "open", "protrusive")),
        *(Item(item=kind) for kind in ("photo", "shade-tab", "appliance", "prescription-sheet")),
        Item(item="impression", arch="upper", material="alginate"),
    ]
    made = Appliance(type="whitening-tray", arch="upper", teeth=("11",), options=options, unclear_teeth=("6",))
    case = a_case(
        "whitening-tray",
        practice=None,
        patient=Patient(under_18=True, allergies=("latex",)),
        appliances=(made.model_copy(update={"arch": "both"}), made.model_copy(update={"arch": "lower"}), made),
        items=tuple(items),
        hygiene="unknown",
        notes="As rung.",
        spoken=(Spoken(requirement="material", appliance=0, says="acrylic", by="Dr X", on=ARRIVED.date()),),
        condition=SeenCondition(seen=CONDITIONS, accepted_by="AB"),
        appointment=datetime(2099, 1, 5),
    )
    for hygiene in (None, standing_of_case(case, None, (DONE, replace(DONE, minutes=1)), lab)):
        verdict = judge(case, lab, PRACTICE, ARRIVED)
        row, job = example_rows(lab, case, verdict, ARRIVED)
        row, held = replace(row, practice_name=""), replace(job, state="held", deadlines=None)
        sister = replace(job, number=JobNumber.make(2026, 9).digits)
        verdict = verdict.model_copy(update={"undated": "no holidays are known"})
        practice = PRACTICE.model_copy(
            update={"standing": (StandingInstruction(requirement="shade", says="A1", since=date(2026, 1, 5)),)}
        )
        ticket = ticket_words(held, row, (sister,), verdict, practice, lab, 2, "lost", hygiene=hygiene)
        yield draw_ticket(replace(ticket, missing=("x " * 60,) * 8, copy=3))
        for note in ((1, 1), (2, 2)):
            yield draw_ticket(replace(ticket, pictures_note=not_pictured(*note, lab)), "A5")
    dated = example_words(lab, a_case("occlusal-splint-soft", items=items[:1]), ARRIVED)
    yield draw_ticket(dated)
    yield draw_ticket(replace(dated, held=True, missing=tuple(f"{n} {'x ' * 40}" for n in range(40))))
    unset = made.model_copy(update={"options": Options()})
    bare = a_case("whitening-tray", appointment=None, appliances=(unset,))
    verdict = judge(bare, lab, practice, ARRIVED)
    row, job = example_rows(lab, bare, verdict, ARRIVED)
    later = replace(job, number=JobNumber.make(2026, 9).digits)
    lies = ticket_words(later, row, (job,), verdict, practice, lab, 1, "")
    yield draw_ticket(lies)
    picture = TicketPicture(lab.words.ticket.front, b"")
    yield draw_ticket(replace(lies, pictures=(picture,), pictures_note="z " * 9000))


def notes(lab: Lab) -> Iterator[bytes]:
    """Notes of return of every sort of parcel."""
    yield draw_return_note(example_note(lab, None, ARRIVED))
    twice = tuple(kind for kind in KINDS for _ in range(2))
    for contents, way, hygiene, done in ((KINDS, "post", "declared", None), (twice, "by-hand", "declared", DONE)):
        note = example_note(lab, None, ARRIVED, contents, way, hygiene, done, CONDITIONS)
        yield draw_return_note(note)


def practices():
    """Practices to draw a form for: with standing instructions, and without."""
    yield PRACTICE
    says = StandingInstruction(requirement="thickness", says="2 mm", since=date(2026, 1, 5))
    yield PRACTICE.model_copy(update={"standing": (says,)})


def ticket_of(lab: Lab, category: str) -> bytes:
    """The ticket of an example of a category."""
    kind = next(kind for kind in lab.types if kind.category == category)
    return draw_ticket(example_words(lab, example_case(lab, kind, ARRIVED), ARRIVED))
