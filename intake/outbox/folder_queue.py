"""A folder that takes the place of the printers: it keeps each PDF as a numbered file."""

import os
import re
import unicodedata
from pathlib import Path

from intake.outbox.print_queue import JobState, PrinterTrouble, QueueInfo, QueueJob, SizeMm


class FolderQueue:
    """Keeps what would have been printed, as `0001 Title.pdf`. It stands in for every queue, whatever its name."""

    def __init__(self, path: Path) -> None:
        """Takes the folder; it is made with the first job."""
        self._path = path

    def queues(self) -> tuple[QueueInfo, ...]:
        """The folder as the one queue there is."""
        return (QueueInfo(self._path.name, True, "ready, keeps files"),)

    def submit(self, pdf: bytes, title: str, queue: str, size_mm: SizeMm) -> QueueJob:
        """Keeps a PDF as the next file: whole or not at all. The size is the PDF's own.

        Raises:
            PrinterTrouble: the folder cannot be written to.
        """
        try:
            self._path.mkdir(parents=True, exist_ok=True)
            return QueueJob(queue, self._keep(pdf, file_title(title)))
        except OSError as error:
            raise PrinterTrouble(f"The folder {self._path} cannot be written to: {error.strerror or error}") from error

    def state(self, job: QueueJob) -> JobState:
        """A job is done when its file is there."""
        return "done" if self._file(job.number) else "unknown"

    def file(self, job: QueueJob) -> Path | None:
        """The file of a job, None when it is not there (any more)."""
        return self._file(job.number)

    def _keep(self, pdf: bytes, title: str) -> int:
        """Writes under the first free number, which the unfinished file holds against other processes."""
        number = max((int(match[0]) for match in self._numbers()), default=0) + 1
        while True:
            part = self._path / f".{number:04d}.part"
            try:
                with part.open("xb") as file:
                    if self._file(number) is None:
                        file.write(pdf)
                        file.flush()
                        os.fsync(file.fileno())
                        file.close()
                        part.replace(self._path / f"{number:04d} {title}.pdf".replace(" .pdf", ".pdf"))
                        return number
                part.unlink()
            except FileExistsError:
                pass
            number += 1

    def _numbers(self) -> list[re.Match[str]]:
        names = (entry.name for entry in self._path.iterdir())
        return [match for name in names if (match := re.match(r"\d{4,}", name)) and name.endswith(".pdf")]

    def _file(self, number: int) -> Path | None:
        return next(iter(sorted(self._path.glob(f"{number:04d}[ .]*pdf"))), None)


def file_title(title: str) -> str:
    """A title as part of a file name on any system: no path, no control or reserved character, 80 at most."""
    kept = re.sub(r'[<>:"/\\|?*]', "-", unicodedata.normalize("NFC", title))
    return " ".join("".join(c if c.isprintable() else " " for c in kept).split())[:80].strip(" .")
