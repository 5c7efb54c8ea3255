"""A rule of the rule book as a sentence that one can read."""

from collections.abc import Mapping

from intake.domain.condition_words import circumstance_words, satisfier_words
from intake.domain.lab import Lab
from intake.domain.rulebook import Level, Requirement, Standing, Waived
from intake.domain.rules_in_force import days_of
from intake.domain.wording import capital, in_sentence, listed, with_article

LEVEL_WORDS: Mapping[Level, str] = {
    "stops": "Work waits for it",
    "asks": "The practice is asked, work may start",
    "warns": "A caution to read",
}
_EXCEPTION_WORDS: Mapping[str, str] = {
    "stops": "At {practice} work waits for it.",
    "asks": "At {practice} the practice is asked, and work may start.",
    "warns": "At {practice} it is a caution to read.",
    "never": "It does not hold for {practice}.",
}


_MEANT = {
    "appliance": "appliance",
    "arch": "prescribed",
    "opposing": "opposing",
    "practice": "the practice",
    "earliest": "the earliest day that holds",
    "question": "the question",
}
"""What stands for the placeholders where no case is at hand."""


def rule_sentence(rule: Requirement, lab: Lab, practices: Mapping[str, str] | None = None) -> str:
    """A rule in full: `A repair needs an appliance sent in before work starts, because it cannot be mended without.`.

    Args:
        rule: The rule.
        lab: The lab setup, whose words name the appliances.
        practices: The practices' names by their codes, where they are known.
    """
    because = f", because {_within(_meant(rule.because.strip()))}" if rule.because.strip() else ""
    told = f"{what_it_says(rule, lab)}{because}"
    whole = told if told.endswith((".", "?", "!")) else f"{told}."
    return " ".join(filter(None, (whole, limits(rule, practices))))


def what_it_says(rule: Requirement, lab: Lab) -> str:
    """A rule without its reason, its days and its practices, and without a full stop."""
    things = [satisfier_words(each) for each in dict.fromkeys(rule.satisfied_by) if not _settles(each)]
    where = " and ".join(f"where {circumstance_words(each)}" for each in dict.fromkeys(rule.when))
    unless = " or ".join(satisfier_words(each) for each in dict.fromkeys(rule.satisfied_by) if _settles(each))
    told = _needs(rule, things, where, lab) if things else _holds(rule, where, lab)
    return f"{told}, unless {unless}" if unless else told


def limits(rule: Requirement, practices: Mapping[str, str] | None = None) -> str:
    """The days and the practices that a rule is for, in sentences; empty where it always holds, for all."""
    names = {code: f"{name} ({code})" for code, name in (practices or {}).items()}
    said = []
    if days := days_of(rule):
        said.append(f"It holds for what arrives {days}.")
    if rule.only_for:
        said.append(f"It holds only for {listed([names.get(code, code) for code in dict.fromkeys(rule.only_for)])}.")
    for exception in rule.exceptions:
        practice = names.get(exception.practice, exception.practice)
        said.append(_EXCEPTION_WORDS[exception.level].format(practice=practice))
    return " ".join(said)


def appliances_of(rule: Requirement, lab: Lab, each: bool = True) -> str:
    """What a rule is for: `every case`, `every appliance`, `any appliance but a repair`, `a repair or a splint`.

    Args:
        rule: The rule.
        lab: The lab setup, whose words name the appliances.
        each: `every case` rather than `a case`.
    """
    if rule.types == "case":
        return "every case" if each else "a case"
    if rule.types == "every":
        return "every appliance" if each else "an appliance"
    others = [kind.id for kind in lab.types if kind.id not in rule.types]
    if others and len(others) < len(rule.types) / 2:
        return f"any appliance but {_kinds(others, lab)}"
    return _kinds(list(dict.fromkeys(rule.types)), lab)


def _needs(rule: Requirement, things: list[str], where: str, lab: Lab) -> str:
    """A rule that something has to come for, or has to be said."""
    subject = appliances_of(rule, lab, each=not where)
    who = f"{capital(where)}, {subject}" if where else capital(subject)
    what = ", or ".join(things)
    match rule.level:
        case "stops":
            return f"{who} needs {what}{',' if len(things) > 1 else ''} before work starts"
        case "asks":
            return f"{who} should have {what}; else the practice is asked while work starts"
        case "warns":
            return f"{who} should have {what}; else there is a caution to read"


def _holds(rule: Requirement, where: str, lab: Lab) -> str:
    """A rule whose circumstances are all that there is to it."""
    subject, behind = appliances_of(rule, lab, each=False), f" {where}" if where else ""
    match rule.level:
        case "stops":
            return f"Work on {subject} waits{behind}"
        case "asks":
            return f"The practice is asked, while work starts, about {subject}{behind}"
        case "warns":
            return f"There is a caution to read with {subject}{behind}"


def _kinds(types: list[str], lab: Lab) -> str:
    return listed([_kind(kind, lab) for kind in types], "or")


def _kind(kind: str, lab: Lab) -> str:
    """A kind of appliance with its article; with its id too, where two share a name or it is not the lab's."""
    named = lab.type_by_id.get(kind)
    if named is None:
        return f"“{kind}”"
    name = in_sentence(named.name)
    alike = sum(other.name.casefold() == named.name.casefold() for other in lab.types) > 1
    return with_article(f"{name} ({kind})" if alike else name)


def _settles(satisfier: object) -> bool:
    """Whether it settles a rule by a word, and is nothing that comes or stands on the prescription."""
    return isinstance(satisfier, Standing | Waived)


def _meant(text: str) -> str:
    """A reason with words for its placeholders; one whose braces are not in order as it is written."""
    try:
        return text.format_map(_MEANT)
    except (KeyError, ValueError, IndexError, AttributeError):
        return text


def _within(text: str) -> str:
    """A reason as it stands behind “because”: it begins small, bar names and abbreviations."""
    first = text.split(maxsplit=1)[0]
    return text[:1].lower() + text[1:] if first == "A" or first[1:].islower() else text
