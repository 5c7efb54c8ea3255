"""Scans as a practice sends them: files in a folder, taken in at a desk, and checked there."""

from functools import cache

from intake.desk.receive import receive
from intake.desk.scan_checks import CheckHere, check_all
from tests.scans import arches
from tests.scans.writers import ply

TRIANGLES = 2_000
"""Enough of an arch for every check, and quick."""


@cache
def pair(scale=1.0):
    """Two arches that bite, of another patient for each scale."""
    made = arches.pair(TRIANGLES)
    return arches.Pair(arches.scaled(made.upper, scale), arches.scaled(made.lower, scale))


def two_arches(scale=1.0):
    """What most practices send: an upper and a lower that say so."""
    return {"upper.ply": pair(scale).upper, "lower.ply": pair(scale).lower}


def unnamed(scale=1.0, unit="mm"):
    """The same, by names that tell no jaw, lying somewhere in space."""
    moved = arches.moved_together(pair(scale), 5)
    return {f"scan {n}.ply": arches.in_unit(mesh, unit) for n, mesh in enumerate((moved.upper, moved.lower), 1)}


def put(folder, files):
    """Writes files into a folder, which is made: meshes as PLY, bytes as they are."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        (folder / name).write_bytes(content if isinstance(content, bytes) else ply(content))
    return folder


def bring(desk, folder, files, checked=True):
    """Takes files of one folder in as one arrival, and checks the scans among them; gives the arrival."""
    received = receive(desk, [put(folder, files)])
    (arrival_id,) = {each.arrival_id for each in received}
    if checked:
        check_all(desk, CheckHere())
    return arrival_id


def mail(text, files=None, sender="desk@marlowe-house.example.com", name="m1"):
    """A message as it comes by mail, as bytes."""
    from email.message import EmailMessage

    message = EmailMessage()
    message["From"], message["To"] = f"Reception <{sender}>", "scans@lab.example.com"
    message["Subject"], message["Message-ID"] = "Scans", f"<{name}@example.com>"
    message["Date"] = "Wed, 25 Nov 2026 11:20:00 +0000"
    message.set_content(text)
    for file, mesh in (files or {}).items():
        message.add_attachment(ply(mesh), maintype="model", subtype="ply", filename=file)
    return bytes(message)
