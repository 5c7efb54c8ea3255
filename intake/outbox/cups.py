"""The print queues of Linux and macOS: CUPS by its commands `lp` and `lpstat`."""

import os
import re
import subprocess
from collections.abc import Sequence
from http.client import HTTPException

from intake.outbox.ipp import JobLost, job_state
from intake.outbox.print_queue import (
    JobState,
    PrinterTrouble,
    QueueInfo,
    QueueJob,
    QueueMissing,
    QueueStopped,
    SizeMm,
)

# ISO 216 sheets by their self-describing names of PWG 5101.1; other sizes are custom media.
_ISO_SHEETS = {(105, 148): "iso_a6_105x148mm", (148, 210): "iso_a5_148x210mm", (210, 297): "iso_a4_210x297mm"}
# The job-states of RFC 8011, 5.3.7: pending, held, processing, processing-stopped, canceled, aborted, completed.
_STATES: dict[int | None, JobState] = {
    3: "waiting",
    4: "waiting",
    5: "printing",
    6: "waiting",
    7: "failed",
    8: "failed",
    9: "done",
}


class Cups:
    """The queues of this computer's CUPS."""

    def __init__(self, server: str | None = None, timeout: float = 15) -> None:
        """Takes the server as `host:port`, this computer's own when None, and the seconds to wait for an answer."""
        # Messages are read by their English words; UTF-8 keeps the names of queues as they are.
        self._environment = {**os.environ, "LC_ALL": "C.UTF-8", "LANGUAGE": ""}
        if server:
            self._environment["CUPS_SERVER"] = server
        self._timeout = timeout

    def queues(self) -> tuple[QueueInfo, ...]:
        """The queues of this computer, those that are stopped or refuse jobs among them."""
        done = self._run(["lpstat", "-a", "-p"])
        if done.returncode != 0 and "No destinations" not in done.stderr:
            raise PrinterTrouble(f"The print service of this computer does not answer: {_said(done)}")
        return read_queues(done.stdout)

    def submit(self, pdf: bytes, title: str, queue: str, size_mm: SizeMm) -> QueueJob:
        """Hands a PDF to the queue of exactly this name, as `PrintQueue.submit` says."""
        if not pdf.startswith(b"%PDF-"):
            raise ValueError("a queue is handed PDF only")
        self._check(queue)
        options = [f"media={media(size_mm)}", "print-scaling=none", "sides=one-sided", "number-up=1"]
        words = ["lp", "-d", queue, "-t", plain_title(title), "-n", "1"]
        done = self._run([*words, *(word for option in options for word in ("-o", option))], pdf)
        if done.returncode != 0:
            self._check(queue)
            raise PrinterTrouble(f"The print queue “{queue}” did not take the job: {_said(done)}")
        return read_request(done.stdout, queue)

    def state(self, job: QueueJob) -> JobState:
        """What the queue says of a job."""
        server = self._run(["lpstat", "-H"]).stdout.strip()
        try:
            return _STATES.get(job_state(server, job.queue, job.number, self._timeout), "unknown")
        except (OSError, HTTPException, JobLost) as error:
            raise PrinterTrouble(f"The print service does not say how job {job.number} goes: {error}") from error

    def _check(self, queue: str) -> None:
        """Raises what keeps a queue from printing a job now."""
        present = {info.name: info for info in self.queues()}
        if queue not in present:
            raise QueueMissing(queue, tuple(present))
        if not present[queue].accepting:
            raise QueueStopped(queue, present[queue].state)

    def _run(self, words: Sequence[str], sent: bytes = b"") -> subprocess.CompletedProcess[str]:
        try:
            done = subprocess.run(
                words, input=sent, capture_output=True, env=self._environment, timeout=self._timeout, check=False
            )
        except FileNotFoundError:
            raise PrinterTrouble(
                f"This computer has no command “{words[0]}”. Install CUPS (on Debian: cups and cups-client)."
            ) from None
        except subprocess.TimeoutExpired:
            raise PrinterTrouble(
                f"The print service did not answer within {self._timeout:g} seconds. "
                "Look whether the paper came out before you send it again."
            ) from None
        out, err = (part.decode("utf-8", "replace") for part in (done.stdout, done.stderr))
        return subprocess.CompletedProcess(done.args, done.returncode, out, err)


def read_queues(listed: str) -> tuple[QueueInfo, ...]:
    """The queues in what `lpstat -a -p` says, by name."""
    refusing: dict[str, str | None] = {}
    stopped: dict[str, str] = {}
    for entry in re.findall(r"^\S.*(?:\n\s.*)*", listed, re.MULTILINE):
        line, *more = (part.strip() for part in entry.splitlines())
        because = f" ({more[0]})" if more and more[0] else ""
        if match := re.match(r"printer (\S+) disabled since ", line):
            stopped[match[1]] = f"stopped{because}"
        elif match := re.match(r"(\S+) (not )?accepting requests since ", line):
            refusing[match[1]] = f"refusing jobs{because}" if match[2] else None
    states = {name: stopped.get(name) or refused for name, refused in refusing.items()}
    return tuple(QueueInfo(name, state is None, state or "ready") for name, state in sorted(states.items()))


def read_request(said: str, queue: str) -> QueueJob:
    """The job in what `lp` says, which has to lie in the queue that was named."""
    match = re.search(r"^request id is (\S+)-(\d+) ", said, re.MULTILINE)
    if match is None or match[1] != queue:
        raise PrinterTrouble(f"The print queue “{queue}” gave no job number; the print service said: {said.strip()}")
    return QueueJob(queue, int(match[2]))


def media(size_mm: SizeMm) -> str:
    """A size in millimetres as CUPS names it."""
    width, height = size_mm
    return _ISO_SHEETS.get((round(width), round(height)), f"Custom.{width:g}x{height:g}mm")


def plain_title(title: str) -> str:
    """A title on one line without control characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in title).split())[:120]


def _said(done: subprocess.CompletedProcess[str]) -> str:
    """The last words of a command that failed."""
    return (done.stderr or done.stdout).strip() or f"{done.args[0]} ended with {done.returncode}"
