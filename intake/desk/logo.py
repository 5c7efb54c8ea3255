"""Takes the lab's logo into the folder of the setup, where letters and forms look for it."""

import os
from itertools import count
from pathlib import Path

from PIL import Image

from intake.desk.desk import Desk
from intake.errors import IntakeError
from intake.setup.writing import NotWritten

FORMATS = {"PNG": ".png", "JPEG": ".jpg"}
MOST_BYTES = 20_000_000


class LogoRefused(IntakeError):
    """A file cannot be the logo; the message says why."""


def take_logo(desk: Desk, path: Path) -> str:
    """Copies a picture into the desk's folder and gives its name there; one that lies there already is taken as it is.

    No logo that is there is overwritten: it counts until the setup that names the new one is in force.

    Raises:
        LogoRefused: it is no PNG or JPEG that can be read, or too large.
        NotWritten: the folder cannot be written to.
    """
    assert desk.folder is not None, "this desk was opened without a folder"
    content, kind = _picture(path)
    if path.parent.resolve() == desk.folder.resolve():
        return path.name
    names = (f"logo{'' if number == 1 else f'-{number}'}{FORMATS[kind]}" for number in count(1))
    target = next(desk.folder / name for name in names if not (desk.folder / name).exists())
    beside = target.with_name(f".{target.name}.part")
    try:
        beside.write_bytes(content)
        os.replace(beside, target)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise NotWritten(f"{target} cannot be written: {error.strerror or error}.") from error
    return target.name


def _picture(path: Path) -> tuple[bytes, str]:
    """What is in a file, and whether that is PNG or JPEG."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise LogoRefused(f"{path.name} has more than {MOST_BYTES // 1_000_000} MB; take a smaller picture.")
        content = path.read_bytes()
        with Image.open(path, formats=list(FORMATS)) as picture:
            picture.load()
            return content, str(picture.format)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        raise LogoRefused(f"{path.name} is no PNG or JPEG picture that can be read.") from None
