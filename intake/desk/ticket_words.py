"""What stands on a job's ticket, in words."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from intake.desk.answer_words import requirement_words
from intake.documents.ticket_content import SisterJob, Ticket, TicketAppliance, TicketBench, TicketItem
from intake.domain.arches import arch_words, working_arches
from intake.domain.case import Appliance, Case, Moment, Patient, Spoken
from intake.domain.circumstances import allergies_named
from intake.domain.hygiene import HygieneStanding
from intake.domain.job_number import read_number
from intake.domain.judging import concerns, holds
from intake.domain.lab import Lab
from intake.domain.parcels import accepted_words
from intake.domain.practice import Practice
from intake.domain.teeth import describe_teeth
from intake.domain.verdict import Finding, Verdict
from intake.domain.wording import FIELD_WORDS, appliance_name, capital, in_sentence, item_words, measure
from intake.domain.written_dates import short_day, shown_day, shown_moment
from intake.store.rows import CaseRow, JobRow


def ticket_words(
    job: JobRow,
    case: CaseRow,
    sisters: Sequence[JobRow],
    verdict: Verdict,
    practice: Practice | None,
    lab: Lab,
    copy: int,
    reason: str,
    logo: Path | None = None,
    hygiene: HygieneStanding | None = None,
) -> Ticket:
    """The ticket of a job. `sisters` are the case's other jobs; `verdict` is the one on the case as it stands.

    With `hygiene`, how the case stands, what was disinfected here is told instead of the caution.
    """
    prescription = case.case
    number = read_number(job.number)
    dates = job.deadlines
    return Ticket(
        number=number.shown,
        barcode=number.barcode(copy),
        category=job.category_name,
        colour=job.box_colour,
        colour_hex=job.box_hex,
        practice=case.practice_name or "Practice not known",
        practice_code=case.practice_code or "",
        prescriber=prescription.prescriber or "",
        patient=patient_words(prescription.patient, lab) or "Patient not named",
        copy=copy,
        copy_reason=reason if copy > 1 else "",
        held=job.state == "held",
        missing=_missing(verdict, job) if job.state == "held" else (),
        must_leave=shown_day(dates.must_leave) if dates else "",
        appointment=_moment(prescription.appointment),
        latest_start=short_day(dates.latest_start) if dates else "",
        pour_by=shown_moment(verdict.pour_by.by) if verdict.pour_by else "",
        pour_note=verdict.pour_by.estimated or "" if verdict.pour_by else "",
        route=tuple(TicketBench(step.bench, short_day(step.by)) for step in dates.route) if dates else (),
        appliances=_to_make(prescription, job, practice, lab),
        teeth=_teeth_drawn([prescription.appliances[i] for i in job.appliances], lab),
        contents=_contents(prescription, job, sisters),
        sisters=tuple(SisterJob(read_number(other.number).shown, other.category_name) for other in sisters),
        cautions=cautions(prescription, verdict.findings, job.appliances, lab, hygiene),
        lab=lab.name,
        logo=logo,
        arrived=shown_moment(case.arrived),
    )


def _missing(verdict: Verdict, job: JobRow) -> tuple[str, ...]:
    """What the job waits for; what several of its appliances wait for stands once."""
    return tuple(dict.fromkeys(f.question for f in verdict.findings if holds(f, job.appliances)))


def patient_words(patient: Patient, lab: Lab) -> str:
    """The patient as the setup allows it on paper."""
    label, reference = patient.label or "", patient.reference or ""
    shown = {
        "label": label or reference,
        "reference": reference or label,
        "both": " · ".join(filter(None, (label, reference))),
        "initials": "".join(f"{word[0].upper()}." for word in label.replace(".", " ").split()) or reference,
    }
    return shown[lab.ticket.patient]


def appliance_lines(appliance: Appliance, practice: Practice | None, lab: Lab) -> TicketAppliance:
    """One appliance in words, with what a standing instruction adds."""
    kind = lab.type_by_id.get(appliance.type)
    return TicketAppliance(
        name=kind.name if kind else appliance.type,
        arch=arch_words(working_arches(appliance, lab)),
        teeth=describe_teeth(appliance.teeth),
        options=(*_options(appliance), *_standing(appliance, practice)),
        notes=appliance.notes,
    )


def appliance_words(appliance: Appliance, practice: Practice | None, lab: Lab) -> str:
    """One appliance on one line, with its teeth and options, for a letter or a screen."""
    lines = appliance_lines(appliance, practice, lab)
    teeth = f"teeth {lines.teeth}" if lines.teeth else ""
    return ", ".join(filter(None, (lines.name, lines.arch, teeth, *map(in_sentence, lines.options), lines.notes)))


def cautions(
    case: Case,
    findings: Sequence[Finding],
    appliances: tuple[int, ...],
    lab: Lab,
    hygiene: HygieneStanding | None = None,
) -> tuple[str, ...]:
    """The cautions to print for a job: the setup's own words where it has some, with what they are about.

    What was only said stands there whatever the rule book makes of it: the bench sees that it is not in writing yet.
    So does what came flawed and was accepted, with the initials of who accepted it.
    """
    allergies = "; ".join(allergies_named(case)).rstrip(".")
    own = {
        "hygiene-status": _hygiene(hygiene, lab),
        "allergy": f"{lab.cautions.allergy} Named: {allergies}.",
        "under-18-whitening": lab.cautions.under_18,
    }
    warned = [f for f in findings if f.level == "warns" and concerns(f, appliances) and f.requirement not in _OWN_WORDS]
    told = [own.get(finding.requirement, finding.question) for finding in warned]
    said = [each for each in case.spoken if each.appliance is None or each.appliance in appliances]
    if hygiene is not None and hygiene.standing == "to-disinfect" and not _HYGIENIC & {f.requirement for f in warned}:
        told.append(lab.cautions.not_disinfected)  # what came later for it is not declared
    accepted = filter(None, [accepted_words(case.condition)])
    return tuple(dict.fromkeys((*told, *accepted, *(_only_said(each, case, lab) for each in said))))


def _hygiene(hygiene: HygieneStanding | None, lab: Lab) -> str:
    done_here = hygiene is not None and hygiene.standing == "disinfected-here"
    return hygiene.says if hygiene is not None and done_here else lab.cautions.not_disinfected


def _only_said(spoken: Spoken, case: Case, lab: Lab) -> str:
    """What was only said: `Thickness: 2 mm, by word of mouth from Dr X, Tue 24 Nov, not confirmed in writing`."""
    what, index = requirement_words(spoken.requirement), spoken.appliance
    if len(case.appliances) > 1 and index is not None and index < len(case.appliances):
        what = f"{capital(appliance_name(case.appliances[index], lab))}, {in_sentence(what)}"
    by = f"by word of mouth from {spoken.by}, {short_day(spoken.on)}"
    return f"{what}: {spoken.says}, {by}, not confirmed in writing."


def _to_make(case: Case, job: JobRow, practice: Practice | None, lab: Lab) -> tuple[TicketAppliance, ...]:
    """The job's appliances; what the prescription says of the whole case stands with the last, on every ticket."""
    lines = [appliance_lines(case.appliances[i], practice, lab) for i in job.appliances]
    if case.notes.strip() and lines:
        notes = " ".join(filter(None, (lines[-1].notes, f"The prescription says: {case.notes.strip()}")))
        lines[-1] = replace(lines[-1], notes=notes)
    return tuple(lines)


