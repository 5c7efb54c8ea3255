"""Says what a prescription file lacks, its boxes and its dates; keeps nothing."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from intake.domain.case import Case
from intake.domain.judging import judge
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.reading import CaseError, CaseUnreadable, find_practice, read_case
from intake.domain.verdict import Verdict
from intake.domain.verdict_file import unreadable_file, verdict_file


@dataclass(frozen=True)
class Checked:
    """A file with its case and verdict, or with why it is no case."""

    file: str
    at: datetime
    """The present that the dates were counted from."""
    case: Case | None = None
    verdict: Verdict | None = None
    unreadable: CaseUnreadable | None = None
    fingerprint: str | None = None
    """The SHA-256 of what is in the file; None where it could not be opened."""

    def as_json(self) -> dict[str, Any]:
        """The verdict file, `intake-verdict/1`."""
        if self.unreadable is not None:
            return unreadable_file(self.file, self.unreadable)
        assert self.verdict is not None
        return verdict_file(self.file, self.verdict)


def check_file(path: Path, lab: Lab, practices: Sequence[Practice] | None, now: datetime) -> Checked:
    """The verdict on one prescription file; `practices` is None where there is no directory.

    Nothing is judged as it stood before it arrived: what arrived later than `now` is judged as of its arrival.
    """
    fingerprint = None
    try:
        content = file_content(path)
        fingerprint = fingerprint_of(content)
        case = read_case(content, lab, practices or ())
    except CaseUnreadable as unreadable:
        return Checked(str(path), now, unreadable=unreadable, fingerprint=fingerprint)
    practice, at = find_practice(case.practice, practices or ()), max(now, case.arrived or now)
    verdict = judge(case, lab, practice, at, directory=practices is not None)
    return Checked(str(path), at, case, verdict, fingerprint=fingerprint)


def file_content(path: Path) -> bytes:
    """What is in a file. Raises CaseUnreadable when it cannot be opened."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise CaseUnreadable((CaseError("", "There is no such file."),)) from None
    except (OSError, ValueError) as error:  # a path with a NUL in it is a ValueError
        raise CaseUnreadable((CaseError("", f"The file cannot be opened: {_why(error)}."),)) from None


def fingerprint_of(content: bytes) -> str:
    """What tells a file from every other: the SHA-256 of its content."""
    return hashlib.sha256(content).hexdigest()


def _why(error: OSError | ValueError) -> str:
    return getattr(error, "strerror", None) or str(error)
