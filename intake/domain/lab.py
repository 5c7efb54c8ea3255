"""The lab setup as a value: everything the lab chooses. `intake.setup` reads and writes it."""

from datetime import date, time
from functools import cached_property
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, StringConstraints

from intake.domain.bench_rules import Bench, BoxNumbers, HandOverRules, LoadRules
from intake.domain.case import Arch, Frozen
from intake.domain.delivery_services import Service
from intake.domain.parcel_rules import ParcelRules
from intake.domain.people import PeopleRules
from intake.domain.practice import SpanText, Weekday, Words
from intake.domain.printed.language import Language
from intake.domain.printed.words import PrintedWords
from intake.domain.rulebook import Requirement
from intake.domain.scan_rules import MailboxRules, ScanRules
from intake.domain.teeth import Notation


def _lower(value: object) -> object:
    return value.lower() if isinstance(value, str) else value


def _clock(value: object) -> object:
    if isinstance(value, int | float):
        raise ValueError("write the time of day as 12:00:00")  # a bare 12 would be twelve seconds past midnight
    return value


Hex = Annotated[str, BeforeValidator(_lower), StringConstraints(pattern=r"^#[0-9a-f]{6}$")]
ClockTime = Annotated[time, BeforeValidator(_clock)]
Days = Annotated[int, Field(ge=0, le=365)]
Identifier = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
Hours = Annotated[float, Field(gt=0, le=8760)]
"""Up to a year."""
OptionName = Literal[
    "teeth", "thickness_mm", "bite_opening_mm", "shade", "material", "colour", "pontics", "clasps", "springs"
]
TicketSize = Literal["A6", "A5", "100x150"]


class ApplianceType(Frozen):
    """A kind of appliance that the lab makes."""

    id: Identifier
    name: Words
    words: tuple[str, ...] = ()
    """Other ways a prescription or the desk writes it: "hard splint", "hs"."""
    category: Identifier
    arch: Arch | None = None
    """The arch when the prescription does not say."""
    asks: tuple[OptionName, ...] = ()
    """What the form offers for it, in the order of the paper."""
    usual: dict[OptionName, str] = Field(default_factory=dict)
    """What the lab takes when a practice says “your usual”, as the form writes it: `thickness_mm` is `2`."""
    replaces_tooth: bool = False
    shows_teeth: bool = False
    """Whether the ticket draws the teeth."""


class Step(Frozen):
    """One bench of a route, and the working days it has."""

    bench: Words
    days: Annotated[int, Field(ge=1, le=365)] = 1


class Box(Frozen):
    """The colour of a category's boxes: a name that is always printed, and its value."""

    colour: Words
    hex: Hex


class Category(Frozen):
    """A kind of work: its box and the benches it goes through."""

    id: Identifier
    name: Words
    box: Box
    route: tuple[Step, ...]


class ImpressionMaterial(Frozen):
    """How long an impression of a material keeps before it has to be poured, in hours since it was taken."""

    id: Identifier
    name: Words
    words: tuple[str, ...] = ()
    usual_hours: Hours
    limit_hours: Hours
    not_before_hours: Annotated[float, Field(ge=0, le=8760)] = 0
    keep: str = ""
    """How it is to be kept until then, in a few words."""
    water_based: bool = False
    """Whether it takes up water, so that disinfecting it twice can distort it."""


class Closure(Frozen):
    """Days on which the lab is shut, first and last included."""

    first: date
    last: date
    name: str


class CalendarRules(Frozen):
    """When the lab works and until when an arrival counts for the same day."""

    zone: str
    country: str
    subdivision: str | None = None
    weekdays: tuple[Weekday, ...] = (0, 1, 2, 3, 4)
    closures: tuple[Closure, ...] = ()
    worked: tuple[date, ...] = ()
    """Days worked although the calendar says closed, such as a Saturday before a holiday."""
    cut_off: ClockTime = time(12, 0)


