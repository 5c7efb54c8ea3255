"""What stands on a blank prescription, in words: the lab's own types, and what its rule book asks for each."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path

from intake.documents.blank_content import Blank, BlankNeeds, BlankOption
from intake.domain.blank_fields import blank_number
from intake.domain.form_appliances import OPTION_NAMES
from intake.domain.lab import ApplianceType, Lab, OptionName
from intake.domain.practice import Practice
from intake.domain.rulebook import (
    ArchIs,
    FieldName,
    Prescribed,
    Received,
    Requirement,
    Satisfier,
    Standing,
    ToothReplaced,
)
from intake.domain.wording import FIELD_WORDS, ITEM_WORDS, listed
from intake.domain.written_dates import shown_day

OPTION_LABELS: dict[OptionName, str] = {
    "teeth": "Teeth",
    "thickness_mm": "Thickness, mm",
    "bite_opening_mm": "Bite opening, mm",
    "shade": "Shade",
    "material": "Material",
    "colour": "Colour",
    "pontics": "Teeth to replace",
    "clasps": "Clasps on",
    "springs": "Springs on",
}
BITE_WORDS = {"centric": "in centric", "open": "opened", "protrusive": "protruded"}
ARCH_WORDS = {"working": " of its own arch", "opposing": " of the opposing arch", "each": " of both arches"}
SENT = {"appliance": "the appliance itself"}


def blank_words(practice: Practice, lab: Lab, today: date, logo: Path | None = None) -> Blank:
    """The blank prescription of a practice, by the lab's rule book of today."""
    return Blank(
        number=blank_number(practice.code),
        code=practice.code,
        practice=practice.name,
        lab=lab.name,
        date=shown_day(today),
        types=tuple((kind.id, kind.name) for kind in lab.types),
        options=tuple(_option(name, lab) for name in OPTION_NAMES if _is_asked(name, lab)),
        needs=tuple(_needs(kind, practice, lab) for kind in lab.types),
        always=_always(lab),
        address=tuple(filter(None, (*practice.address, practice.postcode))),
        lab_address=tuple(filter(None, (*lab.address, lab.postcode))),
        telephone=lab.telephone,
        email=lab.email,
        logo=logo,
        prescribers=practice.prescribers,
        materials=tuple((material.id, material.name) for material in lab.materials),
        caution=lab.letter.caution.format_map({"count": "", "practice": practice.name, "lab": lab.name}),
    )


def _option(name: OptionName, lab: Lab) -> BlankOption:
    return BlankOption(name, OPTION_LABELS[name], lab.shades if name == "shade" else ())


def _is_asked(name: OptionName, lab: Lab) -> bool:
    """Whether any type of the lab has this option, or any rule asks for it."""
    return any(name in kind.asks for kind in lab.types) or name in _fields(lab.rules)


def _always(lab: Lab) -> tuple[str, ...]:
    """What every prescription has to say, whatever is made; the form says by itself which practice it is from."""
    fields = _fields(rule for rule in lab.rules if rule.types == "case")
    return tuple(dict.fromkeys(FIELD_WORDS[field] for field in fields if field != "practice"))


def _fields(rules: Iterable[Requirement]) -> list[FieldName]:
    """The fields of a prescription that rules ask for."""
    return [each.prescribed for rule in rules for each in rule.satisfied_by if isinstance(each, Prescribed)]


def _needs(kind: ApplianceType, practice: Practice, lab: Lab) -> BlankNeeds:
    """What the rules ask for an appliance, each thing once, and what the practice has said to assume instead."""
    asked: dict[str, list[str]] = {"stops": [], "asks": []}
    assumed: list[str] = []
    for rule in (rule for rule in lab.rules if rule.level in asked and _is_for(rule, kind)):
        words = _asks(rule, kind)
        standing = practice.standing_for(rule.id, kind.id) if Standing(standing=True) in rule.satisfied_by else None
        if words and standing:
            assumed += [standing.says] if standing.says not in assumed else []
        elif words and not any(words in already for already in asked.values()):
            asked[rule.level].append(words)
    return BlankNeeds(kind.name, tuple(asked["stops"]), tuple(asked["asks"]), tuple(assumed))


def _is_for(rule: Requirement, kind: ApplianceType) -> bool:
    return rule.types == "every" or (rule.types != "case" and kind.id in rule.types)


def _asks(rule: Requirement, kind: ApplianceType) -> str:
    """What answers a rule, in a few words; empty where it looks for slips and asks for nothing by itself."""
    arches = next((each.arch for each in rule.when if isinstance(each, ArchIs)), ())
    if not rule.satisfied_by:
        return "which arch" if arches == ("unsaid",) and kind.arch is None else ""
    words = " or ".join(filter(None, map(_satisfying, rule.satisfied_by)))
    if not words:
        return ""
    if any(isinstance(each, ToothReplaced) for each in rule.when) and not kind.replaces_tooth:
        return f"{words}, where a tooth is replaced" if "pontics" in kind.asks else ""
    return f"{words}, where both arches are made" if arches == ("both",) and kind.arch is None else words


def _satisfying(satisfier: Satisfier) -> str:
    match satisfier:
        case Prescribed():
            return FIELD_WORDS[satisfier.prescribed]
        case Received():
            return _received(satisfier)
    return ""


def _received(what: Received) -> str:
    """`impression, model or scan of the opposing arch`, `bite record in centric or opened, with its measure in mm`."""
    kinds = listed([SENT.get(item, ITEM_WORDS[item]) for item in what.received], "or")
    positions = [BITE_WORDS[each] for each in what.kind if each in BITE_WORDS]
    position = f" {listed(positions, 'or')}" if positions else ""
    measured = ", with its measure in mm" if what.with_mm else ""
    return kinds + ARCH_WORDS.get(what.arch or "", "") + position + measured
