"""What leaves the store of impressions that were poured."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class PouringRow:
    """The impressions of a case were poured."""

    pouring_id: int
    case_id: int
    at: datetime
    who: str
