"""Remembers which days the benches are full, so that a promise can count their load without reading it each time."""

from collections.abc import Callable
from datetime import datetime, timedelta

from intake.domain.bench_room import BenchRoom

FRESH = timedelta(minutes=10)
"""For so long what was read counts: some dozens of cases are booked meanwhile, hardly what fills a bench."""


class RoomSeen:
    """What was read last, and when. It is shared by a desk and its copies for other persons."""

    def __init__(self) -> None:
        self._at: datetime | None = None
        self._room = BenchRoom()

    def of(self, now: datetime, read: Callable[[], BenchRoom]) -> BenchRoom:
        """What was read last, read anew where it is older than ten minutes."""
        if self._at is None or abs(now - self._at) >= FRESH:
            self._at, self._room = now, read()
        return self._room
