"""What practices send as scans: meshes of invented arches in files, mails and archives."""

import io
import zipfile
from email.message import EmailMessage
from email.policy import SMTP
from functools import cache

from PIL import Image

from tests.scans import arches, writers

FEW = 2_000
"""Triangles enough for every figure, and few enough for hundreds of tests."""
SENDER = "desk@marlowe-house.example.com"
PRESCRIPTION = (
    b'{"format": "intake-case/1", "practice": "MARLOW1", "patient": {"label": "J.T.", "reference": "20418"},'
    b' "appliances": [{"type": "occlusal-splint-hard", "arch": "upper"}], "appointment": "2026-12-10"}'
)


@cache
def pair(patient=1):
    """The two arches of one patient, in the bite; another patient's have another size."""
    scaled = 1 + (patient - 1) * 0.03
    both = arches.pair(FEW)
    return arches.Pair(arches.scaled(both.upper, scaled), arches.scaled(both.lower, scaled))


@cache
def upper(patient=1):
    return writers.stl(pair(patient).upper)


@cache
def lower(patient=1):
    return writers.stl(pair(patient).lower)


@cache
def photo():
    """A picture of nothing."""
    drawn = io.BytesIO()
    Image.new("L", (60, 40), 200).save(drawn, "PNG")
    return drawn.getvalue()


def put(folder, **files):
    """Writes files; gives their paths in order. `upper_stl` is `upper.stl`."""
    folder.mkdir(parents=True, exist_ok=True)
    return [written(folder / ".".join(name.rsplit("_", 1)), content) for name, content in files.items()]


def written(path, content):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    return path


def zipped(files):
    """A zip of files by name."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return packed.getvalue()


def mail(text="Please find the scans attached.", attached=None, sender=SENDER, subject="Scans for J.T.", mark="m-1"):
    """A mail with files by name."""
    message = EmailMessage(policy=SMTP)
    message["From"], message["To"], message["Subject"] = sender, "reception@lab.example.com", subject
    message["Date"] = "Wed, 25 Nov 2026 10:12:00 +0000"
    if mark:
        message["Message-ID"] = f"<{mark}@marlowe-house.example.com>"
    message.set_content(text)
    for name, content in (attached or {}).items():
        message.add_attachment(content, maintype="application", subtype="octet-stream", filename=name)
    return message


def names(desk, arrival_id):
    """The files of an arrival by kind: `scan upper.stl`."""
    return sorted(f"{row.kind} {row.name}" for row in desk.store.read.files_of([arrival_id]).get(arrival_id, ()))


def waiting_names(desk):
    """The files of each arrival that waits."""
    return [names(desk, row.arrival_id) for row in desk.store.read.arrivals()]


def problems(desk, arrival_id):
    return [row.problem for row in desk.store.read.files_of([arrival_id])[arrival_id] if row.problem]
