"""An invented case of one appliance, with all that the rule book wants of it, to show what a setup makes of it."""

from datetime import datetime, time, timedelta

from intake.domain.answer_fields import Context, read_field
from intake.domain.case import Appliance, Arch, Case, Item, Options, Patient
from intake.domain.form_appliances import option_place
from intake.domain.judging import judge
from intake.domain.lab import ApplianceType, Lab
from intake.domain.practice import Practice
from intake.errors import IntakeError

PRACTICE = Practice(
    code="EXAMPLE",
    name="Example practice",
    address=("1 Example Street", "Exampleton"),
    postcode="EX1 1EX",
    telephone="01632 960001",
    email="practice@example.com",
    prescribers=("Dr E. Example",),
)
_TEETH = {"upper": ("16", "26"), "lower": ("36", "46"), "both": ("16", "36")}
_FRONT = {"upper": ("12",), "lower": ("42",), "both": ("12",)}
_MADE_UP = {"thickness_mm": "2", "bite_opening_mm": "2", "material": "acrylic", "colour": "clear"}
_BROUGHT = (
    Item(item="bite-record", kind="centric", source="physical"),
    Item(item="bite-record", kind="open", mm=3.0, source="physical"),
    Item(item="bite-record", kind="protrusive", mm=6.0, source="physical"),
    Item(item="appliance", source="physical"),
    Item(item="shade-tab", source="physical"),
    Item(item="prescription-sheet", source="physical"),
    Item(item="photo"),
)
"""What is put to the impressions, in this order, as far as it settles something."""
_FIRST_APPOINTMENT, _LAST_APPOINTMENT = 7, 60
"""The appointment is so many days away at the least, and at the most."""


def example_case(
    lab: Lab, kind: ApplianceType, now: datetime, material: str | None = None, shade: str | None = None
) -> Case:
    """A case that is clear as far as the rule book lets an invented one be.

    Args:
        lab: The setup.
        kind: What is made, one of the setup's types.
        now: The moment at which it is judged.
        material: The id of the impressions' material; the setup's first where not said.
        shade: The shade, where one is asked for; the setup's first where not said.
    """
    arch: Arch = kind.arch or "upper"
    if material is None and lab.materials:
        material = max(lab.materials, key=lambda each: each.limit_hours).id
    case = Case(
        practice=PRACTICE.code,
        prescriber=PRACTICE.prescribers[0],
        patient=Patient(label="E.X.", reference="10001", under_18=False),
        appliances=(_appliance(lab, kind, arch, shade, now),),
        items=tuple(
            Item(item="impression", arch=each, material=material, taken=now - timedelta(hours=2), source="physical")
            for each in ("upper", "lower")
        ),
        hygiene="disinfected",
        arrived=now,
    )
    return _brought(_with_appointment(case, lab, now), lab, now)


def _appliance(lab: Lab, kind: ApplianceType, arch: Arch, shade: str | None, now: datetime) -> Appliance:
    options: dict[str, object] = {}
    context = Context(lab, PRACTICE, now)
    for name in kind.asks:
        if name in ("pontics", "clasps", "springs"):
            options[name] = (_FRONT if name == "pontics" else _TEETH)[arch]
        elif name == "shade":
            options[name] = shade or next(iter(lab.shades), "A2")
        elif name != "teeth":
            text = kind.usual.get(name) or _MADE_UP[name]
            options[name] = read_field(option_place("appliances[0]", name), text, context)[0]
    teeth = (_FRONT if kind.replaces_tooth else _TEETH)[arch] if "teeth" in kind.asks else ()
    return Appliance(type=kind.id, arch=arch, teeth=teeth, options=Options.model_validate(options))


def _with_appointment(case: Case, lab: Lab, now: datetime) -> Case:
    """The case with the first appointment that holds comfortably, on a day on which practices are open."""
    for days in range(_FIRST_APPOINTMENT, _LAST_APPOINTMENT):
        day = now.date() + timedelta(days=days)
        if day.weekday() not in PRACTICE.open_weekdays:
            continue
        dated = case.model_copy(update={"appointment": datetime.combine(day, time(9, 30))})
        try:
            jobs = judge(dated, lab, PRACTICE, now).jobs
        except IntakeError:
            return case
        if any(job.deadlines is None or job.deadlines.outlook == "comfortable" for job in jobs):
            return dated
    return dated


def _brought(case: Case, lab: Lab, now: datetime) -> Case:
    """The case with whatever else settles something."""
    open_ones = _count(case, lab, now)
    for item in _BROUGHT:
        if not open_ones:
            break
        more = case.model_copy(update={"items": (*case.items, item)})
        left = _count(more, lab, now)
        if left < open_ones:
            case, open_ones = more, left
    return case


def _count(case: Case, lab: Lab, now: datetime) -> int:
    return sum(finding.level != "warns" for finding in judge(case, lab, PRACTICE, now).findings)
