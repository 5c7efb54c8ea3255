"""The verdict as it is handed out: the form `intake-verdict/1`."""

from typing import Any

from intake.domain.reading import CaseUnreadable
from intake.domain.verdict import Finding, JobVerdict, Verdict

VERDICT_FORMAT = "intake-verdict/1"


def verdict_file(file: str, verdict: Verdict) -> dict[str, Any]:
    """The verdict on a file, ready for JSON; dates in ISO 8601, local to the lab."""
    return {
        "format": VERDICT_FORMAT,
        "file": file,
        "state": verdict.state,
        "jobs": [_job(job) for job in verdict.jobs],
        "findings": [_finding(finding) for finding in verdict.findings],
        "pour_by": verdict.pour_by.by.isoformat(timespec="minutes") if verdict.pour_by else None,
    }


def unreadable_file(file: str, unreadable: CaseUnreadable) -> dict[str, Any]:
    """What is handed out for a file that is no case: every error with its place."""
    return {
        "format": VERDICT_FORMAT,
        "file": file,
        "state": "unreadable",
        "errors": [{"where": error.where, "what": error.what} for error in unreadable.errors],
    }


def _job(job: JobVerdict) -> dict[str, Any]:
    dates = job.deadlines
    earliest = dates.earliest_appointment if dates else None
    return {
        "category": job.category,
        "appliances": list(job.appliances),
        "state": job.state,
        "box": {"colour": job.box.colour, "hex": job.box.hex},
        "reply_by": dates.reply_by.isoformat(timespec="minutes") if dates else None,
        "latest_start": dates.latest_start.isoformat() if dates else None,
        "must_leave": dates.must_leave.isoformat() if dates else None,
        "outlook": dates.outlook if dates else None,
        "earliest_appointment": earliest.isoformat() if earliest else None,
        "route": [{"bench": step.bench, "by": step.by.isoformat()} for step in dates.route] if dates else [],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "requirement": finding.requirement,
        "level": finding.level,
        "appliance": finding.appliance,
        "question": finding.question,
        "because": finding.because,
    }
