"""The selects behind the rows: their columns in the order of the row's fields."""

from typing import Any

from sqlalchemy import ColumnElement, Select, func, select

from intake.store.tables import (
    ArrivalTable,
    CaseTable,
    DocumentFileTable,
    DocumentTable,
    JobTable,
    PracticeTable,
    QueryTable,
)

AnySelect = Select[*tuple[Any, ...]]

PRACTICE_NAME: ColumnElement[str] = func.coalesce(PracticeTable.name, CaseTable.practice_name)
"""As the directory has it now; as it was written where the directory has none."""

ARRIVALS: AnySelect = select(
    ArrivalTable.id,
    ArrivalTable.stream,
    ArrivalTable.arrived,
    ArrivalTable.practice,
    ArrivalTable.patient_label,
    ArrivalTable.patient_reference,
    ArrivalTable.prescription,
    ArrivalTable.problem,
    ArrivalTable.source_name,
    ArrivalTable.fingerprint,
    ArrivalTable.state,
    ArrivalTable.case_id,
    ArrivalTable.version,
)

CASES: AnySelect = select(
    CaseTable.id,
    CaseTable.version,
    CaseTable.state,
    CaseTable.prescription,
    CaseTable.practice_code,
    PRACTICE_NAME,
    CaseTable.stream,
    CaseTable.arrived,
    CaseTable.pour_by,
    CaseTable.booked,
).outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)

_newest_copy = (
    select(func.coalesce(func.max(DocumentTable.copy), 0)).where(DocumentTable.job_id == JobTable.id).scalar_subquery()
)

JOBS: AnySelect = (
    select(
        JobTable.id.label("job_id"),
        JobTable.number,
        JobTable.case_id,
        JobTable.category,
        JobTable.category_name,
        JobTable.box_colour,
        JobTable.box_hex,
        JobTable.appliances,
        JobTable.state,
        JobTable.outlook,
        JobTable.latest_start,
        JobTable.must_leave,
        JobTable.reply_by,
        JobTable.deadlines,
        CaseTable.state.label("case_state"),
        CaseTable.stream,
        CaseTable.practice_code,
        PRACTICE_NAME.label("practice_name"),
        CaseTable.prescriber,
        CaseTable.patient_label,
        CaseTable.patient_reference,
        CaseTable.arrived,
        CaseTable.appointment,
        _newest_copy.label("copy"),
        JobTable.version,
    )
    .join(CaseTable, CaseTable.id == JobTable.case_id)
    .outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
)

DOCUMENTS: AnySelect = (
    select(
        DocumentTable.id,
        DocumentTable.kind,
        DocumentTable.job_id,
        JobTable.number,
        JobTable.case_id,
        DocumentTable.practice_code,
        DocumentTable.practice_name,
        DocumentTable.copy,
        DocumentTable.reason,
        DocumentTable.state,
        DocumentTable.queue,
        DocumentTable.queue_job,
        DocumentTable.problem,
        DocumentTable.created,
        DocumentTable.created_by,
        DocumentFileTable.document_id.is_not(None),
        DocumentTable.version,
    )
    .outerjoin(JobTable, JobTable.id == DocumentTable.job_id)
    .outerjoin(DocumentFileTable, DocumentFileTable.document_id == DocumentTable.id)
)

_of_the_case = JobTable.case_id == QueryTable.case_id, JobTable.state != "withdrawn"
_own_number = select(JobTable.number).where(JobTable.id == QueryTable.job_id).scalar_subquery()
_first_number = select(func.min(JobTable.number)).where(*_of_the_case).scalar_subquery()
_reply_by = select(func.min(JobTable.reply_by)).where(*_of_the_case).scalar_subquery()

QUERIES: AnySelect = (
    select(
        QueryTable.id,
        QueryTable.case_id,
        func.coalesce(_own_number, _first_number, ""),
        QueryTable.requirement,
        QueryTable.level,
        QueryTable.appliance,
        QueryTable.question,
        QueryTable.because,
        QueryTable.place,
        QueryTable.state,
        QueryTable.opened,
        QueryTable.letter_id,
        CaseTable.practice_code,
        PRACTICE_NAME,
        CaseTable.prescriber,
        CaseTable.patient_label,
        CaseTable.patient_reference,
        CaseTable.arrived,
        CaseTable.appointment,
        _reply_by,
        QueryTable.version,
    )
    .join(CaseTable, CaseTable.id == QueryTable.case_id)
    .outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
)
