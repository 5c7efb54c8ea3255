"""Checks scans in a process of their own: the window stays quick, and a file that misbehaves takes nothing with it.

A check that takes too long is stopped and told of; the process is started anew for the next. One process lives through
many checks, since numpy and scipy take half a second to load.
"""

import multiprocessing
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

from intake.domain.scan_rules import ScanRules
from intake.errors import IntakeError
from intake.inbox.mesh.checked import CheckedArches, CheckedMesh, Placed

if TYPE_CHECKING:
    from multiprocessing.context import SpawnProcess

LONGEST = 120.0
"""Seconds that one check may take; a mesh of 500,000 triangles takes some two."""
_LOOK = 0.1
"""Seconds between two looks at whether it is to stop."""
_TRIES = 2
"""A process that ends may have been ended for another reason than what it was asked: the next one is asked, too."""


class CheckStopped(IntakeError):
    """A check was stopped by a person; what was checked waits for it still."""


@dataclass
class Worker:
    """A process that checks scans, one after the other, for one thread at a time."""

    longest: float = LONGEST
    stopped: Callable[[], bool] = field(default=lambda: False)
    """Asked while a check runs: whether a person wants it to stop."""
    _process: "SpawnProcess | None" = None
    _line: "Connection[Any, Any] | None" = None

    def mesh(self, path: Path, name: str, rules: ScanRules) -> CheckedMesh:
        """Checks one mesh. Raises CheckStopped; whatever else goes wrong is a mesh that cannot be read."""
        found: CheckedMesh | str = self._ask("mesh", path, name, rules)
        return CheckedMesh(None, found) if isinstance(found, str) else found

    def arches(self, upper: Placed, lower: Placed, bite: Placed | None) -> CheckedArches | str:
        """Measures two arches; why not, where they could not be. Raises CheckStopped."""
        found: CheckedArches | str = self._ask("arches", upper, lower, bite)
        return found

    def close(self) -> None:
        """Ends the process; the next check begins another."""
        process, line = self._process, self._line
        self._process = self._line = None
        if process is not None:
            process.kill()
            process.join()
        if line is not None:
            line.close()

    def _ask(self, what: str, *words: Any) -> Any:
        """What the process answers; a sentence where it does not."""
        for _ in range(_TRIES):
            try:
                return self._answer(what, words)
            except (EOFError, OSError):  # the process is gone: killed by the system, most likely for want of memory
                self.close()
        return "The check ended by itself, most likely because the mesh needs more memory than this machine has."

    def _answer(self, what: str, words: tuple[Any, ...]) -> Any:
        line = self._started()
        line.send((what, words))
        waited = 0.0
        while not line.poll(_LOOK):
            waited += _LOOK
            if self.stopped():
                self.close()
                raise CheckStopped("The check was stopped; it begins again when Intake is started again.")
            if waited > self.longest:
                self.close()
                return f"The check took longer than {self.longest:.0f} seconds and was stopped."
        return line.recv()

    def _started(self) -> "Connection[Any, Any]":
        if self._line is not None and self._process is not None and self._process.is_alive():
            return self._line
        self.close()
        spawning = multiprocessing.get_context("spawn")
        line, theirs = spawning.Pipe()
        process = spawning.Process(target=_serve, args=(theirs,), name="scans", daemon=True)
        with theirs:
            process.start()
        self._process, self._line = process, line
        return line


def _serve(line: "Connection[Any, Any]") -> None:
    """The life of the process: one check after the other, until nobody asks any more."""
    from intake.inbox.mesh.checking import check_arches, check_mesh

    checks: dict[str, Callable[..., Any]] = {"mesh": check_mesh, "arches": check_arches}
    with suppress(EOFError, OSError, KeyboardInterrupt):
        while True:
            what, words = line.recv()
            line.send(checks[what](*words))
