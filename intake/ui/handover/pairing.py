"""Which box label belongs to which ticket: the one scanned right after it, or right before."""

import time
from collections.abc import Callable

from intake.domain.scan_codes import ScanCode

TOGETHER_SECONDS = 30.0
"""A label and a ticket that are scanned further apart have nothing to do with one another."""


class Pairing:
    """Ties a ticket and a box label that are scanned one after the other, whichever comes first.

    Args:
        clock: Seconds that only grow.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._ticket: ScanCode | None = None
        self._box: int | None = None
        self._at = 0.0

    def ticket(self, code: ScanCode) -> int | None:
        """A ticket was scanned; the box whose label was scanned right before it."""
        box = self._box if self._is_fresh() else None
        self._ticket, self._box, self._at = (code if box is None else None), None, self._clock()
        return box

    def box(self, number: int) -> ScanCode | None:
        """A box label was scanned; the ticket that was scanned right before it."""
        ticket = self._ticket if self._is_fresh() else None
        self._ticket, self._box, self._at = None, (number if ticket is None else None), self._clock()
        return ticket

    def forget(self) -> None:
        """What is scanned next belongs to nothing before."""
        self._ticket = self._box = None

    def _is_fresh(self) -> bool:
        return self._clock() - self._at <= TOGETHER_SECONDS
