"""What shows one value of a setup, wherever it stands: each view takes a setup and the place that was changed in it."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

from intake.desk.example_letter import example_letter
from intake.desk.example_ticket import example_words
from intake.documents.letter import draw_letter
from intake.domain.answering import read_answer
from intake.domain.appliance_phrases import read_appliance
from intake.domain.box_moves import Stop
from intake.domain.calendar import lab_calendar
from intake.domain.case import Item
from intake.domain.deadlines import explain_deadlines
from intake.domain.example_case import PRACTICE, example_case
from intake.domain.handing_over import BoxToMove, TicketMade, may_hand_over
from intake.domain.hygiene import short_warning
from intake.domain.item_phrases import read_items
from intake.domain.judging import judge
from intake.domain.lab import Category, Lab
from intake.domain.letters_due import is_to_confirm
from intake.domain.parcel_labels import read_label, seen_before
from intake.domain.partners import Known, likeness
from intake.domain.practice import Practice
from intake.domain.ringing import review_day, standings
from intake.domain.verdict import Deadlines, Finding
from tests.desk.desks import demo_lab
from tests.desk.seen_of_setup import letters, printed, ticket_of
from tests.domain.asked_questions import STOPS
from tests.domain.complete_cases import ARRIVED, a_case

ASKED = datetime(2026, 11, 25, 10)
NO_WORD = "qzqzqz"
"""What nothing is called, until the setup says so."""
LABELS = (*(f"{sign}A123456785GB" for sign in "RVECL"), "006141411234567890")
"""A parcel's label of each of the demo's carriers."""
Place = tuple[Any, ...]


def splint(lab: Lab, practice: Practice = PRACTICE, **changed: object) -> Deadlines:
    case = a_case("occlusal-splint-hard", practice=PRACTICE.code, **changed)
    dates = judge(case, lab, practice, ARRIVED).jobs[0].deadlines
    assert dates is not None, "it has an appointment"
    return dates


def dates(lab: Lab, place: Place) -> object:
    """The dates of a splint, for appointments of a fortnight."""
    return [splint(lab, appointment=datetime(2026, 12, 7, 9, 30) + timedelta(days=day)) for day in range(14)]


def by_service(lab: Lab, place: Place) -> object:
    """The dates of a splint for a practice that has the carrier's service, and why they are so."""
    practice = PRACTICE.model_copy(update={"service": "Island post"})
    told = [splint(lab, practice, appointment=datetime(2026, 12, 7) + timedelta(days=day)) for day in range(14)]
    return told, explain_deadlines(told[0], lab.category_by_id["splints"].route, practice, lab)


def category_of(lab: Lab, place: Place) -> Category:
    """The category that a place is of, in a setup whose order is the same."""
    return lab.categories[place[1]]


def of_route(lab: Lab, place: Place) -> object:
    """The dates along a category's route."""
    case = example_case(lab, next(k for k in lab.types if k.category == category_of(lab, place).id), ARRIVED)
    case = case.model_copy(update={"appointment": datetime(2026, 12, 21, 9, 30)})
    return judge(case, lab, PRACTICE, ARRIVED).jobs[0].deadlines


def on_ticket(lab: Lab, place: Place) -> object:
    """The ticket of a category, with its colours."""
    return ticket_of(lab, category_of(lab, place).id)


def open_days(lab: Lab, place: Place) -> object:
    """The days on which the lab works, of half a year, and why it does not on the others."""
    calendar = lab_calendar(lab.calendar)
    return [calendar.why_closed(date(2026, 11, 1) + timedelta(days=day)) for day in range(180)]


def on_letter(lab: Lab, place: Place) -> object:
    """A letter."""
    return printed(draw_letter(next(letters(lab))))


