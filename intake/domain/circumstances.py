"""The circumstances a requirement can hold under, each told with the evidence for it."""

import re

from intake.domain.arches import OneArch, arch_meant, arch_words, working_arches
from intake.domain.case import Appliance, Case, Hygiene, Options, Teeth
from intake.domain.facts import Facts
from intake.domain.form_fields import normal_shade
from intake.domain.lab import Lab
from intake.domain.names_found import name_found
from intake.domain.parcels import seen_words
from intake.domain.pouring import ImpressionAge, is_after, known_material
from intake.domain.raised import raised_evidence
from intake.domain.rulebook import (
    AllergyNamed,
    ApplianceTwice,
    ArchIs,
    ConditionSeen,
    HygieneIs,
    ImpressionPast,
    MaterialUnknown,
    NameFound,
    OutlookIs,
    OutOfRange,
    RaisedOpen,
    ScanFaulty,
    ShadeUnknown,
    SpokenAnswer,
    TakenAfterArrival,
    TeethOfOtherArch,
    TeethUnclear,
    ToothReplaced,
    Under18,
)
from intake.domain.teeth import TEETH, arch_of, read_teeth, shown
from intake.domain.wording import (
    FIELD_WORDS,
    appliance_name,
    in_sentence,
    item_words,
    listed,
    measure,
    requirement_name,
    with_article,
)
from intake.domain.written_dates import shown_day

_DENIED = re.compile(r"\b(no|nil|none)\b[^,]*allerg|allerg\w*\W*(no|nil|none)\W*$", re.IGNORECASE)
"""An allergy said not to be there: “no known allergies”, “allergies: none”."""


def hygiene_meant(case: Case) -> Hygiene:
    """The hygiene status that counts: scans need none, and things in the hand are never “not applicable”."""
    if case.stream == "scan":
        return "not-applicable"
    return "unknown" if case.hygiene == "not-applicable" and case.items else case.hygiene


def allergies_named(case: Case) -> tuple[str, ...]:
    """Allergies from their own field, and any sentence of the notes that speaks of one."""
    return _allergies_entered(case) + _allergies_noted(case)


def _allergies_entered(case: Case) -> tuple[str, ...]:
    return tuple(said for allergy in case.patient.allergies if (said := allergy.strip()))


def _allergies_noted(case: Case) -> tuple[str, ...]:
    notes = "\n".join((case.notes, *(appliance.notes for appliance in case.appliances)))
    told = (part.strip() for part in re.split(r"[.;\n]", notes) if "allerg" in part.casefold())
    return tuple(part for part in told if not _DENIED.search(part))


def repeated(case: Case, lab: Lab) -> frozenset[int]:
    """The places of the appliances that stand on the prescription before: alike in all, for an arch that they share."""
    seen: set[tuple[str, OneArch, Teeth, Options]] = set()
    again = set()
    for index, appliance in enumerate(case.appliances):
        alike = {(appliance.type, arch, appliance.teeth, appliance.options) for arch in working_arches(appliance, lab)}
        if alike & seen:
            again.add(index)
        seen |= alike
    return frozenset(again)


def evidence(
    circumstance: object, case: Case, appliance: Appliance | None, index: int | None, facts: Facts, lab: Lab
) -> str | None:
    """The evidence that a circumstance holds; empty where it needs none; None where it does not hold."""
    match circumstance:
        case Under18():
            return "the patient is under 18" if case.patient.under_18 is circumstance.under_18 else None
        case HygieneIs():
            return _hygiene(circumstance, case)
        case AllergyNamed():
            return _allergy(case)
        case OutlookIs():
            return facts.outlook_evidence if facts.outlook in circumstance.outlook else None
        case ImpressionPast():
            return _impression_past(circumstance, case, facts, lab)
        case MaterialUnknown():
            return _material_unknown(case, lab)
        case TakenAfterArrival():
            return _taken_after_arrival(case)
        case SpokenAnswer():
            return _spoken(case, index)
        case ScanFaulty():
            return _scan_faulty(circumstance, case)
        case ConditionSeen():
            return _condition(circumstance, case)
        case NameFound():
            return _name_found(circumstance, case)
        case RaisedOpen():
            return raised_evidence(case)
    return None if appliance is None else _appliance_evidence(circumstance, case, appliance, index, facts, lab)