class DeadlineRules(Frozen):
    """How the lab counts backward from the appointment."""

    days_before: Days = 1
    """Open days of the practice that the work is in its hands before the appointment."""
    transit_days: Days = 1
    delivery_weekdays: tuple[Weekday, ...] = (0, 1, 2, 3, 4)
    services: tuple[Service, ...] = ()
    """Carriers' services that a practice can have instead of the usual way."""
    slack_days: Days = 2
    """Fewer working days than these to the latest start are called tight."""
    reply_hour: ClockTime = time(12, 0)


class TicketRules(Frozen):
    """How tickets look and where they are printed."""

    size: TicketSize = "A6"
    dpi: Literal[203, 300, 600] = 203
    """The printer's dots to the inch: the bars of the barcode are whole dots."""
    patient: Literal["label", "reference", "both", "initials"] = "both"
    scan_pictures: bool = False
    """Whether every ticket of a case whose scans came as files shows them; any ticket does when it is asked to."""
    queue: str | None = None


Minutes = Annotated[int, Field(ge=1, le=10_080)]
"""Up to a week."""


class RingRules(Frozen):
    """How practices are rung: again after how long, at which hours, and when it is time to write instead."""

    again_minutes: Minutes = 60
    """After nobody answered."""
    engaged_minutes: Minutes = 10
    message_minutes: Minutes = 240
    """After a message was left."""
    least_minutes: Minutes = 10
    """Nobody is rung twice within these, whatever else is said."""
    tries_before_writing: Annotated[int, Field(ge=1, le=99)] = 3
    write_hours_before: Hours = 24
    """From so many hours before reply by on, what is unanswered is put in writing too."""
    letter_days: Days = 2
    """Working days of the lab that a letter has before the practice is rung, or reminded, again."""
    promise_days: Days = 0
    """Working days that a promised day may pass before the practice is rung again."""
    lab_hours: tuple[SpanText, ...] = ("08:30-17:30",)
    """When the lab itself rings."""
    usual_hours: tuple[SpanText, ...] = ("09:00-13:00", "14:00-17:00")
    """When a practice whose hours are not known answers, on its open weekdays."""
    review_months: Annotated[int, Field(ge=1, le=120)] = 12
    """After so many months a standing instruction is gone through with the practice again."""
    confirm_within_days: Days = 5
    """Working days after which a spoken answer that nobody confirmed is chased."""


class MailRules(Frozen):
    """How the lab sends e-mail; without a server, mails are written as files to open in a mail program."""

    server: str = ""
    port: Annotated[int, Field(ge=1, le=65_535)] = 587
    security: Literal["starttls", "tls"] = "starttls"
    user: str = ""
    """The account; its password lies in the system's own keyring."""
    sender: str = ""
    """The address it is sent from; the lab's own when empty."""
    retry_minutes: Minutes = 15


class LetterTexts(Frozen):
    """The words of the query letter; `{...}` are filled in by the letter."""

    window: Literal["dl", "din-5008-a", "din-5008-b"] = "dl"
    """Where the envelope's window is."""
    subject: str
    subject_of_one: str
    """The subject when only one prescription is asked about."""
    opening: str
    otherwise: str
    late: str
    slip: str
    caution: str
    closing: str
    answers: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    """By requirement: the answers offered on the slip to tick; underscores are a line to fill."""
    first: Literal["at-once", "after-ringing"] = "at-once"
    """Whether a question may go into a letter at once, or only when ringing did not help."""
    agreed: str = "This is what was agreed by word of mouth. Please look through it and confirm it in writing."
    """Over the answers that a letter confirms."""
    reminder: str = "Reminder {reminder}: our letter of {first} is still unanswered."
    """Over the questions that were asked in a letter before."""
    mail: str = (
        "Please find our letter with its reply form attached. "
        "The form can be filled in with any PDF reader and sent back."
    )
    """The text of the e-mail that carries a letter."""
    mail_subject: str = "Letter {number} from {lab}"
    """Its subject; no patient is ever named there."""
    forms_mail: str = (
        "Please find our prescription form attached. It asks for everything that we need to begin. "
        "It can be filled in with any PDF reader and sent back."
    )
    """The text of the e-mail that carries blank prescriptions."""
    forms_subject: str = "Prescription forms from {lab}"
    queue: str | None = None


