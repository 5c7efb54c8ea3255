"""How a case or a parcel stands before anything of it is handed on to a bench.

Guidance for practices in Britain makes the practice disinfect what it sends and say so, on the package, on the form or
by a standing statement to the laboratory (HTM 01-05; SDCEP practice support manual). Where nothing is said, the
laboratory disinfects before handling, and again where blood shows later (CDC 2003, MMWR 52(RR-17), from memory). Doing
it twice can distort what takes up water (SDCEP; CDC, as summarised by others). Local rules and the maker's instructions
go before all of it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from intake.domain.case import Case, Condition
from intake.domain.circumstances import hygiene_meant
from intake.domain.lab import ImpressionMaterial, Lab
from intake.domain.parcels import ParcelHygiene
from intake.domain.pouring import known_material
from intake.domain.practice import StandingInstruction
from intake.domain.wording import capital, in_sentence, listed
from intake.domain.written_dates import shown_day, shown_moment

StandingKind = Literal["declared", "standing", "disinfected-here", "to-disinfect", "not-needed"]
MOST_MINUTES = 1440


@dataclass(frozen=True)
class HygieneStanding:
    """How something stands, with the sentence that says so and the caution where one is needed."""

    standing: StandingKind
    says: str

    @property
    def may_be_handed_on(self) -> bool:
        """Whether nothing of hygiene keeps it from a bench."""
        return self.standing != "to-disinfect"


@dataclass(frozen=True)
class DoneHere:
    """A disinfection that was done here."""

    agent: str
    minutes: int
    who: str
    at: datetime

    @property
    def says(self) -> str:
        """It in a few words: `disinfected here by AB with ... for 10 minutes, Wed 25 Nov 2026, 10:30`."""
        return f"disinfected here by {self.who} with {self.agent} for {_minutes(self.minutes)}, {shown_moment(self.at)}"


def done_words(done: DoneHere, lab: Lab) -> str:
    """A disinfection in a sentence, in the words that the setup has for paper."""
    words = lab.words.work
    time = words.minute if done.minutes == 1 else words.minutes.format(count=done.minutes)
    moment = lab.words.dates.shown_moment(done.at)
    return words.disinfected.format(who=done.who, agent=done.agent, time=time, moment=moment)


def standing_of_case(
    case: Case, statement: StandingInstruction | None, done: Sequence[DoneHere], lab: Lab, later: Sequence[str] = ()
) -> HygieneStanding:
    """How a case stands.

    Args:
        case: The case; what it says itself goes before a standing statement.
        statement: The practice's standing statement that everything is disinfected.
        done: What was done here, oldest first: of the case, or of the parcels that it came in.
        lab: The lab setup, for the caution.
        later: What came for it later, is not declared, and was not disinfected here since: each in a few words.
    """
    hygiene = hygiene_meant(case)
    if hygiene == "not-applicable" and (case.items or not later):
        return HygieneStanding("not-needed", "Nothing to disinfect: only scans came.")
    if later:
        return _to_disinfect(f"{capital(listed(list(later)))}: disinfection not declared", lab)
    if done:
        return HygieneStanding("disinfected-here", done_words(done[-1], lab))
    if case.condition is not None and "blood" in case.condition.seen:
        return _to_disinfect("Blood was seen on opening, so it is disinfected whatever is declared", lab)
    if hygiene == "disinfected":
        return HygieneStanding("declared", "Declared as disinfected by the practice.")
    if hygiene == "unknown" and statement is not None:
        return HygieneStanding("standing", _statement(statement))
    return _to_disinfect("The practice says it is not disinfected" if hygiene == "not-disinfected" else "", lab)


def standing_of_parcel(
    hygiene: ParcelHygiene,
    seen: Sequence[Condition],
    statement: StandingInstruction | None,
    done: Sequence[DoneHere],
    lab: Lab,
) -> HygieneStanding:
    """How a parcel stands, as far as it is known before its cases are booked."""
    if done:
        return HygieneStanding("disinfected-here", done_words(done[-1], lab))
    if "blood" in seen:
        return _to_disinfect("Blood was seen on opening, so it is disinfected whatever is declared", lab)
    if hygiene == "declared":
        return HygieneStanding("declared", "Declared as disinfected by the practice.")
    if hygiene == "standing" and statement is not None:
        return HygieneStanding("standing", _statement(statement))
    return _to_disinfect("", lab)


def water_based(cases: Iterable[Case], lab: Lab) -> tuple[ImpressionMaterial, ...]:
    """The materials of impressions in these cases that take up water, each once."""
    materials = (known_material(item, lab) for case in cases for item in case.items if item.item == "impression")
    found = {material.id: material for material in materials if material is not None and material.water_based}
    return tuple(found.values())


def second_time(
    done: Sequence[DoneHere], declared: bool, materials: Sequence[ImpressionMaterial], unknown: bool
) -> str:
    """What to think of before something is disinfected once more; empty where nothing speaks against it.

    Args:
        done: What was done here, oldest first.
        declared: Whether the practice declares it disinfected, itself or by a standing statement.
        materials: What of it takes up water.
        unknown: Whether it is not known, or not of everything, what the impressions are made of.
    """
    if not (done or declared) or not (materials or unknown):
        return ""
    before = capital(done[-1].says) if done else "The practice declares it disinfected"
    if materials:
        names = listed([in_sentence(material.name) for material in materials])
        takes = f"{capital(names)} {'takes' if len(materials) == 1 else 'take'} up water"
    else:
        takes = "What lies in it is not known to be free of alginate or polyether, which take up water"
    return (
        f"{before}. {takes}: a second disinfection can distort an impression. Keep to the maker’s "
        "instructions for both, and to local rules; look at the impression afterwards."
    )


def short_warning(agent: str, minutes: int, lab: Lab) -> str:
    """Whether a time is shorter than the lab's own list has it for an agent, in a sentence; else empty."""
    known = next((each for each in lab.parcels.agents if each.name.casefold() == agent.strip().casefold()), None)
    if known is None or minutes >= known.minutes:
        return ""
    return f"The laboratory’s list says {_minutes(known.minutes)} for {known.name}; the maker’s instructions count."


def _to_disinfect(why: str, lab: Lab) -> HygieneStanding:
    return HygieneStanding(
        "to-disinfect", f"{why}. {lab.parcels.not_disinfected}" if why else lab.parcels.not_disinfected
    )


def _statement(statement: StandingInstruction) -> str:
    return f"By the practice’s standing statement of {shown_day(statement.since)}: {statement.says.rstrip('.')}."


def _minutes(minutes: int) -> str:
    return "1 minute" if minutes == 1 else f"{minutes} minutes"
