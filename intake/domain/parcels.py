"""A parcel in words, and when it is finished."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from intake.domain.case import Condition, SeenCondition
from intake.domain.printed.words import PrintedWords
from intake.domain.wording import capital

ParcelHygiene = Literal["declared", "standing", "not-declared"]
"""What is known of a whole parcel: said on it, by the practice's standing statement, or nothing."""
ContentKind = Literal["case", "part", "repair", "nothing", "danger", "other"]
"""What lies in a parcel: a whole case, part of one, an appliance for repair, nothing, what can hurt, or else."""
IncidentKind = Literal["sharps", "blood", "tissue", "chemical", "other"]

CONTENT_WORDS: Mapping[ContentKind, str] = {
    "case": "A case",
    "part": "Part of a case",
    "repair": "An appliance for repair",
    "nothing": "Nothing",
    "danger": "Something that can hurt",
    "other": "Something else",
}
WAY_WORDS: Mapping[str, str] = {"post": "by post", "by-hand": "by hand"}
PARCEL_HYGIENE_WORDS: Mapping[ParcelHygiene, str] = {
    "declared": "declared as disinfected",
    "standing": "disinfected by the practice’s standing statement",
    "not-declared": "disinfection not declared",
}
STATE_WORDS = {"open": "not finished", "done": "finished", "refused": "refused", "stopped": "stopped"}
INCIDENT_WORDS: Mapping[IncidentKind, str] = {
    "sharps": "Sharps",
    "blood": "Blood",
    "tissue": "Tissue or teeth",
    "chemical": "A chemical",
    "other": "Something else",
}
TO_BOOK: frozenset[ContentKind] = frozenset({"case", "part", "repair"})
"""What waits to be booked in as a case, or as a part of one."""
_ENGLISH = PrintedWords()
HARMLESS: frozenset[Condition] = frozenset({"dry"})
"""What needs nobody to take it on in spite of it."""


def is_settled(reason: str, arrival_state: str | None) -> bool:
    """Whether a thing in a parcel has a case, or a reason why it has none."""
    return bool(reason.strip()) or arrival_state == "booked"


def is_done(settled: Iterable[bool]) -> bool:
    """Whether a parcel is finished: something lay in it, nothing perhaps, and all of it is settled."""
    each = list(settled)
    return bool(each) and all(each)


def in_it(kind: ContentKind) -> str:
    """A thing in a parcel as it stands in a sentence: `a case`."""
    words = CONTENT_WORDS[kind]
    return words[:1].lower() + words[1:]


def seen_words(seen: Sequence[Condition], words: PrintedWords = _ENGLISH) -> str:
    """What was seen on opening: `wet, a torn tray and blood seen`; empty where nothing was said."""
    return words.work.listed([getattr(words.seen, each.replace("-", "_")) for each in seen]) if seen else ""


def accepted_words(condition: SeenCondition | None, words: PrintedWords = _ENGLISH) -> str:
    """The line of a ticket that says who took a case on in spite of what was seen; empty where nobody did.

    What came flawed and was accepted is told with the work (ISO 15189:2022 7.2.6.2, as summarised by others).
    """
    if condition is None or not condition.accepted_by.strip():
        return ""
    flaws = seen_words([each for each in condition.seen if each not in HARMLESS], words)
    note = f" ({condition.note.strip().rstrip('.')})" if condition.note.strip() else ""
    what, who = f"{capital(flaws)}{note}", condition.accepted_by.strip()
    return words.ticket.accepted.format(what=what, who=who) if flaws else ""
