"""The settings of scans: whence they come, what belongs together, and from which figures on one is sound."""

from typing import Any

from intake.domain.lab import Lab
from intake.setup.entry_tables import Column, Table
from intake.setup.model_fields import ValueRefused
from intake.setup.settings import Group, Setting
from intake.setup.typed import LINES

_LINES = ("practice", "prescriber", "patient", "reference", "appliance", "appointment", "notes")


def _show_labels(sender: Any, lab: Lab) -> str:
    return "; ".join(f"{line}: {', '.join(words)}" for line, words in sender.labels.items())


def _read_labels(text: str, lab: Lab, row: int | None) -> dict[str, list[str]] | None:
    """`patient: Name, Case name; appointment: Needed by`."""
    labels: dict[str, list[str]] = {}
    for part in filter(None, map(str.strip, text.split(";"))):
        line, colon, words = part.partition(":")
        if not colon or line.strip() not in _LINES:
            raise ValueRefused(
                f"Write the line and its labels, such as patient: Name; the lines are {', '.join(_LINES)}."
            )
        labels[line.strip()] = [word.strip() for word in words.split(",") if word.strip()]
    return labels or None


SENDERS = Table(
    ("scans", "senders"),
    "Senders of scans",
    "sender",
    "Who sends scans by e-mail, the practice that it stands for, and how it labels the lines of its messages.",
    (
        Column(
            ("address",), "Address", "Its address, or a domain with its @ in front: @scans.example.com.", 9, needed=True
        ),
        Column(("practice",), "Practice", "The practice’s code; empty where one sender sends for many.", 6),
        Column(
            ("labels",),
            "Labels of its own",
            "Where its lines are labelled in its own way: patient: Name; appointment: Needed by. The lines are "
            f"{', '.join(_LINES)}.",
            14,
            show=_show_labels,
            read=_read_labels,
        ),
    ),
    key="address",
)
SCANS_IN = Group(
    "Scans that come",
    "Whence scans come, and what belongs together. How the lines of a message are labelled where its sender has no "
    "labels of its own.",
    (
        Setting(
            ("scans", "folders"),
            "Watched folders",
            "Folders that are watched beside the one in the data folder, a line for each.",
            kind=LINES,
        ),
        Setting(
            ("scans", "together_minutes"),
            "One delivery within",
            "Files of one folder whose names are alike belong together when they come within so many minutes.",
            "minutes",
        ),
        Setting(
            ("scans", "partner_days"),
            "Put together within",
            "Arrivals of one patient are offered to be put together when they came within so many days.",
            "days",
        ),
        *(
            Setting(
                ("scans", "labels", line),
                f"“{line.capitalize()}” is labelled",
                f"The words before the colon in a line of a message that says the {line}, parted by commas.",
            )
            for line in _LINES
        ),
    ),
    (SENDERS,),
)
_MM, _AREA = "mm", "square mm"
SCAN_FIGURES = Group(
    "Figures of scans",
    "From which figures on a scan is whole, sound and in the bite. They were measured on open scans; change them as "
    "you learn. Every verdict on a scan shows its own numbers.",
    (
        Setting(("scans", "part_least_mm"), "Part of an arch, from", "Its longest side, at the least.", _MM),
        Setting(("scans", "arch_least_mm"), "Whole arch, from", "Its longest side, at the least.", _MM),
        Setting(
            ("scans", "arch_most_mm"), "Whole arch, up to", "Its longest side; beyond that the unit is asked for.", _MM
        ),
        Setting(
            ("scans", "across_mm"), "Across, at the least", "One that is less wide across is part of an arch.", _MM
        ),
        Setting(("scans", "across_usual_mm"), "Across, as a rule", "What whole arches measure at the least.", _MM),
        Setting(("scans", "part_area"), "Surface, at the least", "With less it is part of an arch.", _AREA),
        Setting(("scans", "hole_mm"), "Hole told from", "A further border that is longer is told.", _MM),
        Setting(
            ("scans", "largest_share"),
            "In one piece, at the least",
            "The largest piece’s share of the surface, 0 to 1.",
        ),
        Setting(
            ("scans", "flipped_share"), "Turned over, at most", "Share of the edges whose triangles look opposite ways."
        ),
        Setting(
            ("scans", "non_manifold_share"), "Grown together, at most", "Share of the edges of more than two triangles."
        ),
        Setting(
            ("scans", "facing"),
            "Facing, at most",
            "Two arches in one frame look at one another: the cosine of their mean directions, -1 to 1.",
        ),
        Setting(("scans", "apart_area"), "Apart below", "Surface of the lower within 1 mm of the upper.", _AREA),
        Setting(
            ("scans", "doubtful_share"),
            "Bite doubtful from",
            "Share of the near surface that lies inside the other arch.",
        ),
        Setting(
            ("scans", "through_share"), "Bite impossible from", "Share from which the arches run through each other."
        ),
        Setting(
            ("scans", "registered_area"), "In the bite from", "Surface of the lower within 0.5 mm of the upper.", _AREA
        ),
        Setting(
            ("scans", "bite_share"),
            "A bite scan lies on an arch from",
            "Share of its points within 0.3 mm of the arch.",
        ),
    ),
)
