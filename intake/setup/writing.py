"""Writes a lab setup: a file with its comments kept, replaced whole or not at all."""

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit import TOMLDocument

from intake.errors import IntakeError

Answers = Mapping[tuple[str, ...], Any]
"""Values by their place in the file: `{("calendar", "country"): "GB"}`; None takes the value out."""


def changed(text: str, answers: Answers) -> str:
    """A setup file's text with some values set; everything else, comments included, stays as it is."""
    document = tomlkit.parse(text.removeprefix("\ufeff"))
    for place, value in answers.items():
        _set(document, place, value)
    return tomlkit.dumps(document)


def with_boxes(text: str, boxes: Mapping[str, tuple[str, str]]) -> str:
    """A setup file's text with the boxes of some categories set: category id to colour name and hex."""
    document = tomlkit.parse(text)
    for category in document["categories"]:
        if category["id"] in boxes:
            colour, value = boxes[category["id"]]
            category["box"].update({"colour": colour, "hex": value})
    return tomlkit.dumps(document)


class NotWritten(IntakeError):
    """A file could not be written; what was there before is as it was."""


def write_whole(path: Path, text: str) -> None:
    """Puts a file in place so that after a crash either the old one or the new one is there.

    Raises:
        NotWritten: the folder cannot be written to, the disk is full, or another program holds the file.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _write_beside(path, text)
    except OSError as error:
        raise NotWritten(f"{path} cannot be written: {error.strerror or error}. It is as it was before.") from error


def _write_beside(path: Path, text: str) -> None:
    """Write under another name in the same folder, and rename when all of it is on the disk."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, name)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _set(document: TOMLDocument, place: tuple[str, ...], value: Any) -> None:
    table: Any = document
    for part in place[:-1]:
        table = table.setdefault(part, tomlkit.table())
    if value is None:
        table.pop(place[-1], None)
    else:
        table[place[-1]] = value
