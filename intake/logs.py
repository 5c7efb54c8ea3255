"""The log: what Intake did, for whoever has to find out why something went wrong. It holds no patient.

A record is a constant sentence with values: `logger.info("Booked %s for practice %s", Id(number), Id(code))`. Numbers,
dates and what is marked as an `Id` are written; every other value, text above all, is written as “…”, and so are the
messages of exceptions, which quote what was typed (the frames and the type stay). Records of other packages keep
their logger and place only. That the sentence itself is constant is held by ruff (G004).
"""

import contextlib
import logging
import os
import queue
import time
import traceback
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from datetime import time as clock_time
from logging.handlers import QueueHandler, QueueListener, RotatingFileHandler
from pathlib import Path

WITHHELD = "…"
_PLAIN = (int, float, date, clock_time, timedelta, type(None))
_FILES_KEPT = 20
_BYTES_EACH = 1_000_000


class Id(str):
    """Text that names a thing and no person: a job number, a practice code, a requirement, a queue."""

    __slots__ = ()


@contextlib.contextmanager
def writing(folder: Path, level: int = logging.INFO) -> Iterator[Path | None]:
    """Writes the log of this process into a file of its own while the block runs; a thread does the writing.

    Yields:
        The file; None when the folder cannot be written to, since work goes on without a log.
    """
    root = logging.getLogger()
    before = root.level
    try:
        file = _new_file(folder)
        writer = RotatingFileHandler(file, maxBytes=_BYTES_EACH, backupCount=3, encoding="utf-8")
    except OSError:
        yield None
        return
    records: queue.SimpleQueue[logging.LogRecord] = queue.SimpleQueue()
    handler = QueueHandler(records)
    handler.setFormatter(OneLine())
    listener = QueueListener(records, writer)
    root.addHandler(handler)
    root.setLevel(level)
    listener.start()
    try:
        yield file
    finally:
        root.removeHandler(handler)
        root.setLevel(before)
        listener.stop()
        writer.close()


class OneLine(logging.Formatter):
    """A record as one line: when, level, logger, sentence; the frames of an exception from the innermost out."""

    def format(self, record: logging.LogRecord) -> str:
        """The record's line, with nothing in it that could be a patient."""
        when = datetime.fromtimestamp(record.created).astimezone().isoformat(timespec="milliseconds")
        line = f"{when} {record.levelname} {record.name} {_sentence(record)}"
        if record.exc_info and record.exc_info[1]:
            line += f" | {_exception(record.exc_info[1])}"
        return "".join(c if c.isprintable() else " " for c in line)


def _sentence(record: logging.LogRecord) -> str:
    """The constant sentence with those of its values that may be written."""
    if not (record.name == "intake" or record.name.startswith("intake.")) or not isinstance(record.msg, str):
        return f"({record.module}:{record.lineno})"
    if not record.args:
        return record.msg
    if isinstance(record.args, tuple):
        return _filled(record.msg, tuple(_shown(value) for value in record.args))
    return _filled(record.msg, {name: _shown(value) for name, value in record.args.items()})


def _filled(sentence: str, values: object) -> str:
    """The sentence with its values; where a value was withheld from a place for a number, the sentence alone."""
    try:
        return sentence % values
    except (TypeError, ValueError, KeyError):
        return sentence


def _shown(value: object) -> object:
    if isinstance(value, (*_PLAIN, Id)):
        return value
    return value.__name__ if isinstance(value, type) else WITHHELD


def _exception(error: BaseException) -> str:
    """The types and places of an exception and of what caused it, without their messages."""
    chain: list[BaseException] = []
    following: BaseException | None = error
    while following is not None and following not in chain:
        chain.append(following)
        following = following.__cause__ or (None if following.__suppress_context__ else following.__context__)
    return " | from ".join(_place(one) for one in chain)


def _place(error: BaseException) -> str:
    frames = traceback.extract_tb(error.__traceback__)
    places = " < ".join(f"{Path(frame.filename).name}:{frame.lineno} {frame.name}" for frame in reversed(frames))
    kind = type(error).__name__ + (f" errno {error.errno}" if isinstance(error, OSError) else "")
    return f"{kind} at {places}"


def _new_file(folder: Path) -> Path:
    """A new name for this process; the oldest files beyond those that are kept go."""
    folder.mkdir(parents=True, exist_ok=True)
    for old in sorted(folder.glob("intake-*.log*"))[: -_FILES_KEPT + 1]:
        with contextlib.suppress(OSError):  # another desk's process may hold it or have removed it
            old.unlink()
    return folder / f"intake-{time.strftime('%Y%m%d-%H%M%S')}-{os.getpid()}.log"
