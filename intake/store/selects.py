"""The selects behind the rows: their columns in the order of the row's fields."""

from typing import Any

from sqlalchemy import ColumnElement, Select, func, select
from sqlalchemy.orm import aliased

from intake.store.keys import CASE_KEY
from intake.store.tables import (
    ArrivalTable,
    CaseTable,
    DocumentFileTable,
    DocumentTable,
    JobTable,
    PracticeTable,
    QueryTable,
)
from intake.store.waiting_tables import AnswerTable, AttemptTable, ReplyTable

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
    CaseTable.edition,
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
        JobTable.bench,
        JobTable.moved,
        JobTable.finished,
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
        DocumentTable.way,
        DocumentTable.address,
        DocumentTable.tried,
        DocumentTable.tries,
        DocumentTable.about,
        DocumentFileTable.document_id.is_not(None),
        DocumentTable.version,
    )
    .outerjoin(JobTable, JobTable.id == DocumentTable.job_id)
    .outerjoin(DocumentFileTable, DocumentFileTable.document_id == DocumentTable.id)
)

_of_the_case = JobTable.case_id == QueryTable.case_id, JobTable.state != "withdrawn"
_own_job = aliased(JobTable)
_first_number = select(func.min(JobTable.number)).where(*_of_the_case).scalar_subquery()
_reply_by = select(func.min(JobTable.reply_by)).where(*_of_the_case).scalar_subquery()

QUERIES: AnySelect = (
    select(
        QueryTable.id,
        QueryTable.case_id,
        func.coalesce(_own_job.number, _first_number, ""),
        QueryTable.requirement,
        QueryTable.level,
        QueryTable.appliance,
        QueryTable.question,
        QueryTable.because,
        QueryTable.place,
        QueryTable.state,
        QueryTable.opened,
        QueryTable.letter_id,
        QueryTable.letters,
        QueryTable.expected_on,
        func.coalesce(QueryTable.expected, ""),
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
    .outerjoin(_own_job, _own_job.id == QueryTable.job_id)
    .outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
)

_open = QueryTable.state == "open", CaseTable.state == "open"

RING: AnySelect = (
    select(
        QueryTable.id,
        QueryTable.case_id,
        CASE_KEY,
        PRACTICE_NAME,
        QueryTable.requirement,
        QueryTable.opened,
        _reply_by,
        QueryTable.expected_on,
        QueryTable.letter_id,
        DocumentTable.created,
        QueryTable.letters,
    )
    .join(CaseTable, CaseTable.id == QueryTable.case_id)
    .outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
    .outerjoin(DocumentTable, DocumentTable.id == QueryTable.letter_id)
    .where(*_open)
)

EXPECTED: AnySelect = (
    select(
        QueryTable.id,
        QueryTable.case_id,
        CASE_KEY,
        CaseTable.practice_code,
        PRACTICE_NAME,
        QueryTable.requirement,
        QueryTable.appliance,
        QueryTable.expected_on,
        QueryTable.expected,
        QueryTable.promise,
        CaseTable.patient_label,
        CaseTable.patient_reference,
    )
    .join(CaseTable, CaseTable.id == QueryTable.case_id)
    .outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
    .where(*_open, QueryTable.expected_on.is_not(None))
)

ATTEMPTS: AnySelect = select(
    AttemptTable.id,
    AttemptTable.practice_key,
    AttemptTable.practice_name,
    AttemptTable.at,
    AttemptTable.who,
    AttemptTable.outcome,
    AttemptTable.telephone,
    AttemptTable.note,
    AttemptTable.ring_back,
).where(~AttemptTable.taken_back)

ANSWERS: AnySelect = (
    select(
        AnswerTable.id,
        AnswerTable.query_id,
        AnswerTable.case_id,
        CASE_KEY,
        QueryTable.requirement,
        QueryTable.appliance,
        AnswerTable.at,
        AnswerTable.who,
        AnswerTable.kind,
        AnswerTable.answer,
        AnswerTable.speaker,
        AnswerTable.authority,
        AnswerTable.route,
        AnswerTable.counts,
        AnswerTable.spoken,
        AnswerTable.confirmed,
        AnswerTable.confirmed_how,
        AnswerTable.letter_id,
        AnswerTable.reply_id,
        AnswerTable.taken_back,
    )
    .join(QueryTable, QueryTable.id == AnswerTable.query_id)
    .join(CaseTable, CaseTable.id == AnswerTable.case_id)
)

REPLIES: AnySelect = select(
    ReplyTable.id,
    ReplyTable.fingerprint,
    ReplyTable.source_name,
    ReplyTable.at,
    ReplyTable.letter_id,
    ReplyTable.practice_key,
    ReplyTable.state,
    ReplyTable.kind,
    ReplyTable.problem,
    ReplyTable.content,
)
