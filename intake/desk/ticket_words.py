"""What stands on a job's ticket, in words."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from intake.desk.answer_words import requirement_words
from intake.documents.ticket_content import SisterJob, Ticket, TicketAppliance, TicketBench, TicketItem
from intake.domain.arches import working_arches
from intake.domain.case import Appliance, Case, Patient, Spoken
from intake.domain.circumstances import allergies_named
from intake.domain.hygiene import HygieneStanding
from intake.domain.job_number import read_number
from intake.domain.judging import concerns, holds
from intake.domain.lab import Lab
from intake.domain.parcels import accepted_words
from intake.domain.practice import Practice
from intake.domain.printed.work import WorkWords
from intake.domain.teeth import describe_teeth
from intake.domain.verdict import Finding, Verdict
from intake.domain.wording import appliance_name, capital, in_sentence, item_words
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
    words, said = lab.words.ticket, lab.words.dates
    return Ticket(
        number=number.shown,
        barcode=number.barcode(copy),
        category=job.category_name,
        colour=job.box_colour,
        colour_hex=job.box_hex,
        practice=case.practice_name or words.no_practice,
        practice_code=case.practice_code or "",
        prescriber=prescription.prescriber or "",
        patient=patient_words(prescription.patient, lab) or words.no_patient,
        copy=copy,
        copy_reason=reason if copy > 1 else "",
        held=job.state == "held",
        missing=_missing(verdict, job) if job.state == "held" else (),
        must_leave=said.shown_day(dates.must_leave) if dates else "",
        appointment=said.shown_moment(prescription.appointment) if prescription.appointment else "",
        latest_start=said.short_day(dates.latest_start) if dates else "",
        pour_by=said.shown_moment(verdict.pour_by.by) if verdict.pour_by else "",
        pour_note=verdict.pour_by.estimated or "" if verdict.pour_by else "",
        pour_keep=_keep(prescription, verdict, lab),
        route=tuple(TicketBench(step.bench, said.short_day(step.by)) for step in dates.route) if dates else (),
        appliances=_to_make(prescription, job, practice, lab),
        teeth=_teeth_drawn([prescription.appliances[i] for i in job.appliances], lab),
        contents=_contents(prescription, job, sisters, lab),
        sisters=tuple(SisterJob(read_number(other.number).shown, other.category_name) for other in sisters),
        cautions=(
            *_undated(job, verdict, lab),
            *cautions(prescription, verdict.findings, job.appliances, lab, hygiene),
        ),
        lab=lab.name,
        logo=logo,
        arrived=said.shown_moment(case.arrived),
        words=words,
    )


def _keep(case: Case, verdict: Verdict, lab: Lab) -> str:
    """How the impression that has to be poured first is kept until then, where the setup says it."""
    item = case.items[verdict.pour_by.item] if verdict.pour_by else None
    material = lab.material_by_id.get(item.material or "") if item else None
    return lab.words.ticket.keep.format(how=material.keep.rstrip(".")) if material and material.keep else ""


def _undated(job: JobRow, verdict: Verdict, lab: Lab) -> tuple[str, ...]:
    """Why a ticket has no dates although there is an appointment."""
    undated = verdict.undated is not None and job.deadlines is None
    return (lab.words.ticket.undated.format(why=verdict.undated),) if undated else ()


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
        arch=lab.words.work.arches(working_arches(appliance, lab)),
        teeth=describe_teeth(appliance.teeth),
        options=(*_options(appliance, lab.words.work), *_standing(appliance, practice, lab)),
        notes=appliance.notes,
    )


def appliance_words(appliance: Appliance, practice: Practice | None, lab: Lab) -> str:
    """One appliance on one line, with its teeth and options, for a letter or a screen."""
    lines, words = appliance_lines(appliance, practice, lab), lab.words.work
    teeth = words.teeth.format(teeth=lines.teeth) if lines.teeth else ""
    options = map(in_sentence, lines.options) if words.small_names else lines.options
    return ", ".join(filter(None, (lines.name, lines.arch, teeth, *options, lines.notes)))


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
        "allergy": lab.words.ticket.allergies.format(caution=lab.cautions.allergy, allergies=allergies),
        "under-18-whitening": lab.cautions.under_18,
    }
    warned = [f for f in findings if f.level == "warns" and concerns(f, appliances) and f.requirement not in _OWN_WORDS]
    told = [own.get(finding.requirement, finding.question) for finding in warned]
    said = [each for each in case.spoken if each.appliance is None or each.appliance in appliances]
    if hygiene is not None and hygiene.standing == "to-disinfect" and not _HYGIENIC & {f.requirement for f in warned}:
        told.append(lab.cautions.not_disinfected)  # what came later for it is not declared
    accepted = filter(None, [accepted_words(case.condition, lab.words)])
    return tuple(dict.fromkeys((*told, *accepted, *(_only_said(each, case, lab) for each in said))))


def _hygiene(hygiene: HygieneStanding | None, lab: Lab) -> str:
    done_here = hygiene is not None and hygiene.standing == "disinfected-here"
    return hygiene.says if hygiene is not None and done_here else lab.cautions.not_disinfected


def _only_said(spoken: Spoken, case: Case, lab: Lab) -> str:
    """What was only said: `Thickness: 2 mm, by word of mouth from Dr X, Tue 24 Nov, not confirmed in writing`."""
    what, index = requirement_words(spoken.requirement), spoken.appliance
    if len(case.appliances) > 1 and index is not None and index < len(case.appliances):
        what = f"{capital(appliance_name(case.appliances[index], lab))}, {in_sentence(what)}"
    day = lab.words.dates.short_day(spoken.on)
    return lab.words.ticket.spoken.format(what=what, says=spoken.says, who=spoken.by, day=day)


def _to_make(case: Case, job: JobRow, practice: Practice | None, lab: Lab) -> tuple[TicketAppliance, ...]:
    """The job's appliances; what the prescription says of the whole case stands with the last, on every ticket."""
    lines = [appliance_lines(case.appliances[i], practice, lab) for i in job.appliances]
    if case.notes.strip() and lines:
        says = lab.words.ticket.says.format(notes=case.notes.strip())
        notes = " ".join(filter(None, (lines[-1].notes, says)))
        lines[-1] = replace(lines[-1], notes=notes)
    return tuple(lines)


