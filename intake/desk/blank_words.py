"""What stands on a blank prescription, in words: the lab's own types, and what its rule book asks for each."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path

from intake.documents.blank_content import Blank, BlankNeeds, BlankOption
from intake.domain.blank_fields import blank_number
from intake.domain.form_appliances import OPTION_NAMES
from intake.domain.lab import ApplianceType, Lab, OptionName
from intake.domain.languages import spoken
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
from intake.domain.rules_in_force import rules_for


def blank_words(practice: Practice, lab: Lab, today: date, logo: Path | None = None) -> Blank:
    """The blank prescription of a practice, by the lab's rule book of today as it holds for it, in its language."""
    lab = spoken(lab.model_copy(update={"rules": rules_for(practice, today, lab)}), practice.language)
    return Blank(
        number=blank_number(practice.code),
        code=practice.code,
        practice=practice.name,
        lab=lab.name,
        date=lab.words.dates.shown_day(today),
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
        words=lab.words.form,
        need_words=lab.words.needs,
    )


def _option(name: OptionName, lab: Lab) -> BlankOption:
    return BlankOption(name, getattr(lab.words.form, name), lab.shades if name == "shade" else ())


def _is_asked(name: OptionName, lab: Lab) -> bool:
    """Whether any type of the lab has this option, or any rule asks for it."""
    return any(name in kind.asks for kind in lab.types) or name in _fields(lab.rules)


def _always(lab: Lab) -> tuple[str, ...]:
    """What every prescription has to say, whatever is made; the form says by itself which practice it is from."""
    fields = _fields(rule for rule in lab.rules if rule.types == "case")
    return tuple(dict.fromkeys(_field(field, lab) for field in fields if field != "practice"))


def _fields(rules: Iterable[Requirement]) -> list[FieldName]:
    """The fields of a prescription that rules ask for."""
    return [each.prescribed for rule in rules for each in rule.satisfied_by if isinstance(each, Prescribed)]


def _needs(kind: ApplianceType, practice: Practice, lab: Lab) -> BlankNeeds:
    """What the rules ask for an appliance, each thing once, and what the practice has said to assume instead."""
    asked: dict[str, list[str]] = {"stops": [], "asks": []}
    assumed: list[str] = []
    for rule in (rule for rule in lab.rules if rule.level in asked and _is_for(rule, kind)):
        words = _asks(rule, kind, lab)
        standing = practice.standing_for(rule.id, kind.id) if Standing(standing=True) in rule.satisfied_by else None
        if words and standing:
            assumed += [standing.says] if standing.says not in assumed else []
        elif words and not any(words in already for already in asked.values()):
            asked[rule.level].append(words)
    return BlankNeeds(kind.name, tuple(asked["stops"]), tuple(asked["asks"]), tuple(assumed))


def _is_for(rule: Requirement, kind: ApplianceType) -> bool:
    return rule.types == "every" or (rule.types != "case" and kind.id in rule.types)


def _field(field: FieldName, lab: Lab) -> str:
    return str(getattr(lab.words.needs, field))


def _asks(rule: Requirement, kind: ApplianceType, lab: Lab) -> str:
    """What answers a rule, in a few words; empty where it looks for slips and asks for nothing by itself."""
    needs, work = lab.words.needs, lab.words.work
    arches = next((each.arch for each in rule.when if isinstance(each, ArchIs)), ())
    if not rule.satisfied_by:
        return needs.which_arch if arches == ("unsaid",) and kind.arch is None else ""
    told = [words for each in rule.satisfied_by if (words := _satisfying(each, lab))]
    if not told:
        return ""
    words = work.listed(told, work.either)
    if any(isinstance(each, ToothReplaced) for each in rule.when) and not kind.replaces_tooth:
        return needs.where_replaced.format(what=words) if "pontics" in kind.asks else ""
    return needs.where_both.format(what=words) if arches == ("both",) and kind.arch is None else words


def _satisfying(satisfier: Satisfier, lab: Lab) -> str:
    match satisfier:
        case Prescribed():
            return _field(satisfier.prescribed, lab)
        case Received():
            return _received(satisfier, lab)
    return ""


def _received(what: Received, lab: Lab) -> str:
    """`impression, model or scan of the opposing arch`, `bite record in centric or opened, with its measure in mm`."""
    needs, items, work = lab.words.needs, lab.words.items, lab.words.work
    kinds = [needs.the_appliance if item == "appliance" else items.of_kind(item) for item in what.received]
    words = work.listed(kinds, work.either)
    if what.arch:
        words = {"working": needs.of_working, "opposing": needs.of_opposing, "each": needs.of_each}[what.arch].format(
            what=words
        )
    positions = [str(getattr(needs, each)) for each in what.kind if each != "unsaid"]
    words = f"{words} {work.listed(positions, work.either)}" if positions else words
    return needs.measured.format(what=words) if what.with_mm else words
