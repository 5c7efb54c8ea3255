"""The single settings of the laboratory, grouped as a form."""

from collections.abc import Iterator

from intake.setup.parcel_settings import HAND_OVER, PARCELS
from intake.setup.scan_settings import SCAN_FIGURES, SCANS_IN
from intake.setup.settings import Group, Setting
from intake.setup.typed import LINES, Kind, choice

_SPANS = Kind("line", ", ".join, lambda text: [part.strip() for part in text.split(",") if part.strip()])
_SPANS_HELP = "Stretches of the day, parted by commas: 09:00-13:00, 14:00-17:00."
_NEVER_IN_FILE = "The password is never in the file: the menu Desk asks for it, and the system’s keyring keeps it."


_ADDRESS = Group(
    "The laboratory",
    "Stands on letters and forms; the name stands on every ticket too.",
    (
        Setting(("name",), "Name", "The laboratory’s name."),
        Setting(("address",), "Address", "A line for each line of it.", kind=LINES),
        Setting(("postcode",), "Postcode", "The postcode."),
        Setting(("telephone",), "Telephone", "The number under which practices reach reception."),
        Setting(("email",), "E-mail", "The address that practices answer to."),
        Setting(
            ("logo",),
            "Logo",
            "A PNG or JPEG file in the folder of the setup; the button takes one from anywhere. Where it cannot be "
            "read, the name alone is printed.",
            offers="logo",
        ),
        Setting(
            ("notation",),
            "Teeth are numbered",
            "What a bare tooth number means. A practice can have its own. Asked: a number that means another tooth in "
            "each is asked about.",
            kind=choice([("by ISO 3950, 11 to 48", "iso"), ("1 to 32, Universal", "universal"), ("asked", "ask")]),
        ),
    ),
)
_TICKETS = Group(
    "Tickets",
    "How job tickets look and where they are printed.",
    (
        Setting(
            ("ticket", "size"),
            "Paper",
            "The size of a ticket.",
            kind=choice([("A6", "A6"), ("A5", "A5"), ("100 x 150 mm", "100x150")]),
        ),
        Setting(
            ("ticket", "dpi"), "Printer’s dots", "Its dots to the inch: the bars are whole dots.", "dots to the inch"
        ),
        Setting(
            ("ticket", "patient"),
            "The patient as",
            "What stands on paper of the patient: no more than is needed.",
            kind=choice(
                [
                    ("label and reference", "both"),
                    ("label", "label"),
                    ("reference", "reference"),
                    ("initials", "initials"),
                ]
            ),
        ),
        Setting(
            ("ticket", "scan_pictures"),
            "Pictures of the scans",
            "Whether every ticket of a case whose scans came as files shows them small.",
        ),
        Setting(
            ("ticket", "queue"),
            "Print queue",
            "The queue of the ticket printer, by its exact name. Ctrl+Shift+P tries it out.",
            offers="queues",
        ),
    ),
)
_LETTERS = Group(
    "Letters",
    "How letters to practices are folded, printed and when they are written. Their words are on the page Texts.",
    (
        Setting(
            ("letter", "window"),
            "Envelope’s window",
            "Where the window of the envelope is, so that the address shows in it.",
            kind=choice(
                [("DL, at the left", "dl"), ("DIN 5008, form A", "din-5008-a"), ("DIN 5008, form B", "din-5008-b")]
            ),
        ),
        Setting(
            ("letter", "first"),
            "A question is written",
            "Whether a question may go into a letter at once, or only when ringing did not help.",
            kind=choice([("at once", "at-once"), ("after ringing did not help", "after-ringing")]),
        ),
        Setting(
            ("letter", "queue"),
            "Print queue",
            "The queue of the printer for letters, sheets and forms, by its exact name.",
            offers="queues",
        ),
    ),
)
_RINGING = Group(
    "Ringing",
    "When practices are rung again, and when it is time to write instead.",
    (
        Setting(("ringing", "lab_hours"), "The laboratory rings", f"When it does. {_SPANS_HELP}", kind=_SPANS),
        Setting(
            ("ringing", "usual_hours"),
            "Practices answer",
            f"When a practice whose hours are not known answers, on its open weekdays. {_SPANS_HELP}",
            kind=_SPANS,
        ),
        Setting(("ringing", "again_minutes"), "No answer: again after", "When nobody answered.", "minutes"),
        Setting(("ringing", "engaged_minutes"), "Engaged: again after", "When the line was engaged.", "minutes"),
        Setting(("ringing", "message_minutes"), "Message left: again after", "When a message was left.", "minutes"),
        Setting(
            ("ringing", "least_minutes"),
            "Never again within",
            "Nobody is rung twice within these, whatever else is said.",
            "minutes",
        ),
        Setting(
            ("ringing", "tries_before_writing"),
            "Written after",
            "After so many tries the question goes in writing.",
            "tries",
        ),
        Setting(
            ("ringing", "write_hours_before"),
            "Written from",
            "From so many hours before “reply by” on, what is unanswered goes in writing too.",
            "hours before",
        ),
        Setting(
            ("ringing", "letter_days"),
            "A letter has",
            "Working days until the practice is rung, or reminded, again.",
            "working days",
        ),
        Setting(
            ("ringing", "promise_days"),
            "A promised day may pass by",
            "Working days that a promised day may pass before the practice is rung again.",
            "working days",
        ),
        Setting(
            ("ringing", "confirm_within_days"),
            "Spoken answers confirmed within",
            "Working days after which a spoken answer that nobody confirmed is chased.",
            "working days",
        ),
        Setting(
            ("ringing", "review_months"),
            "Standing instructions reviewed after",
            "After so many months one is gone through with the practice again.",
            "months",
        ),
    ),
)
_MAIL = Group(
    "Outgoing e-mail",
    "Without a server, e-mails are written as files to send from a mail program.",
    (
        Setting(
            ("mail", "server"), "Server", "The mail server, by its name: mail.example.com. Empty where there is none."
        ),
        Setting(("mail", "port"), "Port", "587 as a rule; 465 with TLS."),
        Setting(
            ("mail", "security"),
            "Security",
            "How the line is secured. It is never used without.",
            kind=choice([("STARTTLS", "starttls"), ("TLS", "tls")]),
        ),
        Setting(("mail", "user"), "Account", f"The name of the account. {_NEVER_IN_FILE}"),
        Setting(("mail", "sender"), "Sent from", "The address it is sent from; the laboratory’s own when empty."),
        Setting(("mail", "retry_minutes"), "Tried again after", "When the server could not be reached.", "minutes"),
    ),
)
_MAILBOX = Group(
    "Mailbox for scans",
    "The mailbox that scans come to, by IMAP. Without a server none is looked into.",
    (
        Setting(
            ("mailbox", "server"), "Server", "The server, by its name: imap.example.com. Empty where there is none."
        ),
        Setting(("mailbox", "port"), "Port", "993 as a rule; 143 with STARTTLS."),
        Setting(
            ("mailbox", "security"),
            "Security",
            "How the line is secured. It is never used without.",
            kind=choice([("TLS", "tls"), ("STARTTLS", "starttls")]),
        ),
        Setting(("mailbox", "user"), "Account", f"The name of the account. {_NEVER_IN_FILE}"),
        Setting(("mailbox", "folder"), "Folder", "The mailbox’s folder that is looked into: INBOX."),
        Setting(
            ("mailbox", "file_to"),
            "Taken messages go to",
            "The mailbox’s folder where a message is moved when it was taken; empty leaves the mailbox untouched.",
        ),
        Setting(("mailbox", "every_minutes"), "Looked into every", "How often.", "minutes"),
    ),
)
GROUPS = (
    _ADDRESS,
    _TICKETS,
    _LETTERS,
    _RINGING,
    _MAIL,
    _MAILBOX,
    SCANS_IN,
    SCAN_FIGURES,
    PARCELS,
    HAND_OVER,
)
"""The form of the laboratory, in its order."""


def settings_found(words: str) -> Iterator[Setting]:
    """The settings whose label, help or group has all of some words."""
    wanted = words.casefold().split()
    for group in GROUPS:
        for setting in group.settings:
            said = f"{group.title} {group.told} {setting.label} {setting.help} {setting.name}".casefold()
            if all(word in said for word in wanted):
                yield setting
