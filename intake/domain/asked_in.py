"""An open question in the language of the practice that it goes to."""

from intake.domain.case import Case
from intake.domain.facts import Facts
from intake.domain.findings import Subject, filled_texts
from intake.domain.lab import Lab
from intake.domain.rulebook import Requirement
from intake.domain.verdict import Finding


def asked_in(asked: Finding, case: Case, facts: Facts, lab: Lab, spoken: Lab) -> tuple[str, str]:
    """A question and its reason, as another language of the setup has them.

    The rule that asked is told by what it says of this case in the lab's own words. Where none says so any more, or the
    rule is not translated, the question stays as it was asked. Of the reason a translation has what the rule book says;
    what was seen is told in the lab's own language only, and left out.

    Args:
        asked: The question as it was asked.
        case: What it is about.
        facts: The practice, and the earliest appointment that the question named.
        lab: The setup.
        spoken: The same in the language, of `intake.domain.languages.spoken`.
    """
    if asked.appliance is not None and asked.appliance >= len(case.appliances):
        return asked.question, asked.because
    appliance = case.appliances[asked.appliance] if asked.appliance is not None else None
    own = Subject(case, asked.appliance, appliance, facts, lab)
    pairs = [pair for pair in zip(lab.rules, spoken.rules, strict=True) if pair[0].id == asked.requirement]
    alike = [pair for pair in pairs if filled_texts(pair[0], own)[0] == asked.question]
    if not alike:
        return asked.question, asked.because
    sure = [pair for pair in alike if filled_texts(pair[0], own)[1].strip() in asked.because]
    rule, said = (sure or alike)[0]
    return _told(rule, said, asked, filled_texts(said, Subject(case, asked.appliance, appliance, facts, spoken)))


def _told(rule: Requirement, said: Requirement, asked: Finding, filled: tuple[str, str]) -> tuple[str, str]:
    """What of both is translated, and the rest as it was asked."""
    question, because = filled
    asks, explains = said.question != rule.question, said.because != rule.because
    explains = explains or (asks and not rule.because.strip())
    return question if asks else asked.question, because if explains else asked.because
