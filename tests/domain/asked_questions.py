"""Open questions, a practice and a moment for the tests of ringing and writing."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from hypothesis import strategies as st

from intake.domain.practice import OpeningHours, Practice
from intake.resources import demo
from intake.setup.reading import read_setup


@dataclass(frozen=True)
class Asked:
    """An open question, as ringing sees it."""

    query_id: int
    opened: datetime
    reply_by: datetime | None = None
    expected_on: date | None = None
    letter_on: datetime | None = None
    letters: int = 0


LAB = read_setup(demo("lab.toml"))
PRACTICE = Practice(
    code="MARLOW1",
    name="Marlowe House",
    hours=(OpeningHours(weekdays=(0, 1, 2, 3, 4), open=("08:30-12:30", "13:30-17:30")),),
)
NOW = datetime(2026, 11, 25, 10, 0)
"""A Wednesday morning."""
STOPS = Asked(1, NOW - timedelta(hours=1), reply_by=datetime(2026, 12, 1, 12))


asked_ones = st.builds(
    Asked,
    query_id=st.integers(1, 99),
    opened=st.just(NOW),
    reply_by=st.none() | st.datetimes(NOW - timedelta(days=3), NOW + timedelta(days=9)),
    expected_on=st.none() | st.dates(date(2026, 11, 20), date(2026, 12, 3)),
    letter_on=st.none() | st.datetimes(NOW - timedelta(days=9), NOW),
    letters=st.just(1),
)
