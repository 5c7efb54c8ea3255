"""The demo's setup with German for some of its practices: enough of it for a letter, its slip, a mail and a form."""

from intake.domain.languages import to_translate
from intake.domain.printed.language import Language
from tests.desk.desks import demo_lab
from tests.desk.labs import lab_with

PHRASES = {
    "Reply slip": "Antwortbogen",
    "Page {page} of {pages}": "Seite {page} von {pages}",
    "Letter": "Brief",
    "Appointment {appointment}": "Termin {appointment}",
    "Arrived {arrived}": "Eingang {arrived}",
    "Work waits for this": "Die Arbeit wartet darauf",
    "Please tell us": "Bitte sagen Sie uns",
    "Please reply by": "Bitte antworten Sie bis",
    "Agreed by word of mouth": "Mündlich vereinbart",
    "as agreed": "wie vereinbart",
    "not so: ____________": "nicht so: ____________",
    "by telephone": "am Telefon",
    "for the prescriber": "im Auftrag",
    "thickness": "Stärke",
    "Hard occlusal splint": "Aufbissschiene, hart",
    "Whitening tray": "Bleachingschiene",
    "upper": "Oberkiefer",
    "lower": "Unterkiefer",
    "{arch} {name}": "{name} im {arch}",
    "{weekday} {day} {month} {year}": "{weekday}, {day}. {month} {year}",
    **dict(zip(("Mon", "Tue", "Wed", "Thu", "Fri"), ("Mo", "Di", "Mi", "Do", "Fr"), strict=True)),
    "Dec": "Dez.",
    "Nov": "Nov.",
    "in the post on ____": "mit der Post am ____",
    "in centric": "in Zentrik",
    "opened by ____ mm": "um ____ mm gesperrt",
    "____ mm": "____ Millimeter",
    "make it without": "ohne anfertigen",
    "Please send a bite record for the {appliance}, in centric or at the opened height.": (
        "Bitte senden Sie uns ein Bissregistrat ({appliance}), in Zentrik oder gesperrt."
    ),
    "Without a bite in centric, or opened, the height and contacts of the splint would be guessed.": (
        "Ohne Registrat wären Höhe und Kontakte geraten."
    ),
    "How thick shall the {appliance} be (usually 1.5, 2 or 3 mm)?": "Wie stark (üblich 1,5, 2 oder 3 mm)?",
    "Letter {number} from {lab}": "Brief {number} von {lab}",
    "Prescription": "Auftrag",
    "none": "keine",
    "Note of return": "Rückschein",
    "To {lab}": "An {lab}",
}


def german_lab():
    """The demo's lab, speaking German as far as above."""
    return lab_with(demo_lab(), languages={"de": Language(name="Deutsch", phrases=PHRASES)})


def whole_german_lab():
    """The same with every text translated, into words that are marked."""
    lab = demo_lab()
    phrases = {line: f"ÄÄ {line}" for text in to_translate(lab) for line in text.lines if line}
    return lab_with(lab, languages={"de": Language(name="Deutsch", phrases=phrases)})


def speak_german(desk, code):
    """Has a practice of the directory written to in German."""
    row = desk.store.read.practice(code)
    with desk.work() as work:
        work.practices.save(row.practice.model_copy(update={"language": "de"}), row.version)
        work.commit()
