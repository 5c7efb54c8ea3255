"""A form as it stands: what is typed so far, and what it belongs to."""

from dataclasses import dataclass, field
from uuid import uuid4

from intake.domain.case import Case


def new_token() -> str:
    """A mark that no other form has: a form is booked once, whatever happens in between."""
    return uuid4().hex


@dataclass(frozen=True)
class HalfTyped:
    """A form as it stands.

    Attributes:
        token: Made once for each form.
        typed: Its texts by place.
        arrival_id: The arrival that it belongs to, if any.
        case_id: The case that it amends, or takes up again after it was taken back, if any.
        version: That case's version when it was read.
        kept: The case as it was before, of which something may have no field in the form.
    """

    token: str = field(default_factory=new_token)
    typed: dict[str, str] = field(default_factory=dict)
    arrival_id: int | None = None
    case_id: int | None = None
    version: int | None = None
    kept: Case | None = None
