"""Writes a case into the form: the text by place that reads back to the same case."""

from datetime import datetime

from intake.domain.case import Appliance, Case, Moment, NewPractice
from intake.domain.form import TEETH_OPTIONS
from intake.domain.lab import Lab
from intake.domain.phrases import appliance_words, items_words

_HYGIENE = {"disinfected": "d", "not-disinfected": "n", "unknown": "", "not-applicable": "na"}


def written_form(case: Case, lab: Lab) -> dict[str, str]:
    """The typed form of a case; empty fields are left out."""
    typed = {
        **_practice(case),
        "prescriber": case.prescriber or "",
        "patient.label": case.patient.label or "",
        "patient.reference": case.patient.reference or "",
        "patient.under_18": {True: "y", False: "n", None: ""}[case.patient.under_18],
        "patient.allergies": ", ".join(case.patient.allergies),
        "items": items_words(case.items, lab),
        "hygiene": _HYGIENE[case.hygiene],
        "appointment": _moment(case.appointment),
        "arrived": _moment(case.arrived),
        "notes": case.notes,
    }
    for index, appliance in enumerate(case.appliances):
        typed |= _appliance(f"appliances[{index}]", appliance, lab)
    return {place: text for place, text in typed.items() if text}


def _practice(case: Case) -> dict[str, str]:
    if not isinstance(case.practice, NewPractice):
        return {"practice": case.practice or ""}
    details = case.practice
    return {
        "practice": details.name,
        "practice.address": ", ".join(details.address),
        "practice.postcode": details.postcode,
        "practice.telephone": details.telephone,
        "practice.email": details.email,
    }


def _appliance(place: str, appliance: Appliance, lab: Lab) -> dict[str, str]:
    options = appliance.options
    plain = Appliance(type=appliance.type, arch=appliance.arch)
    typed = {
        place: appliance_words(plain, lab),
        f"{place}.teeth": " ".join((*appliance.teeth, *appliance.unclear_teeth)),
        f"{place}.notes": appliance.notes,
        f"{place}.options.thickness_mm": _measure(options.thickness_mm),
        f"{place}.options.bite_opening_mm": _measure(options.bite_opening_mm),
        f"{place}.options.shade": options.shade or "",
        f"{place}.options.material": options.material or "",
        f"{place}.options.colour": options.colour or "",
    }
    return typed | {f"{place}.options.{name}": " ".join(getattr(options, name)) for name in TEETH_OPTIONS}


def _measure(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _moment(moment: Moment | None) -> str:
    if moment is None:
        return ""
    return moment.isoformat(timespec="minutes") if isinstance(moment, datetime) else moment.isoformat()
