"""Jobs that were looked up, as they are handed out to other programs: the form `intake-job/1`."""

from datetime import date, datetime
from typing import Any

from intake.desk.desk import Desk
from intake.desk.look_up import jobs_that_fit
from intake.domain.job_number import read_number
from intake.store.rows import JobRow

JOB_FORMAT = "intake-job/1"


def job_files(desk: Desk, words: str, limit: int = 50) -> tuple[dict[str, Any], ...]:
    """The jobs that every word fits, the likeliest first, ready for JSON; dates in ISO 8601, local to the lab."""
    return tuple(job_file(job) for job in jobs_that_fit(desk, words, limit))


def job_file(job: JobRow) -> dict[str, Any]:
    """One job as it stands."""
    return {
        "format": JOB_FORMAT,
        "number": job.number,
        "shown": read_number(job.number).shown,
        "copy": job.copy,
        "state": job.state,
        "category": job.category,
        "box": {"colour": job.box_colour, "hex": job.box_hex},
        "practice": {"code": job.practice_code, "name": job.practice_name},
        "patient": {"label": job.patient_label or None, "reference": job.patient_reference or None},
        "arrived": _iso(job.arrived),
        "appointment": _iso(job.appointment),
        "latest_start": _iso(job.latest_start),
        "must_leave": _iso(job.must_leave),
        "reply_by": _iso(job.reply_by),
        "outlook": job.outlook,
    }


def _iso(moment: date | datetime | None) -> str | None:
    if isinstance(moment, datetime):
        return moment.isoformat(timespec="minutes")
    return moment.isoformat() if moment else None
