"""The settings of parcels, of boxes that are handed over, and of the numbers and shades that the lab has."""

import re

from intake.setup.entry_tables import Column, Table
from intake.setup.model_fields import ValueRefused
from intake.setup.settings import Group, Setting
from intake.setup.typed import WORD_LIST, Kind


def _read_numbers(text: str) -> dict[str, int]:
    match = re.fullmatch(r"(\d{1,6})\s*(?:-|–|to)\s*(\d{1,6})", text)
    if match is None:
        raise ValueRefused("Write the first and the last number, such as 1-400; empty where the boxes have none.")
    return {"first": int(match[1]), "last": int(match[2])}


BOX_NUMBERS = Setting(
    ("boxes",),
    "Box numbers",
    "The first and the last number of the boxes, such as 1-400. Empty where the boxes have no numbers.",
    kind=Kind("line", lambda boxes: f"{boxes.first}-{boxes.last}" if boxes is not None else "", _read_numbers),
)
SHADES = Setting(
    ("shades",),
    "Shades",
    "The codes that the lab knows, parted by commas. Any other is asked about; with none here none is.",
    kind=WORD_LIST,
)

AGENTS = Table(
    ("parcels", "agents"),
    "Disinfectants",
    "disinfectant",
    "The laboratory’s own disinfectants with the minutes that their makers ask for; the maker’s instructions count.",
    (
        Column(("name",), "Disinfectant", "Its name, as it stands on the bottle.", 14, needed=True),
        Column(("minutes",), "Minutes", "How long it has to act, as its maker says.", 5, needed=True),
    ),
    key="name",
)
CARRIERS = Table(
    ("parcels", "carriers"),
    "Carriers’ labels",
    "carrier’s service",
    "A carrier’s service is told by the look of the number on its label; the first that fits counts.",
    (
        Column(("service",), "Service", "What it is called in the list of parcels.", 9, needed=True),
        Column(
            ("pattern",),
            "Pattern of the number",
            "A regular expression that the whole number fits, in capitals and digits, without spaces: "
            "R[A-Z][0-9]{9}[A-Z]{2}.",
            12,
            needed=True,
        ),
    ),
    key="service",
)
PARCELS = Group(
    "Parcels",
    "How parcels are told and disinfected. What to do about sharps, and the words of a return, are on the page Texts.",
    (
        Setting(
            ("parcels", "again_months"),
            "A number is the same parcel within",
            "A label that was seen within so many months is a parcel seen before; later its number was given anew.",
            "months",
        ),
    ),
    (AGENTS, CARRIERS),
)
HAND_OVER = Group(
    "Hand-over and load",
    "What may leave reception for a bench, and whether promises count how full the benches are.",
    (
        Setting(
            ("hand_over", "ahead_days"),
            "Handed over at most",
            "So many working days before its bench has to be done a job may go there; empty: as early as it likes.",
            "working days early",
        ),
        Setting(
            ("hand_over", "disinfected"),
            "Only what is disinfected",
            "Whether what came by post has to be declared disinfected, or disinfected here, before it goes to a bench.",
        ),
        Setting(
            ("load", "promise"),
            "Promises count the load",
            "Whether the earliest appointment that is offered, where a date cannot hold, counts how full benches are.",
        ),
    ),
)
