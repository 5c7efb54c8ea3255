"""What satisfies a requirement: items that came, and what the prescription says."""

from intake.domain.arches import BOTH, OneArch, arch_meant, opposing_arches, shows_arch, working_arches
from intake.domain.case import Appliance, Case, Item, NewPractice
from intake.domain.facts import Facts
from intake.domain.lab import Lab
from intake.domain.rulebook import Prescribed, Received
from intake.domain.wording import FIELD_WORDS, ITEM_WORDS, item_words, items_received, listed, with_article
from intake.domain.written_dates import shown_day

_NAMED = ("practice", "prescriber", "teeth", "shade", "material", "colour")


def satisfies_received(wanted: Received, case: Case, appliance: Appliance | None, lab: Lab) -> bool:
    """Whether every item that is wanted came: one for each arch that is meant, or one at all."""
    fitting = [item for item in case.items if _fits(item, wanted)]
    if wanted.arch is None:
        return bool(fitting)
    return bool(_arches_wanted(wanted, appliance, lab)) and not arches_missing(wanted, case, appliance, lab)


def arches_missing(wanted: Received, case: Case, appliance: Appliance | None, lab: Lab) -> tuple[OneArch, ...]:
    """The arches that are wanted and of which nothing fitting came."""
    fitting = [item for item in case.items if _fits(item, wanted)]
    return tuple(
        arch for arch in _arches_wanted(wanted, appliance, lab) if not any(shows_arch(item, arch) for item in fitting)
    )


def received_evidence(wanted: Received, case: Case, appliance: Appliance | None, lab: Lab) -> str:
    """What is seen instead: `no bite record among the 2 items received (...)`."""
    kinds = [ITEM_WORDS[kind] for kind in wanted.received]
    near = [item for item in case.items if item.item in wanted.received]
    if wanted.arch is None and near:
        return f"what came is {listed([with_article(item_words(item)) + _lack(item, wanted) for item in near])}"
    missing = arches_missing(wanted, case, appliance, lab)
    arch = f" of the {' or the '.join(missing)} arch" if missing else ""
    told = f"no {listed(kinds, 'or')}{arch}{items_received(case.items)}"
    if "bite-record" in wanted.received and case.arches is not None and case.arches.standing == "registered":
        return f"{told}; {case.arches.says}"
    return told


def satisfies_prescribed(wanted: Prescribed, case: Case, appliance: Appliance | None, facts: Facts, lab: Lab) -> bool:
    """Whether the prescription says what is wanted."""
    match wanted.prescribed:
        case "practice":
            return _practice_known(case, facts)
        case "prescriber":
            return _said(case.prescriber)
        case "patient":
            return _said(case.patient.label) or _said(case.patient.reference)
        case "appointment":
            return case.appointment is not None and not facts.far_appointment
    if appliance is None:
        return False
    if wanted.prescribed == "arch":
        return arch_meant(appliance, lab) is not None
    if wanted.prescribed == "teeth":
        options = appliance.options
        return bool(appliance.teeth or options.pontics or options.clasps or options.springs)
    return _said(getattr(appliance.options, wanted.prescribed))


def prescribed_evidence(wanted: Prescribed, case: Case, facts: Facts) -> str:
    """What the prescription lacks: `the prescription gives no thickness`."""
    if wanted.prescribed == "practice" and isinstance(case.practice, NewPractice):
        return f"“{case.practice.name}” is not in the directory and came without an address, telephone or e-mail"
    if wanted.prescribed == "practice" and isinstance(case.practice, str) and _said(case.practice):
        return f"“{case.practice}” is not in the directory and came without a name and address"
    if wanted.prescribed == "appointment" and case.appointment is not None:
        return f"an appointment on {shown_day(case.appointment)} must be a slip of the pen"
    verb = "names" if wanted.prescribed in _NAMED else "gives"
    return f"the prescription {verb} no {FIELD_WORDS[wanted.prescribed]}"


def _practice_known(case: Case, facts: Facts) -> bool:
    """A practice of the directory, or a name with at least one way to reach it."""
    if isinstance(case.practice, NewPractice):
        reach = (case.practice.address, case.practice.telephone, case.practice.email)
        return _said(case.practice.name) and any(reach)
    return _said(case.practice) and (facts.practice is not None or not facts.directory)


def _said(value: str | float | None) -> bool:
    """Whether something is said at all: blanks say nothing."""
    return bool(value.strip()) if isinstance(value, str) else value is not None


def _fits(item: Item, wanted: Received) -> bool:
    return (
        item.item in wanted.received
        and (not wanted.kind or (item.kind or "unsaid") in wanted.kind)
        and (not wanted.with_mm or item.mm is not None)
    )


def _lack(item: Item, wanted: Received) -> str:
    if wanted.kind and item.kind is None and "unsaid" not in wanted.kind:
        return " whose position is not said"
    if wanted.with_mm and item.mm is None and (not wanted.kind or item.kind in wanted.kind):
        return " without its measure in mm"
    return ""


def _arches_wanted(wanted: Received, appliance: Appliance | None, lab: Lab) -> tuple[OneArch, ...]:
    if wanted.arch == "each":
        return BOTH
    if appliance is None or wanted.arch is None:
        return ()
    return working_arches(appliance, lab) if wanted.arch == "working" else opposing_arches(appliance, lab)