def asking(lab: Lab, place: Place) -> object:
    """How questions stand on the days after they were promised or written, and when they are asked again."""
    moments = [ASKED + timedelta(days=day) for day in range(20)]
    promised = replace(STOPS, expected_on=ASKED.date())
    written = replace(STOPS, letter_on=ASKED, letters=1)
    near = replace(STOPS, reply_by=ASKED + timedelta(days=9, hours=3))
    stands = [(standings(lab, at).of(promised), standings(lab, at).of(written)) for at in moments]
    hours = [standings(lab, ASKED + timedelta(hours=hour)).is_near(near) for hour in range(240)]
    return stands, hours, [is_to_confirm(ASKED, lab, at) for at in moments], review_day(ASKED.date(), lab)


def impressions(lab: Lab, place: Place) -> object:
    """Until when an impression of a material can be poured, how an old one is judged, and how it is kept."""
    material, told = lab.materials[place[1]], []
    for hours in (0.1, 1, 5, 30, 60, 130, 200, 500, 9000):
        taken = ARRIVED - timedelta(hours=hours)
        item = Item(item="impression", arch="upper", material=material.id, taken=taken, source="physical")
        case = a_case("whitening-tray", items=(item,))
        verdict = judge(case, lab, PRACTICE, ARRIVED)
        told.append((verdict.pour_by, [f for f in verdict.findings if f.requirement == "impression-age"]))
    return told, example_words(lab, case, ARRIVED).pour_keep


def typed_type(lab: Lab, place: Place) -> object:
    """What is read of a word that is no type's until the setup has it."""
    return read_appliance(NO_WORD, lab, "iso").appliance


def typed_material(lab: Lab, place: Place) -> object:
    """What is read of a word that is no material's until the setup has it."""
    return read_items(f"upper {NO_WORD} impression", lab, ARRIVED.date())


def usual(lab: Lab, place: Place) -> object:
    """What “your usual” comes to as an answer."""
    case, at = example_case(lab, lab.types[place[1]], ARRIVED), f"appliances[0].options.{place[3]}"
    requirement = {"thickness_mm": "thickness", "bite_opening_mm": "bite-opening"}.get(str(place[3]), str(place[3]))
    asked = Finding(requirement=requirement, level="asks", appliance=0, question="?", because="", place=at)
    return read_answer("usual", asked, case, lab, PRACTICE, ARRIVED).answer


def menu_of_shades(lab: Lab, place: Place) -> object:
    """The shades that a letter offers."""
    (tooth,) = (kind for kind in lab.types if kind.id == "partial-plate-with-tooth")
    questions = example_letter(lab, tooth, ARRIVED, None).cases[0].questions
    return next(each.menu for each in questions if each.menu)


def ahead(lab: Lab, place: Place) -> object:
    """On which days a box may go to its bench."""
    route = tuple(Stop(step.bench, step.by) for step in splint(lab).route)
    box = BoxToMove("clear", copies=(TicketMade(1, ARRIVED, "AB"),), scanned=1, route=route)
    days = (ARRIVED + timedelta(days=day) for day in range(30))
    return [may_hand_over(box, route[0].bench, day, lab.hand_over, lab_calendar(lab.calendar)) for day in days]


def disinfectant(lab: Lab, place: Place) -> object:
    """What is said when a disinfection is shorter than the lab's list has it."""
    return short_warning(demo_lab().parcels.agents[place[2]].name, 1, lab)


def label_of_parcel(lab: Lab, place: Place) -> object:
    """What a parcel's label is read as."""
    return [read_label(text, lab.parcels.carriers).service for text in LABELS]


def seen_again(lab: Lab, place: Place) -> object:
    """After how many months a label is another parcel."""
    days = [ASKED.date() + timedelta(days=31 * month) for month in range(30)]
    return [seen_before(ASKED.date(), day, lab.parcels.again_months) for day in days]


def parted(lab: Lab, place: Place) -> object:
    """Over how many days a scan and its prescription are offered to be put together."""
    scan = Known("P1", "J.T.", "20418", (), ASKED.date(), has_scans=True, has_prescription=False)
    paper = replace(scan, has_scans=False, has_prescription=True)
    later = (replace(paper, arrived=scan.arrived + timedelta(days=days)) for days in range(40))
    return [likeness(scan, each, lab.scans.partner_days) for each in later]