def _appliance_evidence(
    circumstance: object, case: Case, appliance: Appliance, index: int | None, facts: Facts, lab: Lab
) -> str | None:
    match circumstance:
        case ArchIs():
            meant = arch_meant(appliance, lab) or "unsaid"
            if meant not in circumstance.arch:
                return None
            return "the prescription does not say upper or lower" if meant == "unsaid" else ""
        case ToothReplaced():
            return _tooth_replaced(appliance, lab)
        case TeethUnclear():
            return _teeth_unclear(appliance, facts, lab)
        case TeethOfOtherArch():
            return _teeth_of_other_arch(appliance, lab)
        case ShadeUnknown():
            shade = appliance.options.shade
            known = shade is None or not lab.shades or normal_shade(shade) in lab.shades
            return None if known else f"“{shade}” is not among the laboratory’s shades"
        case OutOfRange():
            return _out_of_range(circumstance, case, appliance)
        case ApplianceTwice():
            twice = f"the prescription lists the {appliance_name(appliance, lab)} twice"
            return twice if index in facts.repeated else None
    return None


def _spoken(case: Case, index: int | None) -> str | None:
    """What was only said about an appliance, or about the case as a whole."""
    said = [each for each in case.spoken if each.appliance == index]
    told = [
        f"{requirement_name(each.requirement)} “{each.says}” was said by {each.by} on {shown_day(each.on)}"
        for each in said
    ]
    return f"{listed(told)} and is not confirmed in writing yet" if told else None


def _hygiene(circumstance: HygieneIs, case: Case) -> str | None:
    meant = hygiene_meant(case)
    if meant not in circumstance.hygiene or not case.items:
        return None
    if meant == "not-disinfected":
        return "what came is said not to be disinfected"
    return "nothing is said about disinfection"


def _allergy(case: Case) -> str | None:
    entered = _allergies_entered(case)
    told = [f"allergy named: {listed(entered)}"] if entered else []
    told += [f"the notes say “{noted}”" for noted in _allergies_noted(case)]
    return "; ".join(told) or None


def _impression_past(circumstance: ImpressionPast, case: Case, facts: Facts, lab: Lab) -> str | None:
    """The impressions that are too old; those of one material and age in one breath."""
    wanted = {"usual": ("past-usual", "past-limit"), "limit": ("past-limit",)}[circumstance.impression_past]
    alike: dict[str, list[str]] = {}
    for age in facts.ages:
        if age.state in wanted:
            alike.setdefault(_how_old(age, circumstance, lab), []).append(f"the {item_words(case.items[age.item])}")
    told = [f"{listed(items)} {'is' if len(items) == 1 else 'are'} {old}" for old, items in alike.items()]
    return "; ".join(told) or None


def _how_old(age: ImpressionAge, circumstance: ImpressionPast, lab: Lab) -> str:
    counted = f" (counted {age.estimated})" if age.estimated else ""
    material = next((material for material in lab.materials if material.name == age.material), None)
    if material is None:
        return f"{_hours(age.hours)} old{counted}"
    past_limit = circumstance.impression_past == "limit"
    allowed = _hours(material.limit_hours if past_limit else material.usual_hours)
    hours = f"just over {allowed}" if _hours(age.hours) == allowed else _hours(age.hours)
    keeps = "keeps for" if past_limit else "is best poured within"
    return f"{hours} old{counted}, and {in_sentence(material.name)} {keeps} {allowed}"


def _hours(hours: float) -> str:
    """A time as one says it: `30 minutes`, `1 hour`, `16 hours`."""
    if hours < 0.95:
        return f"{hours * 60:.0f} minutes"
    return "1 hour" if f"{hours:.0f}" == "1" else f"{hours:.0f} hours"


