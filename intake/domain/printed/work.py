"""What is made and what comes with it, in words: on tickets, letters and forms."""

from collections.abc import Sequence

from intake.domain.case import Frozen
from intake.domain.practice import Words


class WorkWords(Frozen):
    """An appliance in words."""

    small_names: bool = True
    """Whether the name of an appliance begins small inside a sentence: `hard occlusal splint`."""
    upper: Words = "upper"
    lower: Words = "lower"
    two: Words = "{one} and {other}"
    """The last two of a list, and both arches: `upper and lower`."""
    either: Words = "{one} or {other}"
    both_arches: Words = "{one} and the {other}"
    """Both arches where a sentence already has the article: `the upper and the lower arch`."""
    made: Words = "{arch} {name}"
    made_on_both: Words = "{arch} {several}"
    """Two of them; `{several}` is the name as English makes it more than one, `{name}` the name as it is."""
    teeth: Words = "teeth {teeth}"
    thickness: Words = "thickness"
    bite_opening: Words = "bite opening"
    shade: Words = "shade"
    material: Words = "material"
    colour: Words = "colour"
    pontics: Words = "pontics"
    clasps: Words = "clasps"
    springs: Words = "springs"
    option: Words = "{what} {value}"
    millimetres: Words = "{value} mm"
    unclear: Words = "Teeth unclear: {teeth}"
    standing: Words = "Standing: {says} (since {day})"
    disinfected: Words = "Disinfected here by {who} with {agent} for {time}, {moment}."
    """On the ticket and on a note of return, instead of the caution."""
    minute: Words = "1 minute"
    minutes: Words = "{count} minutes"
    the_practice: Words = "the practice"
    """For `{practice}` in a rule where it is not known."""
    a_later_day: Words = "a later day"
    a_question: Words = "a question"

    def arches(self, arches: Sequence[str], both: str | None = None) -> str:
        """Arches in words: `upper`, `upper and lower`."""
        words = [self.upper if arch == "upper" else self.lower for arch in arches]
        return (both or self.two).format(one=words[0], other=words[1]) if len(words) == 2 else "".join(words)

    def listed(self, words: Sequence[str], last: str | None = None) -> str:
        """Words drawn together: `a`, `a and b`, `a, b and c`."""
        *before, end = words
        return (last or self.two).format(one=", ".join(before), other=end) if before else end

    def measure(self, value: float) -> str:
        """A measure: `3 mm`."""
        return self.millimetres.format(value=f"{value:g}")


class ItemWords(Frozen):
    """What came, in words."""

    impression: Words = "impression"
    model: Words = "model"
    scan: Words = "scan"
    bite_record: Words = "bite record"
    photo: Words = "photo"
    shade_tab: Words = "shade tab"
    appliance: Words = "appliance sent in"
    prescription_sheet: Words = "prescription sheet"
    upper: Words = "upper"
    lower: Words = "lower"
    both: Words = "upper and lower"
    scanned: Words = "scanned"
    centric: Words = "centric"
    open: Words = "open"
    protrusive: Words = "protrusive"
    of: Words = "of {value} mm"
    whole: Words = "{arch} {scanned} {kind} {item} {measure}"
    """In which order these stand; what is not said is left out."""

    def of_kind(self, kind: str) -> str:
        """A kind of item by its name in the prescription file: `bite-record`."""
        words: str = getattr(self, kind.replace("-", "_"))
        return words


class ContentWords(Frozen):
    """What lies in a parcel."""

    case: Words = "a case"
    cases: Words = "{count} cases"
    part: Words = "part of a case"
    repair: Words = "an appliance for repair"
    nothing: Words = "nothing"
    danger: Words = "something that can hurt"
    other: Words = "something else"
    several: Words = "{what}, {count} times"


class SeenWords(Frozen):
    """What was seen when something was opened, as it stands in a sentence."""

    dry: Words = "dry"
    wet: Words = "wet"
    crushed: Words = "crushed"
    torn_tray: Words = "a torn tray"
    distorted: Words = "distorted"
    blood: Words = "blood seen"
    prescription_unreadable: Words = "the prescription cannot be read"
    prescription_missing: Words = "no prescription"


class SpeakerWords(Frozen):
    """Who said something, and by which way."""

    prescriber: Words = "the prescriber"
    on_behalf: Words = "for the prescriber"
    team: Words = "of the practice’s team"
    telephone: Words = "by telephone"
    in_person: Words = "in person"
    e_mail: Words = "by e-mail"
    letter: Words = "by letter"
    reply_form: Words = "on the reply form"

    def of(self, name: str) -> str:
        """A role or a way by its name: `on-behalf`, `e-mail`."""
        words: str = getattr(self, name.replace("-", "_"))
        return words
