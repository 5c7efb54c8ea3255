"""Writes a case into the form: the text by place that reads back to the same case."""

from collections.abc import Sequence
from datetime import datetime

from intake.domain.case import Appliance, Case, Moment, NewPractice
from intake.domain.form_appliances import TEETH_OPTIONS, option_place, read_line
from intake.domain.form_lines import line_place
from intake.domain.form_practice import YES, prescriber_meant
from intake.domain.lab import Lab
from intake.domain.phrases import appliance_words, items_words
from intake.domain.practice import Practice
from intake.domain.reading import find_practice
from intake.domain.teeth import Notation, quadrant_name
from intake.domain.written_dates import shown_day

_HYGIENE = {"disinfected": "d", "not-disinfected": "n", "unknown": "", "not-applicable": "na"}


def written_form(case: Case, lab: Lab, practices: Sequence[Practice]) -> dict[str, str]:
    """The typed form of a case; empty fields are left out.

    A practice or prescriber that is not on file stands in quotation marks where it would be taken for a similar one.
    """
    practice = find_practice(case.practice, practices)
    notation = (practice.notation if practice else None) or lab.notation
    typed = {
        **_practice(case, practice),
        "prescriber": _prescriber(case.prescriber or "", practice),
        "patient.label": case.patient.label or "",
        "patient.reference": case.patient.reference or "",
        "patient.found": case.patient.found or "",
        "patient.under_18": {True: "y", False: "n", None: ""}[case.patient.under_18],
        "patient.allergies": ", ".join(case.patient.allergies),
        "items": items_words(case.items, lab),
        "hygiene": "?" if case.hygiene == "unknown" and case.stream == "scan" else _HYGIENE[case.hygiene],
        "appointment": _moment(case.appointment),
        "arrived": _moment(case.arrived),
        "notes": case.notes,
    }
    for index, appliance in enumerate(case.appliances):
        typed |= _line(line_place(index), appliance, lab, notation)
    return {place: text for place, text in typed.items() if text}


def _practice(case: Case, practice: Practice | None) -> dict[str, str]:
    if isinstance(case.practice, NewPractice):
        details = case.practice
        return {
            "practice": f"“{details.name}”",
            "practice.address": ", ".join(details.address),
            "practice.postcode": details.postcode,
            "practice.telephone": details.telephone,
            "practice.email": details.email,
        }
    if practice is not None:
        return {"practice": practice.code}
    return {"practice": f"“{case.practice}”" if case.practice else ""}


def _prescriber(name: str, practice: Practice | None) -> str:
    known = practice.prescribers if practice else ()
    as_it_is = prescriber_meant(name, known) == name and not name.endswith(YES)
    return name if not name or as_it_is else f"“{name}”"


def _line(place: str, appliance: Appliance, lab: Lab, notation: Notation) -> dict[str, str]:
    """An appliance in one line where that reads back to the same, else with a field for each option."""
    notes = {f"{place}.notes": appliance.notes}
    whole = {place: appliance_words(appliance, lab), **notes}
    return whole if read_line(whole, place, lab, notation).appliance == appliance else _fields(place, appliance, lab)


def _fields(place: str, appliance: Appliance, lab: Lab) -> dict[str, str]:
    options = appliance.options
    typed = {
        place: appliance_words(Appliance(type=appliance.type, arch=appliance.arch), lab),
        option_place(place, "teeth"): ", ".join((*map(quadrant_name, appliance.teeth), *appliance.unclear_teeth)),
        option_place(place, "thickness_mm"): _measure(options.thickness_mm),
        option_place(place, "bite_opening_mm"): _measure(options.bite_opening_mm),
        option_place(place, "shade"): options.shade or "",
        option_place(place, "material"): options.material or "",
        option_place(place, "colour"): options.colour or "",
        f"{place}.notes": appliance.notes,
    }
    teeth = {option_place(place, name): ", ".join(map(quadrant_name, getattr(options, name))) for name in TEETH_OPTIONS}
    return typed | teeth


def _measure(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _moment(moment: Moment | None) -> str:
    if moment is None:
        return ""
    clock = f" {moment:%H:%M}" if isinstance(moment, datetime) else ""
    return shown_day(moment) + clock
