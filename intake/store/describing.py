"""A prescription written into the rows that lists and searches read: the case's columns, its items and its words."""

from sqlalchemy import delete, insert, select
from sqlalchemy.orm import Session

from intake.domain.case import Case, NewPractice
from intake.domain.verdict import Verdict
from intake.store.folding import squash, words_of, words_of_surname
from intake.store.tables import CaseTable, CaseWordTable, ItemTable, PracticeTable


def describe(session: Session, row: CaseTable, case: Case, verdict: Verdict) -> None:
    """Write the prescription into the case's own columns."""
    row.prescription = case
    row.practice_code, row.practice_name = _practice(session, case.practice)
    row.prescriber = case.prescriber or ""
    row.patient_label, row.patient_reference = case.patient.label or "", case.patient.reference or ""
    row.stream, row.hygiene, row.appointment = case.stream, case.hygiene, case.appointment
    row.arrived = case.arrived or row.arrived or row.booked
    row.pour_by = verdict.pour_by.by if verdict.pour_by else None


def write_items(session: Session, row: CaseTable) -> None:
    """Write the items of a prescription."""
    items = [{"case_id": row.id, "position": n, **dict(item)} for n, item in enumerate(row.prescription.items)]
    if items:
        session.connection().execute(insert(ItemTable), items)


def write_words(session: Session, row: CaseTable) -> None:
    """Write the words that a search finds the case by, `@whitening-tray` for what is to be made among them.

    They are those of the patient's label and reference, of the name on the bag, of the prescriber's surname. A practice
    of the directory is searched there, and a parcel by its label.
    """
    words = words_of(row.patient_label) | words_of(row.patient_reference) | words_of_surname(row.prescriber)
    words |= words_of(row.prescription.patient.found or "")
    if row.practice_code is None:
        words |= words_of(row.practice_name)
    words |= {f"@{appliance.type}" for appliance in row.prescription.appliances}
    if words:
        rows = [{"case_id": row.id, "word": word} for word in sorted(words)]
        session.connection().execute(insert(CaseWordTable), rows)


def forget(session: Session, case_id: int) -> None:
    """Take away a case's items and words, before they are written anew."""
    session.connection().execute(delete(ItemTable).where(ItemTable.case_id == case_id))
    session.connection().execute(delete(CaseWordTable).where(CaseWordTable.case_id == case_id))


def _practice(session: Session, practice: str | NewPractice | None) -> tuple[str | None, str]:
    """The code when the directory has it, and the name, or what was written in its place."""
    if isinstance(practice, NewPractice):
        return None, practice.name
    known = (session.get(PracticeTable, practice) or _had_it(session, practice)) if practice else None
    return (known.code, known.name) if known else (None, practice or "")


def _had_it(session: Session, code: str) -> PracticeTable | None:
    """The practice that another one was merged into while a case of that one was typed."""
    found = select(PracticeTable).where(PracticeTable.search_key.contains(f" {squash(code)}", autoescape=True))
    return next((row for row in session.scalars(found) if code in row.details.former), None)
