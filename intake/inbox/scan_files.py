"""The scan store: files of deliveries under the digest of their content, each kept once and never changed.

A file is copied beside its place, flushed to the disk and renamed, so that what bears a digest's name is whole. What
was refused lies in a folder of its own and is opened by nobody.
"""

import hashlib
import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from intake.errors import IntakeError

_BLOCK = 1 << 20
REFUSED, COMING = "refused", "coming"
_LEFT_OVER = 86_400
"""After so many seconds what lies in the folder of what is coming was left by a process that was killed."""


class NoRoom(IntakeError):
    """The scan store takes nothing just now; the message says why. Nothing is wrong with the file."""


class NotRead(IntakeError):
    """A file that is to be kept cannot be read; the message says why."""


@dataclass(frozen=True)
class KeptFile:
    """A file that lies in the scan store."""

    sha256: str
    bytes: int
    path: Path


@dataclass(frozen=True)
class ScanFiles:
    """The scan store of a lab."""

    folder: Path

    def keep(self, source: Path | bytes, *, refused: bool = False) -> KeptFile:
        """Keeps the content of a file. Raises NotRead where it cannot be read, and NoRoom where it cannot be kept."""
        digest, size = hashlib.sha256(), 0
        with self._writing():
            beside = self._coming() / uuid4().hex
            try:
                with beside.open("xb") as kept:
                    for block in _blocks(source):
                        digest.update(block)
                        size += kept.write(block)
                    kept.flush()
                    os.fsync(kept.fileno())
                place = self._place(digest.hexdigest(), refused)
                _put(beside, place, size)
            finally:
                with suppress(OSError):
                    beside.unlink(missing_ok=True)
        return KeptFile(digest.hexdigest(), size, place)

    def refuse(self, sha256: str) -> None:
        """Puts a file that cannot be read among those that nobody opens. Raises NoRoom."""
        kept, refused = self._place(sha256, refused=False), self._place(sha256, refused=True)
        with self._writing():
            if kept.exists():
                refused.parent.mkdir(exist_ok=True)
                os.replace(kept, refused)

    def path(self, sha256: str) -> Path:
        """Where the content with a digest lies, whether it was refused or not."""
        kept = self._place(sha256, refused=False)
        return kept if kept.exists() else self._place(sha256, refused=True)

    @contextmanager
    def room(self) -> Iterator[Path]:
        """An empty folder on the disk of the scan store, for what is unpacked; gone afterwards. Raises NoRoom."""
        with self._writing():
            place = Path(tempfile.mkdtemp(dir=self._coming()))
        try:
            yield place
        finally:
            shutil.rmtree(place, ignore_errors=True)

    def _place(self, sha256: str, refused: bool) -> Path:
        return self.folder / (REFUSED if refused else sha256[:2]) / sha256

    def _coming(self) -> Path:
        """The folder of what is being kept, without what killed processes left there."""
        coming = self.folder / COMING
        coming.mkdir(parents=True, exist_ok=True)
        for each in coming.iterdir():
            with suppress(OSError):  # gone meanwhile
                if time.time() - each.stat().st_mtime > _LEFT_OVER:
                    shutil.rmtree(each) if each.is_dir() else each.unlink()
        return coming

    @contextmanager
    def _writing(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            why = error.strerror or type(error).__name__
            raise NoRoom(f"No file can be kept in {self.folder}: {why}.") from None


def _blocks(source: Path | bytes) -> Iterator[bytes]:
    if isinstance(source, bytes):
        yield source
        return
    try:
        with source.open("rb") as file:
            while block := file.read(_BLOCK):
                yield block
    except OSError as error:
        raise NotRead(f"It cannot be read: {error.strerror or type(error).__name__}.") from None


def _put(beside: Path, place: Path, size: int) -> None:
    """Puts a whole file in its place, unless it lies there already: somebody may be reading it."""
    if place.exists() and place.stat().st_size == size:
        return
    place.parent.mkdir(exist_ok=True)
    os.replace(beside, place)
    if os.name == "posix":  # elsewhere a folder cannot be flushed
        folder = os.open(place.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
