"""The console: what a command says on it, and how it ends."""

import errno
import io
import json
import os
import sys
from collections.abc import Callable
from typing import Any

from intake.errors import IntakeError

REFUSED = 2
STOPPED = 130
"""As a shell tells of a program that Ctrl+C has ended."""


def in_words(act: Callable[[], int]) -> int:
    """Runs something; whatever ends it that a person can put right is one line of the error output, no traceback."""
    _write_anything()
    try:
        code = act()
        if sys.stdout is not None:  # a program of Windows without a console has none
            sys.stdout.flush()
        return code
    except IntakeError as problem:
        return _ended(str(problem))
    except KeyboardInterrupt:
        return _ended("Stopped. What was said to be saved is saved.", STOPPED)
    except OSError as error:
        if _reader_left(error):
            _forget_output()
            return REFUSED
        return _ended(_trouble_with_file(error))


def json_line(values: dict[str, Any]) -> str:
    """One line of JSON; where the output is not UTF-8, in ASCII, so that it is JSON nevertheless."""
    unicode = (sys.stdout.encoding or "").casefold().replace("-", "") == "utf8"
    return json.dumps(values, ensure_ascii=not unicode)


def _ended(sentence: str, code: int = REFUSED) -> int:
    print(sentence, file=sys.stderr)
    return code


def _write_anything() -> None:
    """A console that lacks a letter gets a question mark in its place."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _reader_left(error: OSError) -> bool:
    """Whether the program that the output went to has ended, as `head` does when it has enough."""
    if sys.platform == "win32" and error.filename is None:
        return error.errno in (errno.EPIPE, errno.EINVAL)
    return isinstance(error, BrokenPipeError)


def _forget_output() -> None:
    """Python writes what is left when it ends: let it go nowhere."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _trouble_with_file(error: OSError) -> str:
    where = f"{error.filename}: " if error.filename else ""
    if error.errno == errno.ENOSPC:
        return f"{where}The disk is full. Make room and do it again."
    return f"{where}{error.strerror or error}."
