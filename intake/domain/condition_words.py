"""Each circumstance and each satisfier of the rule book in words, and the words of every value that can be picked."""

from collections.abc import Mapping, Sequence

from intake.domain.rulebook import (
    AllergyNamed,
    ApplianceTwice,
    ArchesSeen,
    ArchIs,
    Circumstance,
    ConditionSeen,
    HygieneIs,
    ImpressionPast,
    MaterialUnknown,
    NameFound,
    OutlookIs,
    OutOfRange,
    Prescribed,
    RaisedOpen,
    Received,
    Satisfier,
    ScanFaulty,
    ShadeUnknown,
    SpokenAnswer,
    Standing,
    TakenAfterArrival,
    TeethOfOtherArch,
    TeethUnclear,
    ToothReplaced,
    Under18,
    Waived,
)
from intake.domain.wording import FIELD_WORDS, ITEM_WORDS, listed, with_article

ARCH_WORDS = {
    "upper": "for the upper arch",
    "lower": "for the lower arch",
    "both": "for both arches",
    "unsaid": "for an arch that nobody names",
}
HYGIENE_WORDS = {
    "disinfected": "said to be disinfected",
    "not-disinfected": "said not to be disinfected",
    "unknown": "without a word on disinfection",
    "not-applicable": "a scan, which needs no disinfection",
}
OUTLOOK_WORDS = {
    "comfortable": "in good time for the appointment",
    "tight": "just in time for the appointment",
    "late": "too late for the appointment",
}
PAST_WORDS = {
    "usual": "older than is usual for its material",
    "limit": "older than its material keeps",
}
FAULT_WORDS = {
    "unreadable": "cannot be read",
    "unit": "is in a unit that is not sure",
    "jaw": "shows a jaw that is not sure",
    "part": "shows only a part of an arch",
    "broken": "is damaged",
    "twice": "came before",
}
FOUND_WORDS = {
    "dry": "dry",
    "wet": "wet",
    "crushed": "crushed",
    "torn-tray": "in a torn tray",
    "distorted": "distorted",
    "blood": "with blood on it",
    "prescription-unreadable": "with a prescription that cannot be read",
    "prescription-missing": "without a prescription",
}
ACCEPTED_WORDS: Mapping[bool | None, str] = {
    None: "",
    True: ", and somebody accepted it",
    False: ", and nobody accepted it",
}
NAME_WORDS = {
    "near": "the name on the bag or tray is nearly the prescription’s",
    "differs": "another name stands on the bag or tray than on the prescription",
}
OF_ARCH_WORDS: Mapping[str | None, str] = {
    None: "",
    "working": " of its own arch",
    "opposing": " of the opposing arch",
    "each": " of each arch",
}
POSITION_WORDS = {
    "centric": "in centric",
    "open": "at an opened height",
    "protrusive": "in protrusion",
    "unsaid": "in a position that nobody names",
}
STANDING_WORDS = {
    "registered": "look registered",
    "doubtful": "meet doubtfully",
    "not-one-frame": "lie each in a frame of its own",
    "apart": "lie apart",
    "through": "go through each other",
    "gap": "leave a gap",
}
NOTHING = "nothing that can be"
"""What is said of a list that names nothing, and so never holds and is never met."""
_PLAIN: Mapping[type, str] = {
    AllergyNamed: "an allergy is named",
    MaterialUnknown: "an impression is of a material that the laboratory does not list",
    ToothReplaced: "it carries a tooth",
    TeethUnclear: "a tooth is written so that it means two",
    TeethOfOtherArch: "teeth are named that its arch does not have",
    ShadeUnknown: "a shade is given that the laboratory does not list",
    TakenAfterArrival: "something is dated later than it arrived",
    ApplianceTwice: "it stands twice on the prescription",
    SpokenAnswer: "an answer was given by word of mouth and is not confirmed in writing",
    RaisedOpen: "a question from a bench or the desk is open",
}


def circumstance_words(circumstance: Circumstance) -> str:
    """A circumstance as it stands behind “where”: `it is for the upper arch or for the lower arch`."""
    match circumstance:
        case ArchIs():
            return f"it is {_arches(circumstance.arch)}"
        case Under18():
            return "the patient is under 18" if circumstance.under_18 else "the patient is said to be 18 or older"
        case HygieneIs():
            return f"what came is {_any(circumstance.hygiene, HYGIENE_WORDS)}"
        case OutlookIs():
            return f"the work would be {_any(circumstance.outlook, OUTLOOK_WORDS)}"
        case ImpressionPast():
            return f"an impression is {PAST_WORDS[circumstance.impression_past]}"
        case OutOfRange():
            least, most = millimetres(circumstance.least), millimetres(circumstance.most)
            return f"the {FIELD_WORDS[circumstance.out_of_range]} is given as less than {least} or more than {most}"
        case ScanFaulty():
            return f"a scan {_any(circumstance.scan_fault, FAULT_WORDS)}"
        case ConditionSeen():
            found = _any(circumstance.condition, FOUND_WORDS)
            return f"what came was found {found}{ACCEPTED_WORDS[circumstance.accepted]}"
        case NameFound():
            return NAME_WORDS[circumstance.name_found]
    return _PLAIN[type(circumstance)]


def satisfier_words(satisfier: Satisfier) -> str:
    """What meets a requirement, as it stands behind “needs” or, of the last two, behind “unless”."""
    match satisfier:
        case Received():
            return _received(satisfier)
        case ArchesSeen():
            return f"scans of both arches that {_any(satisfier.arches, STANDING_WORDS)}"
        case Prescribed():
            return f"its {FIELD_WORDS[satisfier.prescribed]} on the prescription"
        case Standing():
            return "a standing instruction of the practice settles it"
        case Waived():
            return "the prescriber says to go ahead all the same"


def millimetres(value: float) -> str:
    """A measure in full: `0.3 mm`, `8 mm`."""
    return f"{value!r}".removesuffix(".0") + " mm"


def _received(wanted: Received) -> str:
    kinds = [ITEM_WORDS[kind] for kind in dict.fromkeys(wanted.received)]
    what = with_article(listed(kinds, "or")) if kinds else NOTHING
    position = f" {_any(wanted.kind, POSITION_WORDS)}" if wanted.kind else ""
    return what + OF_ARCH_WORDS[wanted.arch] + position + (" with its measure in mm" if wanted.with_mm else "")


def _arches(arches: Sequence[str]) -> str:
    """`for the upper or lower arch or for both arches`."""
    one = [arch for arch in ("upper", "lower") if arch in arches]
    rest = [ARCH_WORDS[arch] for arch in ("both", "unsaid") if arch in arches]
    parts = ([f"for the {' or '.join(one)} arch"] if one else []) + rest
    return listed(parts, "or") if parts else NOTHING


def _any(values: Sequence[str], words: Mapping[str, str]) -> str:
    """Any of some values, each once: `a, b or c`."""
    return listed([words[value] for value in words if value in values], "or") if values else NOTHING
