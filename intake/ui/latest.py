"""Asks for the newest thing only: while one answer is on its way, the last of what was asked meanwhile waits."""

from collections.abc import Callable
from typing import Any

from intake.ui.jobs import Jobs

Work = Callable[[], Any]
Done = Callable[[Any], None]
Failed = Callable[[Exception], None]


class Latest:
    """One kind of question whose older answers are of no use.

    Args:
        jobs: Runs the questions.
    """

    def __init__(self, jobs: Jobs) -> None:
        self._jobs = jobs
        self._asked = 0
        self._under_way = False
        self._next: tuple[Work, Done, Failed] | None = None

    def ask(self, work: Work, done: Done, failed: Failed) -> None:
        """Runs work on the store's thread; only the answer to the newest question is delivered."""
        self._asked += 1
        self._next = (work, done, failed)
        if not self._under_way:
            self._run()

    def forget(self) -> None:
        """Wants no answer any more."""
        self._asked += 1
        self._next = None

    def _run(self) -> None:
        if self._next is None:
            return
        (work, done, failed), self._next = self._next, None
        number, self._under_way = self._asked, True
        self._jobs.run(work, lambda answer: self._back(number, done, answer), lambda e: self._back(number, failed, e))

    def _back(self, number: int, deliver: Callable[[Any], None], what: Any) -> None:
        self._under_way = False
        try:
            if number == self._asked:
                deliver(what)
        finally:
            self._run()
