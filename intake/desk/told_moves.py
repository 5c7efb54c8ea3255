"""The history of boxes and benches in sentences."""

from collections.abc import Callable

from intake.domain.job_number import read_number
from intake.store.rows import EventRow


def _job(event: EventRow) -> str:
    return f"Job {read_number(event.job).shown}" if event.job else "A job"


def _copy(event: EventRow) -> str:
    """The copy of the ticket that was scanned, where it was not the first."""
    copy = event.details.get("copy", 0)
    return f", by copy {copy} of its ticket" if copy and copy > 1 else ""


def _out(event: EventRow) -> str:
    done = f"{_job(event)}: {event.details.get('bench')} is done with it{_copy(event)}."
    box = event.details.get("box")
    return f"{done} Box {box} is free." if box is not None else done


def _back(event: EventRow) -> str:
    bench, reason = event.details.get("bench"), (event.personal or {}).get("reason", "")
    back = f"{_job(event)} brought back to reception{f' from {bench}' if bench else ''}"
    return f"{back}: {reason.rstrip('.')}{'' if reason.endswith('?') else '.'}" if reason else f"{back}."


def _taken_back(event: EventRow) -> str:
    bench = event.details.get("bench")
    what = {
        "handed-over": f"handed over to {bench}",
        "in": f"taken in at {bench}",
        "out": f"{bench} is done with it",
        "back": "brought back to reception",
    }.get(event.details.get("kind", ""), "moved")
    return f"{_job(event)}: the move before was a mistake and was taken back: {what}."


def _boxed(event: EventRow) -> str:
    before = event.details.get("before")
    moved = f", and no longer in box {before}" if before is not None else ""
    return f"{_job(event)} put in box {event.details.get('box')}{moved}."


def _question(event: EventRow, said: str) -> str:
    bench, question = event.details.get("bench"), (event.personal or {}).get("question", "")
    where = f" at {bench}" if bench else ""
    return f"{said}{where}{f': “{question}”' if question else '.'}"


SENTENCES: dict[str, Callable[[EventRow], str]] = {
    "job-handed-over": lambda event: f"{_job(event)} handed over to {event.details.get('bench')}{_copy(event)}.",
    "job-in": lambda event: f"{_job(event)} taken in at {event.details.get('bench')}{_copy(event)}.",
    "job-out": _out,
    "job-back": _back,
    "move-taken-back": _taken_back,
    "box-filled": _boxed,
    "box-freed": lambda event: f"{_job(event)} no longer in box {event.details.get('box')}, which is free.",
    "question-raised": lambda event: _question(event, "Question to the practice raised"),
    "question-taken-back": lambda event: _question(event, "Question to the practice taken back, raised by mistake"),
}
"""The sentence of each kind of event."""