def _material_unknown(case: Case, lab: Lab) -> str | None:
    impressions = [item for item in case.items if item.item == "impression" and item.material]
    strange = dict.fromkeys(f"“{item.material}”" for item in impressions if known_material(item, lab) is None)
    if not strange or not lab.materials:
        return None
    return f"{listed(list(strange))} {'is' if len(strange) == 1 else 'are'} not among the laboratory’s materials"


def _taken_after_arrival(case: Case) -> str | None:
    late = [item for item in case.items if is_after(item.taken, case.arrived)]
    if late:
        return f"the {item_words(late[0])} is dated later than it arrived"
    return "it is said to be posted later than it arrived" if is_after(case.posted, case.arrived) else None


def _tooth_replaced(appliance: Appliance, lab: Lab) -> str | None:
    if appliance.options.pontics:
        return f"a pontic is asked for at {listed([shown(tooth) for tooth in appliance.options.pontics])}"
    kind = lab.type_by_id.get(appliance.type)
    return "" if kind and kind.replaces_tooth else None


def _teeth_unclear(appliance: Appliance, facts: Facts, lab: Lab) -> str | None:
    notation = (facts.practice.notation if facts.practice else None) or lab.notation
    told = []
    for written in appliance.unclear_teeth:
        meanings = [meaning for unclear in read_teeth(written, notation).unclear for meaning in unclear.meanings]
        named = [shown(meaning) if meaning in TEETH else meaning.replace(", ", " and ") for meaning in meanings]
        told.append(f"“{written}” can be {listed(named, 'or') if named else 'more than one tooth'}")
    return "; ".join(told) or None


def _teeth_of_other_arch(appliance: Appliance, lab: Lab) -> str | None:
    arches = working_arches(appliance, lab)
    options = appliance.options
    named = dict.fromkeys((*appliance.teeth, *options.pontics, *options.clasps, *options.springs))
    stray = [tooth for tooth in named if arches and arch_of(tooth) not in arches]
    if not stray:
        return None
    verb = "is not a tooth" if len(stray) == 1 else "are not teeth"
    return f"{listed([shown(tooth) for tooth in stray])} {verb} of the {arch_words(arches)} arch"


def _out_of_range(circumstance: OutOfRange, case: Case, appliance: Appliance) -> str | None:
    if circumstance.out_of_range == "protrusion_mm":
        values = [item.mm for item in case.items if item.item == "bite-record" and item.kind == "protrusive"]
    else:
        values = [getattr(appliance.options, circumstance.out_of_range)]
    odd = [value for value in values if value is not None and not circumstance.least <= value <= circumstance.most]
    if not odd:
        return None
    usual = f"{circumstance.least:g} to {measure(circumstance.most)}"
    return (
        f"{with_article(FIELD_WORDS[circumstance.out_of_range])} of {measure(odd[0])} is outside what is usual, {usual}"
    )


def _scan_faulty(circumstance: ScanFaulty, case: Case) -> str | None:
    told = [seen.says for scan in case.scans for seen in scan.faults if seen.fault in circumstance.scan_fault]
    return "; ".join(told) or None


def _condition(circumstance: ConditionSeen, case: Case) -> str | None:
    if case.condition is None:
        return None
    seen = [each for each in case.condition.seen if each in circumstance.condition]
    taken_on = bool(case.condition.accepted_by.strip())
    if not seen or circumstance.accepted not in (None, taken_on):
        return None
    note = f" ({case.condition.note.strip().rstrip('.')})" if case.condition.note.strip() else ""
    return f"on opening was seen: {seen_words(seen)}{note}"


def _name_found(circumstance: NameFound, case: Case) -> str | None:
    patient = case.patient
    if name_found(patient) != circumstance.name_found:
        return None
    says = " · ".join(filter(None, (patient.label, patient.reference)))
    return f"on the bag or tray stands “{(patient.found or '').strip()}”, on the prescription “{says}”"
