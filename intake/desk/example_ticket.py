"""The ticket of an example under a setup that need not be in force: what a change makes of it."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from intake.desk.ticket_words import ticket_words
from intake.documents.page_picture import PagePicture, page_picture
from intake.documents.ticket import draw_ticket
from intake.documents.ticket_content import Ticket
from intake.domain.case import Case
from intake.domain.example_case import PRACTICE, example_case
from intake.domain.job_number import JobNumber
from intake.domain.judging import judge
from intake.domain.lab import ApplianceType, Lab
from intake.domain.verdict import Verdict
from intake.store.rows import CaseRow, JobRow

RUNNING = 1
"""The running number of the invented job."""


@dataclass(frozen=True)
class Example:
    """What the ticket is of.

    Attributes:
        kind: The id of an appliance type.
        category: The id of a category, where no type is said; the first type that goes into its box is taken, and an
            unnamed appliance where none does.
        material: The id of the impressions' material.
        shade: The shade, where one is asked for.
    """

    kind: str | None = None
    category: str | None = None
    material: str | None = None
    shade: str | None = None


@dataclass(frozen=True)
class ExampleTicket:
    """The ticket of an example.

    Attributes:
        about: What it is the ticket of, in words.
        picture: Its first page.
        says: What stands on it, for who does not see the picture.
    """

    about: str
    picture: PagePicture
    says: str


def example_ticket(
    lab: Lab, example: Example, now: datetime, wide: int, folder: Path | None = None
) -> ExampleTicket | None:
    """The ticket of an invented case by a setup, as a picture so many pixels wide; None where nothing is made.

    Raises DoesNotFit as the ticket of a real case does.
    """
    found = kind_of(lab, example)
    if found is None:
        return None
    kind, lab = found
    case = example_case(lab, kind, now, example.material, example.shade)
    words = example_words(lab, case, now, folder)
    pdf = draw_ticket(words, lab.ticket.size, lab.ticket.dpi)
    return ExampleTicket(kind.name, page_picture(pdf, wide), _says(words))


def kind_of(lab: Lab, example: Example) -> tuple[ApplianceType, Lab] | None:
    """The appliance type of an example, and the setup, which gets an unnamed type where the category has none."""
    of_category = (kind for kind in lab.types if kind.category == example.category)
    kind = lab.type_by_id.get(example.kind or "") or next(of_category, None)
    if kind is None and example.category in lab.category_by_id:
        kind = ApplianceType(id="example", name="Appliance", category=example.category or "")
        # A plain copy would keep the types that were looked up before.
        return kind, Lab.model_construct(**{**dict(lab), "types": (kind,)})
    kind = kind or next(iter(lab.types), None)
    return (kind, lab) if kind is not None else None


def example_words(lab: Lab, case: Case, now: datetime, folder: Path | None = None) -> Ticket:
    """What stands on the ticket of an invented case by a setup; the case has one appliance of the setup's types."""
    verdict = judge(case, lab, PRACTICE, now)
    row, job = example_rows(lab, case, verdict, now)
    logo = folder / lab.logo if folder is not None and lab.logo else None
    return ticket_words(job, row, (), verdict, PRACTICE, lab, 1, "", logo)


def example_rows(lab: Lab, case: Case, verdict: Verdict, now: datetime) -> tuple[CaseRow, JobRow]:
    """An invented case and its first job as they would be stored."""
    made = verdict.jobs[0]
    row = CaseRow(
        case_id=0,
        version=1,
        state="open",
        case=case,
        practice_code=PRACTICE.code,
        practice_name=PRACTICE.name,
        stream=case.stream,
        arrived=case.arrived or now,
        pour_by=verdict.pour_by.by if verdict.pour_by else None,
        booked=now,
        edition=None,
    )
    job = JobRow(
        job_id=0,
        number=JobNumber.make(now.year, RUNNING).digits,
        case_id=0,
        category=made.category,
        category_name=lab.category_by_id[made.category].name,
        box_colour=made.box.colour,
        box_hex=made.box.hex,
        appliances=made.appliances,
        state=made.state,
        outlook=made.deadlines.outlook if made.deadlines else None,
        latest_start=made.deadlines.latest_start if made.deadlines else None,
        must_leave=made.deadlines.must_leave if made.deadlines else None,
        reply_by=made.deadlines.reply_by if made.deadlines else None,
        deadlines=made.deadlines,
        bench=None,
        moved=None,
        finished=None,
        case_state=row.state,
        stream=row.stream,
        practice_code=row.practice_code,
        practice_name=row.practice_name,
        prescriber=case.prescriber or "",
        patient_label=case.patient.label or "",
        patient_reference=case.patient.reference or "",
        arrived=row.arrived,
        appointment=case.appointment,
        copy=1,
        version=1,
    )
    return row, job


def _says(ticket: Ticket) -> str:
    route = ", ".join(f"{bench.bench} by {bench.by}" for bench in ticket.route)
    made = [", ".join(filter(None, (each.name, each.arch, each.teeth, *each.options))) for each in ticket.appliances]
    return ". ".join(filter(None, (f"{ticket.category}, {ticket.colour} box", *made, route, *ticket.cautions)))
