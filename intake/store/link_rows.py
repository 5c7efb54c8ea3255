"""What leaves the store of cases that belong together, or that may be the same."""

from dataclasses import dataclass
from datetime import datetime

from intake.domain.case import Case
from intake.store.words import CaseState, LinkKind, Stream


@dataclass(frozen=True)
class LinkRow:
    """What one case is to another one."""

    link_id: int
    kind: LinkKind
    case_id: int
    """The case that was split off, made anew, or merged into the other."""
    of_case_id: int
    at: datetime
    who: str
    reason: str


@dataclass(frozen=True)
class LikeRow:
    """A case that may be the same as another one."""

    case_id: int
    version: int
    state: CaseState
    key: str
    """The key of its practice."""
    practice_name: str
    case: Case
    stream: Stream
    arrived: datetime