def _options(appliance: Appliance) -> list[str]:
    options = appliance.options
    lines = [
        f"{FIELD_WORDS[name].capitalize()} {measure(value)}"
        for name, value in (("thickness_mm", options.thickness_mm), ("bite_opening_mm", options.bite_opening_mm))
        if value is not None
    ]
    lines += [
        f"{FIELD_WORDS[name].capitalize()} {value}"
        for name, value in (("shade", options.shade), ("material", options.material), ("colour", options.colour))
        if value
    ]
    lines += [
        f"{name.capitalize()} {describe_teeth(teeth)}"
        for name, teeth in (("pontics", options.pontics), ("clasps", options.clasps), ("springs", options.springs))
        if teeth
    ]
    if appliance.unclear_teeth:
        lines.append(f"Teeth unclear: {', '.join(appliance.unclear_teeth)}")
    return lines


_OWN_WORDS = ("spoken-answer", "received-damaged")
"""The requirements whose cautions are told from the case itself, with who said or accepted what."""
_HYGIENIC = {"hygiene-status", "blood-seen"}
"""The requirements of which either tells the bench to take care."""
_STANDING_FIELDS = {"thickness": "thickness_mm", "material": "material", "colour": "colour", "shade": "shade"}


def _standing(appliance: Appliance, practice: Practice | None) -> list[str]:
    lines = []
    for requirement, option in _STANDING_FIELDS.items():
        standing = practice.standing_for(requirement, appliance.type) if practice else None
        if standing and getattr(appliance.options, option) is None:
            lines.append(f"Standing: {standing.says} (since {shown_day(standing.since)})")
    return lines


def _teeth_drawn(appliances: Sequence[Appliance], lab: Lab) -> tuple[str, ...]:
    """The teeth of those appliances whose teeth the setup has drawn."""
    drawn: dict[str, None] = {}
    for appliance in appliances:
        kind, options = lab.type_by_id.get(appliance.type), appliance.options
        if kind is None or not kind.shows_teeth:
            continue
        drawn |= dict.fromkeys((*appliance.teeth, *options.pontics, *options.clasps, *options.springs))
    return tuple(drawn)


def _contents(case: Case, job: JobRow, sisters: Sequence[JobRow]) -> tuple[TicketItem, ...]:
    """What to tick: everything lies with the case's first job, and the others name that job."""
    first = min((job, *sisters), key=lambda other: other.number)
    others = ", ".join(read_number(other.number).shown for other in sisters)
    if not sisters:
        note = ""
    elif first.number == job.number:
        note = f"shared with {others}"
    else:
        note = f"lies with {read_number(first.number).shown}"
    return tuple(TicketItem(capital(item_words(item)), note) for item in case.items)


def _moment(moment: Moment | None) -> str:
    return shown_moment(moment) if moment is not None else ""
