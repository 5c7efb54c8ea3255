"""Opens an arrival or a booked case in the form: what is known of it as it would be typed."""

from intake.desk.arrivals import kept_case
from intake.desk.desk import Desk
from intake.desk.scan_looks import scans_in_form, scans_of
from intake.domain.case import Case
from intake.domain.form_writing import written_form
from intake.domain.half_typed import HalfTyped, new_token
from intake.domain.job_number import read_number
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.store.rows import ArrivalRow, CaseRow


class NotHere(IntakeError):
    """What was to be opened is no longer there."""


def arrival_form(desk: Desk, arrival_id: int) -> HalfTyped:
    """The form of an arrival; empty, but for when it came, where its file could not be read. Raises NotHere.

    What came in a file is booked with the file's fingerprint, whichever way it goes: the same file is one case.
    """
    row = desk.store.read.arrival(arrival_id)
    if row is None or row.state != "waiting":
        raise NotHere(_no_longer(desk, row))
    half = HalfTyped(
        token=row.fingerprint or new_token(),
        typed=_typed(desk, row),
        arrival_id=arrival_id,
        case_id=row.prescription.get("case_id"),
        version=row.prescription.get("version"),
        kept=_kept(row),
    )
    return scans_in_form(desk, half, scans_of(desk, arrival_id))


def case_form(desk: Desk, case_id: int) -> HalfTyped:
    """The form of a booked case, to amend it. Raises NotHere."""
    row: CaseRow | None = desk.store.read.case(case_id)
    if row is None:
        raise NotHere(f"There is no case {case_id} here.")
    typed = written_form(row.case, desk.lab, desk.practices())
    return HalfTyped(typed=typed, case_id=case_id, version=row.version, kept=row.case)


def _no_longer(desk: Desk, row: ArrivalRow | None) -> str:
    if row is not None and row.case_id is not None:
        numbers = listed([read_number(job.number).shown for job in desk.store.read.jobs_of(row.case_id)])
        return f"Booked before, as {numbers}: it waits no longer. Look it up by its number."
    return "This arrival no longer waits: it was taken off the list at another desk."


def _typed(desk: Desk, row: ArrivalRow) -> dict[str, str]:
    if "typed" in row.prescription:
        return dict(row.prescription["typed"])
    case = _kept(row) or Case()
    dated = case if case.arrived else case.model_copy(update={"arrived": row.arrived})
    return written_form(dated, desk.lab, desk.practices())


def _kept(row: ArrivalRow) -> Case | None:
    if "case" in row.prescription:
        return Case.model_validate(row.prescription["case"])
    return kept_case(row.prescription)
