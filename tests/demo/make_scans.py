"""Makes the demo's scans anew: `python -m tests.demo.make_scans`. They are generated; nobody ever had these teeth."""

import json
import zipfile
from email.message import EmailMessage
from pathlib import Path

from intake.inbox.mesh.mesh import Mesh
from tests.scans import arches
from tests.scans.writers import ply

SCANS = Path(__file__).parents[2] / "demo" / "scans"
TRIANGLES = 5_000
LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The time of every member of an archive, so that the same scans are the same bytes."""


def main() -> None:
    """Writes the deliveries."""
    SCANS.mkdir(exist_ok=True)
    pair = arches.pair(TRIANGLES)
    folder("1-splint-registered", {"upper.ply": pair.upper, "lower.ply": pair.lower}, SPLINT)
    half = arches.half(arches.arch("upper", 2 * TRIANGLES))
    mail("2-retainer-half-an-arch.eml", "desk@marlowe-house.example.com", HALF, {"upper jaw.ply": half})
    moved = arches.moved_together(pair, 5)
    archive("3-two-scans-in-inches.zip", [arches.in_unit(mesh, "inch") for mesh in (moved.upper, moved.lower)])
    mail("4-only-a-link.eml", "lab-work@oxmere-ortho.example.com", LINK, {})
    other = arches.Pair(arches.scaled(pair.upper, 1.05), arches.scaled(pair.lower, 1.05))
    apart = arches.each_centred(other)
    folder("5-not-in-the-bite", {"UpperJaw.ply": apart.upper, "LowerJaw.ply": apart.lower}, GUARD)


def folder(name: str, meshes: dict[str, Mesh], case: dict[str, object]) -> None:
    """A folder as a program hands it over: a prescription file and the meshes."""
    place = SCANS / name
    place.mkdir(exist_ok=True)
    for file, mesh in meshes.items():
        (place / file).write_bytes(ply(mesh))
    (place / "prescription.json").write_text(json.dumps(case, indent=2) + "\n", encoding="utf-8")


def mail(name: str, sender: str, words: str, meshes: dict[str, Mesh]) -> None:
    """A message with scans."""
    message = EmailMessage()
    message["From"] = f"Reception <{sender}>"
    message["To"] = "scans@lab.example.com"
    message["Subject"] = "Scans"
    message["Date"] = "Wed, 25 Nov 2026 11:20:00 +0000"
    message["Message-ID"] = f"<{Path(name).stem}@example.com>"
    message.set_content(words)
    for file, mesh in meshes.items():
        message.add_attachment(ply(mesh), maintype="model", subtype="ply", filename=file)
    if message.is_multipart():
        message.set_boundary("=_intake-demo")
    (SCANS / name).write_bytes(bytes(message))


def archive(name: str, meshes: list[Mesh]) -> None:
    """A zip of scans whose names say no jaw."""
    with zipfile.ZipFile(SCANS / name, "w", zipfile.ZIP_DEFLATED) as packed:
        for number, mesh in enumerate(meshes, 1):
            packed.writestr(zipfile.ZipInfo(f"scan {number}.ply", LONG_AGO), ply(mesh), zipfile.ZIP_DEFLATED)


SPLINT = {
    "format": "intake-case/1",
    "practice": "OXMERE",
    "prescriber": "Dr P. Wetherell",
    "patient": {"label": "N.K.", "reference": "60214", "under_18": False},
    "appliances": [
        {"type": "occlusal-splint-hard", "arch": "upper", "options": {"thickness_mm": 2.0, "bite_opening_mm": 2.5}}
    ],
    "appointment": "2026-12-14T11:00",
    "arrived": "2026-11-25T10:05",
}
GUARD = {
    "format": "intake-case/1",
    "practice": "PLAYING",
    "prescriber": "Mr T. Ludlow",
    "patient": {"label": "H.M.", "reference": "31077", "under_18": True},
    "appliances": [{"type": "sports-mouthguard", "arch": "upper", "options": {"thickness_mm": 4.0, "colour": "green"}}],
    "appointment": "2026-12-09T16:00",
    "arrived": "2026-11-25T12:10",
}
HALF = """Good morning,

Patient: E.V.
Reference: 77120
Prescriber: Dr R. Ashdown
Please make: vacuum-formed retainer upper 1 mm
Due: 9 December 2026

The scan is attached.
"""
LINK = """Hello,

our scan was too large for a mail. Please fetch it from https://scans.example.com/share/7f3a

Patient: D.O.
Reference: 60220
"""

if __name__ == "__main__":
    main()