_OF_THE_LETTER = frozenset({"count", "practice", "lab"})
_OF_THE_MAIL = frozenset({"number", "practice", "lab"})
LETTER_PLACEHOLDERS = {
    **dict.fromkeys(("subject", "subject_of_one", "opening", "slip", "caution", "closing"), _OF_THE_LETTER),
    "otherwise": frozenset({"reply_by", "appointment"}),
    "late": frozenset({"reply_by", "appointment", "earliest"}),
    "agreed": _OF_THE_LETTER,
    "reminder": _OF_THE_LETTER | {"reminder", "first"},
    "mail": _OF_THE_LETTER,
    **dict.fromkeys(("mail_subject", "forms_mail", "forms_subject"), _OF_THE_MAIL),
}
"""What can stand in braces in each text of letters and mails: `otherwise` and `late` are about one case."""


class CautionTexts(Frozen):
    """Cautions printed on tickets and lists."""

    not_disinfected: str
    allergy: str
    under_18: str
    pouring: str = (
        "The hours are those of the laboratory’s table, counted from when the impression was taken. Where the maker "
        "gives another time for the product, that time counts. Pour nothing that is past its limit without asking who "
        "answers for it; the practice may have to take a new impression."
    )
    """Under every list of what is to be poured."""


class Lab(Frozen):
    """The whole lab setup."""

    format: Literal["intake-lab/1"] = "intake-lab/1"
    name: Words
    address: tuple[str, ...] = ()
    postcode: str = ""
    telephone: str = ""
    email: str = ""
    logo: str | None = None
    notation: Notation = "iso"
    calendar: CalendarRules
    deadlines: DeadlineRules = DeadlineRules()
    ticket: TicketRules = TicketRules()
    letter: LetterTexts
    ringing: RingRules = RingRules()
    mail: MailRules = MailRules()
    parcels: ParcelRules = ParcelRules()
    hand_over: HandOverRules = HandOverRules()
    load: LoadRules = LoadRules()
    boxes: BoxNumbers | None = None
    """None where the boxes have no numbers."""
    people: PeopleRules = PeopleRules()
    scans: ScanRules = ScanRules()
    mailbox: MailboxRules = MailboxRules()
    cautions: CautionTexts
    words: PrintedWords = PrintedWords()
    """The fixed words of what is printed and sent."""
    languages: dict[Identifier, Language] = Field(default_factory=dict)
    """For practices that are written to in another language, by the name that the directory has for it."""
    categories: tuple[Category, ...]
    benches: tuple[Bench, ...] = ()
    """What is laid down of benches that the routes name; the others have the usual."""
    types: tuple[ApplianceType, ...]
    materials: tuple[ImpressionMaterial, ...] = ()
    shades: tuple[str, ...] = ()
    rules: tuple[Requirement, ...] = ()

    @cached_property
    def type_by_id(self) -> dict[str, ApplianceType]:
        """The appliance types by id."""
        return {t.id: t for t in self.types}

    @cached_property
    def category_by_id(self) -> dict[str, Category]:
        """The categories by id."""
        return {c.id: c for c in self.categories}

    @cached_property
    def bench_by_name(self) -> dict[str, Bench]:
        """Every bench by its name: those of `benches`, then those that only routes name, in the routes' order."""
        named = {bench.name: bench for bench in self.benches}
        for category in self.categories:
            for step in category.route:
                named.setdefault(step.bench, Bench(name=step.bench))
        return named

    @cached_property
    def material_by_id(self) -> dict[str, ImpressionMaterial]:
        """The impression materials by id."""
        return {m.id: m for m in self.materials}
