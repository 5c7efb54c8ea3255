"""Cases of which nothing is missing, to take something away from, and what the default rule book says of them."""

from datetime import datetime
from functools import cache

from intake.domain.case import Appliance, Case, Item, Options, Patient
from intake.domain.judging import judge
from intake.domain.practice import Practice
from intake.resources import resource
from intake.setup.reading import read_setup

ARRIVED = datetime(2026, 11, 25, 8, 40)
APPOINTMENT = datetime(2026, 12, 21, 9, 30)
KNOWN = Practice(code="P1", name="Quayside Dental Practice")
UPPER_SCAN, LOWER_SCAN = Item(item="scan", arch="upper"), Item(item="scan", arch="lower")
CENTRIC = Item(item="bite-record", kind="centric", source="scan")
OPEN = Item(item="bite-record", kind="open", mm=3, source="scan")
PROTRUSIVE = Item(item="bite-record", kind="protrusive", mm=6, source="scan")
NO_POSITION = Item(item="bite-record", source="scan")
SPLINT = Options(thickness_mm=2, bite_opening_mm=3)
THICK = Options(thickness_mm=3)

COMPLETE = {
    "occlusal-splint-hard": (Appliance(type="occlusal-splint-hard", arch="upper", options=SPLINT), CENTRIC),
    "occlusal-splint-dual": (Appliance(type="occlusal-splint-dual", arch="upper", options=SPLINT), CENTRIC),
    "occlusal-splint-soft": (Appliance(type="occlusal-splint-soft", arch="upper", options=THICK), None),
    "anterior-splint": (Appliance(type="anterior-splint", arch="upper"), CENTRIC),
    "vacuum-formed-retainer": (Appliance(type="vacuum-formed-retainer", arch="upper", options=THICK), None),
    "wire-retainer": (Appliance(type="wire-retainer", arch="upper"), None),
    "bonded-retainer": (Appliance(type="bonded-retainer", arch="upper", teeth=("12", "11", "21", "22")), None),
    "whitening-tray": (Appliance(type="whitening-tray", arch="upper"), None),
    "sports-mouthguard": (
        Appliance(type="sports-mouthguard", options=Options(thickness_mm=4, colour="red")),
        CENTRIC,
    ),
    "advancement-appliance": (Appliance(type="advancement-appliance", options=Options(material="acrylic")), PROTRUSIVE),
    "functional-appliance": (Appliance(type="functional-appliance"), PROTRUSIVE),
    "expansion-appliance": (Appliance(type="expansion-appliance", arch="upper", options=Options(clasps=("16",))), None),
    "removable-spring-appliance": (
        Appliance(type="removable-spring-appliance", arch="upper", options=Options(springs=("11",))),
        None,
    ),
    "space-maintainer": (Appliance(type="space-maintainer", arch="upper", teeth=("64",)), None),
    "aligner-set": (Appliance(type="aligner-set"), CENTRIC),
    "partial-plate-with-tooth": (
        Appliance(type="partial-plate-with-tooth", arch="upper", teeth=("12",), options=Options(shade="A2")),
        CENTRIC,
    ),
    "study-model": (Appliance(type="study-model", arch="both"), CENTRIC),
    "repair": (Appliance(type="repair"), None),
}
"""For each type an appliance of which nothing is missing, and the bite record that it needs, if any."""


@cache
def the_lab():
    return read_setup(resource("setup", "default.toml"))


def a_case(kind, **changes):
    """A case of one appliance that lacks nothing, all of it scanned."""
    appliance, bite = COMPLETE[kind]
    items = [UPPER_SCAN, LOWER_SCAN, *([bite] if bite else [])]
    if kind == "repair":
        items = [Item(item="appliance")]
    values = {
        "practice": "P1",
        "prescriber": "Dr R. Ashdown",
        "patient": Patient(label="J.T."),
        "appliances": (appliance,),
        "items": tuple(items),
        "hygiene": "disinfected",
        "appointment": APPOINTMENT,
        "arrived": ARRIVED,
    }
    return Case(**(values | changes))


def with_options(case, **changes):
    appliance = case.appliances[0]
    options = appliance.options.model_copy(update=changes)
    return case.model_copy(update={"appliances": (appliance.model_copy(update={"options": options}),)})


def with_appliance(case, **changes):
    return case.model_copy(update={"appliances": (case.appliances[0].model_copy(update=changes),)})


def without(case, *items):
    return case.model_copy(update={"items": tuple(item for item in case.items if item not in items)})


def findings(case, practice=KNOWN, now=ARRIVED):
    return judge(case, the_lab(), practice, now).findings


def said(case, practice=KNOWN, now=ARRIVED):
    """The findings as `level requirement[appliance]`."""
    return [
        f"{f.level} {f.requirement}" + ("" if f.appliance is None else f"[{f.appliance}]")
        for f in findings(case, practice, now)
    ]