def _options(appliance: Appliance, words: WorkWords) -> list[str]:
    options = appliance.options
    told = (
        (words.thickness, words.measure(options.thickness_mm) if options.thickness_mm is not None else None),
        (words.bite_opening, words.measure(options.bite_opening_mm) if options.bite_opening_mm is not None else None),
        (words.shade, options.shade),
        (words.material, options.material),
        (words.colour, options.colour),
        (words.pontics, describe_teeth(options.pontics)),
        (words.clasps, describe_teeth(options.clasps)),
        (words.springs, describe_teeth(options.springs)),
    )
    lines = [words.option.format(what=capital(what), value=value) for what, value in told if value]
    if appliance.unclear_teeth:
        lines.append(words.unclear.format(teeth=", ".join(appliance.unclear_teeth)))
    return lines


_OWN_WORDS = ("spoken-answer", "received-damaged")
"""The requirements whose cautions are told from the case itself, with who said or accepted what."""
_HYGIENIC = {"hygiene-status", "blood-seen"}
"""The requirements of which either tells the bench to take care."""
_STANDING_FIELDS = {"thickness": "thickness_mm", "material": "material", "colour": "colour", "shade": "shade"}


def _standing(appliance: Appliance, practice: Practice | None, lab: Lab) -> list[str]:
    lines = []
    for requirement, option in _STANDING_FIELDS.items():
        standing = practice.standing_for(requirement, appliance.type) if practice else None
        if standing and getattr(appliance.options, option) is None:
            since = lab.words.dates.shown_day(standing.since)
            lines.append(lab.words.work.standing.format(says=standing.says, day=since))
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


def _contents(case: Case, job: JobRow, sisters: Sequence[JobRow], lab: Lab) -> tuple[TicketItem, ...]:
    """What to tick: everything lies with the case's first job, and the others name that job."""
    first = min((job, *sisters), key=lambda other: other.number)
    others = ", ".join(read_number(other.number).shown for other in sisters)
    if not sisters:
        note = ""
    elif first.number == job.number:
        note = lab.words.ticket.shared.format(jobs=others)
    else:
        note = lab.words.ticket.lies_with.format(job=read_number(first.number).shown)
    return tuple(TicketItem(capital(item_words(item, lab.words.items)), note) for item in case.items)
