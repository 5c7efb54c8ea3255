"""The turns of phrase that are answers without being values: on its way, as usual, not needed, rings back."""

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from intake.domain.calendar import delivery_calendar
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.written_dates import DateUnclear, read_moment

_ALWAYS = re.compile(r"\s*(?:always|standing)\b[:,]?\s*(?P<rest>.*)", re.IGNORECASE)
_NOTE = re.compile(r"\s*(?:note\b[:,]?|[-–—/“\"])\s*(?P<rest>.+?)[”\"]?\s*", re.IGNORECASE)
_USUAL = re.compile(
    r"(?:use\s+)?(?:the\s+)?(?:(?:lab(?:oratory)?(?:[’']s)?|your)\s+)?(?:usual|default|choice)|yours|as\s+usual",
    re.IGNORECASE,
)
_AS_IT_IS = re.compile(r"as\s+it\s+is|leave\s+it(?:\s+as\s+it\s+is)?", re.IGNORECASE)
_AS_WRITTEN = re.compile(r"as\s+(?:it\s+is\s+)?written", re.IGNORECASE)
_NOT_NEEDED = re.compile(
    r"not\s+needed|no\s+need|none(?:\s+needed)?|(?:make\s+it\s+)?without(?:\s+it)?|waive[d]?|no\s+appointment(?:\s+yet)?",
    re.IGNORECASE,
)
_AT_RISK = re.compile(r"(?:pour\s+it(?:\s+anyway)?|(?:pour\s+it\s+)?at\s+(?:our|their|your)\s+risk)", re.IGNORECASE)
_STAYS = re.compile(r"(?:it\s+)?stays|(?:it\s+)?cannot\s+be\s+moved|(?:it\s+)?can[’']t\s+be\s+moved", re.IGNORECASE)
_YES = re.compile(r"yes|y|right|correct|confirmed", re.IGNORECASE)
_TWICE = re.compile(r"(?:yes,?\s*)?(?:two|twice|both)(?:\s+of\s+them)?|yes|y|right|correct", re.IGNORECASE)
_ONCE = re.compile(r"(?:no,?\s*)?(?:only\s+)?(?:one|once)|no|n", re.IGNORECASE)
_SAYS_NOTHING = re.compile(
    r"yes|y|no|n|ok(?:ay)?|(?:i\s+)?do(?:n[’']?t|\s+not)\s+know|not\s+(?:known|sure)|unknown|unsure|later|maybe",
    re.IGNORECASE,
)
_POST = re.compile(
    r"(?:it\s+is\s+|a\s+new\s+impression\s+is\s+coming|new\s+impression)?\s*"
    r"(?:in\s+)?(?:the\s+)?(?:(?P<when>tonight|today|tomorrow)(?:[’']s)?\s*)?(?:by\s+)?(?:post(?:ed)?|mail|courier)?"
    r"(?:\s+(?:on\s+)?(?P<day>.*))?",
    re.IGNORECASE,
)
_IT_IS = re.compile(
    r"(?:(?:the|a|new)\s+)*(?:bite(?:\s+record)?|record|impressions?|models?|appliance|it)\s+(?:(?:is|are|was)\s+)?"
    r"(?=\S)|(?:coming|sent|sending)\s+(?=by\b|in\b)",
    re.IGNORECASE,
)
"""What is sent, in front of how: the question says that already."""
_SAYS_WHO = re.compile(r",?\s*says\s+(?:the\s+)?(?:prescriber|dentist|doctor)$", re.IGNORECASE)
_HAS_POST = re.compile(r"\b(?:post(?:ed)?|courier|tonight|new\s+impression)\b", re.IGNORECASE)
_SCAN = re.compile(
    r"(?:a\s+)?(?:new\s+)?(?:re-?)?scan\s*(?:sent|coming|by\s+e-?mail|\s)*(?:on\s+)?(?P<day>.*)", re.IGNORECASE
)
_RING_BACK = re.compile(
    r"(?:cannot\s+be\s+moved:?\s*)?(?:please\s+)?(?:telephone|ring|call)\s+us|"
    r"(?:\S+\s+){0,5}?(?:rings?|calls?|phones?|telephones?)(?:\s+(?:us|you))?\s+back"
    r"\s*(?:at\s+|on\s+)?(?P<when>.*)|rb(?:\s+(?P<short>.*))?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class OnItsWay:
    """Something that is sent, and the day on which it can be here."""

    way: Literal["post", "scan"]
    by: date


def always(text: str) -> str | None:
    """What stands behind “always”; None where it is not said."""
    match = _ALWAYS.fullmatch(text)
    return match["rest"].strip() if match else None


def note(text: str) -> str | None:
    """What is to be written down only: behind “note”, a stroke or a quotation mark."""
    match = _NOTE.fullmatch(text)
    return match["rest"].strip() if match else None


def is_usual(text: str) -> bool:
    """Whether the lab is to take its usual."""
    return _USUAL.fullmatch(_plain(text)) is not None


def is_as_it_is(text: str) -> bool:
    """Whether it is wanted as it stands, with whatever it lacks."""
    return _AS_IT_IS.fullmatch(_plain(text)) is not None


def is_as_written(text: str) -> bool:
    """Whether what is written is meant so; nothing can be as written where nothing is."""
    return is_as_it_is(text) or _AS_WRITTEN.fullmatch(_plain(text)) is not None


def is_not_needed(text: str) -> bool:
    """Whether what is lacking is not needed."""
    return _NOT_NEEDED.fullmatch(_plain(text)) is not None


def is_at_risk(text: str) -> bool:
    """Whether an old impression is to be poured all the same."""
    return _AT_RISK.fullmatch(_plain(text)) is not None


def is_staying(text: str) -> bool:
    """Whether an appointment stays on its day."""
    return _STAYS.fullmatch(_plain(text)) is not None


def is_yes(text: str) -> bool:
    """Whether what looks odd is meant so."""
    return _YES.fullmatch(_plain(text)) is not None


def is_twice(text: str) -> bool:
    """Whether what stands twice is wanted twice."""
    return _TWICE.fullmatch(_plain(text)) is not None


def is_once(text: str) -> bool:
    """Whether what stands twice is wanted once."""
    return _ONCE.fullmatch(_plain(text)) is not None


def says_nothing(text: str) -> bool:
    """Whether words leave it open what is wanted: “yes” to “which”, “don’t know”."""
    return _SAYS_NOTHING.fullmatch(_plain(text)) is not None


def on_its_way(text: str, practice: Practice | None, lab: Lab, now: datetime) -> OnItsWay | None:
    """What is sent, by which way, and when it can be here; None where nothing is said to be sent.

    Post is a delivery day of the carrier under way, the practice's own where its entry has one; “post thu” is posted on
    the Thursday to come, “posted thu” was on the one past. A scan is here on its day. Raises DateUnclear.
    """
    plain = _how(_plain(text))
    if scan := _SCAN.fullmatch(plain):
        return OnItsWay("scan", _day(scan["day"], now))
    post = _POST.fullmatch(plain)
    if post is None or _HAS_POST.search(plain) is None:
        return None
    if (post["when"] or "").casefold() == "tomorrow":
        return OnItsWay("post", here_by(now.date() + timedelta(days=1), practice, lab))
    is_past = re.search(r"\bposted\b", plain, re.IGNORECASE) is not None
    return OnItsWay("post", here_by(_day(post["day"], now, is_past), practice, lab))


def here_by(posted: date, practice: Practice | None, lab: Lab) -> date:
    """The day on which something posted on a day can be here: the carrier's delivery days after it, one at least."""
    own = practice.transit_days if practice else None
    days = max(1, lab.deadlines.transit_days if own is None else own)
    return delivery_calendar(lab.deadlines, lab.calendar).forward(posted, days)


def rings_back(text: str, now: datetime) -> tuple[bool, date | datetime | None]:
    """Whether somebody will ring back, and on which day or when, if that is said. Raises DateUnclear."""
    match = _RING_BACK.fullmatch(_plain(text))
    if match is None:
        return False, None
    when = (match["when"] or match["short"] or "").strip()
    if not when:
        return True, None
    return True, read_moment(when, now.date())


def _day(text: str | None, now: datetime, is_past: bool = False) -> date:
    said = (text or "").strip()
    if not said or said.casefold() in ("today", "now", "tonight"):
        return now.date()
    moment = read_moment(said, now.date(), past=is_past)
    day = moment.date() if isinstance(moment, datetime) else moment
    if day < now.date() - timedelta(days=31):
        raise DateUnclear("That day is long past. When was it posted?")
    return day


def _how(plain: str) -> str:
    """How something is sent, without what it is."""
    while (what := _IT_IS.match(plain)) is not None:
        plain = plain[what.end() :]
    return plain


def _plain(text: str) -> str:
    return _SAYS_WHO.sub("", " ".join(text.replace("_", " ").split()).rstrip("."))
