"""What the texts of the setup are called on the page, and under which heading they stand."""

from intake.domain.lab import Lab
from intake.domain.texts import NAME_OF_RULE, Text
from intake.domain.wording import capital, requirement_name

HEADINGS = {
    "letter": "Letter",
    "answers": "Answers to tick on the reply slip",
    "mail": "E-mail",
    "cautions": "Cautions",
    "parcels": "Parcels",
    "rules": "Questions and reasons of the rule book",
    "names": "Names",
}
PAPERS = {
    "dates": "Dates",
    "ticket": "Fixed words: ticket",
    "letter": "Fixed words: letter and slip",
    "form": "Fixed words: prescription form",
    "needs": "Fixed words: what the form asks for",
    "note": "Fixed words: note of return",
    "labels": "Fixed words: labels",
    "work": "Appliances in words",
    "items": "What came, in words",
    "contents": "What lay in a parcel",
    "seen": "What was seen on opening",
    "speakers": "Who said it, and how",
}
_NAMES = {
    ("letter", "subject"): "Subject",
    ("letter", "subject_of_one"): "Subject, for one prescription",
    ("letter", "opening"): "Opening",
    ("letter", "otherwise"): "What happens without an answer",
    ("letter", "late"): "Where the appointment cannot hold",
    ("letter", "slip"): "Over the reply slip",
    ("letter", "caution"): "Who decides: letters, slips, forms, mails",
    ("letter", "closing"): "Closing",
    ("letter", "agreed"): "Over what was agreed by word of mouth",
    ("letter", "reminder"): "Reminder",
    ("letter", "mail"): "Text, with a letter",
    ("letter", "mail_subject"): "Subject, with a letter",
    ("letter", "forms_mail"): "Text, with prescription forms",
    ("letter", "forms_subject"): "Subject, with prescription forms",
    ("cautions", "not_disinfected"): "Not disinfected",
    ("cautions", "allergy"): "Allergy",
    ("cautions", "under_18"): "Whitening under 18",
    ("cautions", "pouring"): "Under every list of what is to be poured",
    ("parcels", "not_disinfected"): "Disinfection not declared",
    ("parcels", "sharps"): "What to do about what is sharp or dangerous",
    ("parcels", "returned"): "On the note that goes back with what is refused",
}
_WHERE = {"rules": "Rule book", "types": "Work and benches", "materials": "Work and benches"}


def heading_of(text: Text) -> str:
    """The heading that a text stands under."""
    return PAPERS[str(text.place[1])] if text.part == "words" else HEADINGS[text.part]


def name_of(text: Text, lab: Lab) -> str:
    """What a text is called under its heading."""
    head, at = text.place[0], text.place[1]
    if head == "rules" and isinstance(at, int):
        asked = "what is asked" if text.place[2] == "question" else "why"
        return f"{capital(requirement_name(lab.rules[at].id))}: {asked}"
    if head == NAME_OF_RULE:
        return "What is asked for, inside a sentence"
    if head in ("types", "materials"):
        return "Appliance" if head == "types" else "Impression material"
    if text.part == "answers":
        return capital(requirement_name(str(text.place[2])))
    return _NAMES.get((str(head), str(at))) or capital(str(text.place[-1]).replace("_", " "))


def changed_where(text: Text) -> str:
    """Where the lab's own words are changed, in a sentence, where that is not on this page."""
    page = _WHERE.get(str(text.place[0]))
    if page is not None:
        return f"It is changed on the page {page}."
    return "It is the name of a rule, which the page Rule book changes." if text.place[0] == NAME_OF_RULE else ""
