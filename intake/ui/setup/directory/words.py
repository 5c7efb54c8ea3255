"""What the fields of a practice are called, and the help of each."""

NAMES = {
    "name": "Name",
    "code": "Code",
    "address": "Address",
    "postcode": "Postcode",
    "telephone": "Telephone",
    "email": "E-mail",
    "prescribers": "Prescribers",
    "open_weekdays": "Open on",
    "hours": "Telephone answered",
    "service": "Service",
    "transit_days": "Days on the way",
    "country": "Country",
    "subdivision": "Part of the country",
    "zone": "Time zone",
    "language": "Language",
    "notation": "Tooth numbers",
    "notes": "Notes",
}
LABELS = {
    "name": "Na&me",
    "code": "C&ode",
    "address": "&Address",
    "postcode": "&Postcode",
    "telephone": "&Telephone",
    "email": "&E-mail",
    "prescribers": "Prescribe&rs, a line each",
    "open_weekdays": "Open on wee&kdays",
    "hours": "When the telephone is answered, by its c&lock",
    "service": "&Service that takes work there",
    "transit_days": "Days on the &way",
    "country": "Co&untry, for its bank holidays",
    "subdivision": "Part of the countr&y",
    "zone": "Time &zone",
    "language": "Language o&f letters",
    "notation": "Tooth num&bers",
    "notes": "&Notes",
}
USUAL = {
    "service": "the usual way",
    "country": "the laboratory’s",
    "subdivision": "the laboratory’s, or none",
    "zone": "the laboratory’s",
    "language": "the laboratory’s",
    "notation": "as the laboratory",
}
"""What it says where nothing is chosen, by the fields that are chosen and not typed."""
NOTATIONS = (
    ("ISO 3950, two digits: 16", "iso"),
    ("Universal, 1 to 32 and A to T", "universal"),
    ("ask where a number can be two teeth", "ask"),
)
HINTS = {
    "code": "2 to 12 letters and digits",
    "address": "a line each",
    "prescribers": "Dr A. Example",
    "open_weekdays": "Mon-Fri",
    "hours": "the laboratory’s usual hours\nMon-Thu 09:00-13:00, 14:00-17:00",
    "transit_days": "as usual",
}
HELP = {
    "name": "The practice’s name, as it stands on letters and tickets.",
    "code": (
        "What the desk types and the stickers carry: 2 to 12 letters and digits. It is offered from the name, and "
        "stays, since prescriptions name it too. Codes that the practice had before are found as well."
    ),
    "address": "The address, a line each, as it is to stand in the letter’s window. Enter on an empty line goes on.",
    "postcode": "The postcode, as the practice’s country writes it.",
    "telephone": "The number that is rung, as it is dialled there, or with + and the country’s code.",
    "email": "Where letters go by e-mail, and from where scans and filled forms are known to come.",
    "prescribers": "Who signs there, a line each. Enter on an empty line goes on.",
    "open_weekdays": "The weekdays on which the practice is open, and work can be delivered: Mon-Thu, Sat.",
    "hours": (
        "When its telephone is answered, by its own clock: the days, then the stretches, such as Mon-Thu 09:00-13:00, "
        "14:00-17:00; a line for days that differ. Left empty, the laboratory’s usual hours hold."
    ),
    "service": "The carrier’s service that takes work there, as the setup’s calendar names them.",
    "transit_days": "Delivery days that work is on the way, where that is not what the service, or the usual way, has.",
    "country": "Its country, where that is not the laboratory’s: its bank holidays are no days of delivery.",
    "subdivision": "The part of the country, where its bank holidays differ from the others’.",
    "zone": "Its time zone, where that is not the laboratory’s: it is rung by its own clock.",
    "language": "The language of letters and forms to it, where the setup has more than one.",
    "notation": "How it numbers teeth, where that is not how the laboratory does.",
    "notes": "What the desk should know of it: where to park, whom to ask for.",
}
STANDING_HELP = (
    "What the practice has told the laboratory to assume when it says nothing. It is made, gone through again and "
    "withdrawn in Waiting, on the call with the practice."
)

OF_DIRECTORY = {"row-new": "New practice", "directory-take-in": "From a file …", "directory-write": "To a file …"}
OF_PRACTICE = {
    "directory-merge": "Merge …",
    "directory-stickers": "Stickers …",
    "directory-blank": "Blank prescription",
}
FIND_HELP = (
    "A few letters of a practice’s name, code, town, postcode or prescriber, or some digits of its number. ↑ and ↓ go "
    "through what fits, Enter goes to what is known of the chosen one. A sticker that is scanned finds its practice."
)
EMPTY = (
    "The directory knows the practices that order: where they are, when they are rung, how work goes there. {take_in} "
    "takes them in from a spreadsheet, {new} enters one by hand. Practices also come in with their first case."
)
NONE_FITS = "No practice fits. Esc shows all again; {new} enters a new one."
READING = "Reading the directory …"
NEW = "A new practice"
NEW_TOLD = "Type its name, then Enter: a code is offered. With both it is kept, and the other fields follow."
