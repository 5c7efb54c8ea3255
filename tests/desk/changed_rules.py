"""Setups with changed rule books, for trying them on cases."""

from datetime import date

from intake.domain.rulebook import ForPractice, Prescribed, Requirement
from tests.desk.desks import demo_lab


def with_rules(lab, change):
    """A setup whose rules went through a function, which gives None for those that are taken out."""
    rules = tuple(new for rule in lab.rules if (new := change(rule)) is not None)
    return lab.model_copy(update={"rules": rules})


def changed_lab(lab=None):
    """The demo's setup with rules changed in every way: another level, taken out, dated, for a practice, a new one."""
    lab = lab or demo_lab()

    def change(rule):
        match rule.id:
            case "bite-record":
                return rule.model_copy(update={"level": "asks"})
            case "thickness":
                return rule.model_copy(update={"exceptions": (ForPractice(practice="MARLOW1", level="stops"),)})
            case "hygiene-status":
                return None
            case "opposing-arch":
                return rule.model_copy(update={"begins": date(2027, 1, 1)})
            case "appointment-feasible":
                return rule.model_copy(update={"level": "stops"})
        return rule

    own = Requirement(
        id="colour-always",
        level="asks",
        types="every",
        satisfied_by=(Prescribed(prescribed="colour"),),
        question="Which colour for the {appliance}?",
        because="We were asked to ask.",
    )
    changed = with_rules(lab, change)
    return changed.model_copy(update={"rules": (*changed.rules, own)})
