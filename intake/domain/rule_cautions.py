"""Rules that keep people from harm: what is said before one of them is made less grave or taken out."""

from intake.domain.rulebook import AllergyNamed, ConditionSeen, HygieneIs, NameFound, Requirement, Under18

CAUTION = (
    "This rule keeps people from harm. Think twice before it is made less grave, waived or taken out: local rules and "
    "the licensed technician go before this book."
)
_GUARDS = (AllergyNamed, HygieneIs, NameFound, Under18)


def caution_of(rule: Requirement) -> str:
    """The caution for a rule about allergies, disinfection, blood, age or a mix-up of patients; else nothing.

    Which rules these are is common practice, no source.
    """
    return CAUTION if any(isinstance(each, _GUARDS) or _is_blood(each) for each in rule.when) else ""


def _is_blood(circumstance: object) -> bool:
    return isinstance(circumstance, ConditionSeen) and "blood" in circumstance.condition
