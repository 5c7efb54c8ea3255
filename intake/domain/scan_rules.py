"""What the lab decides about scans: from which figures on one is whole, sound and in the bite, and whence they come.

The figures were measured on 31 open scans of whole arches, 4 sets of crown surfaces and generated arches with known
faults; how many sound ones a figure takes for faulty stands beside it. A lab changes them as it learns.
"""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from intake.domain.case import Frozen
from intake.domain.practice import Words

Length = Annotated[float, Field(gt=0, le=10_000)]
Area = Annotated[float, Field(ge=0, le=1_000_000)]
Share = Annotated[float, Field(ge=0, le=1)]
Ratio = Annotated[float, Field(ge=0, le=100)]
LineField = Literal["practice", "prescriber", "patient", "reference", "appliance", "appointment", "notes"]
"""What a labelled line of a message can fill in."""
Labels = dict[LineField, tuple[Words, ...]]


_LABELS: Labels = {
    "practice": ("Practice", "Surgery"),
    "prescriber": ("Prescriber", "Dentist"),
    "patient": ("Patient",),
    "reference": ("Reference", "Ref"),
    "appliance": ("Appliance", "Please make"),
    "appointment": ("Due", "Fit", "Appointment"),
    "notes": ("Notes", "Remarks"),
}


class Sender(Frozen):
    """One who sends scans: the practice that it stands for, and how it labels the lines of its messages."""

    address: Words
    """An address, or a domain with its @ in front: `@scans.example.com`."""
    practice: str = ""
    """The code of the practice; empty where one sender sends for many."""
    labels: Labels = Field(default_factory=dict)


class MailboxRules(Frozen):
    """The mailbox that scans come to, by IMAP; none without a server. Its password lies in the system's keyring."""

    server: str = ""
    port: Annotated[int, Field(ge=1, le=65_535)] = 993
    security: Literal["tls", "starttls"] = "tls"
    user: str = ""
    folder: Words = "INBOX"
    file_to: str = ""
    """Where a message is moved when it was taken; empty to leave the mailbox untouched."""
    every_minutes: Annotated[int, Field(ge=1, le=1_440)] = 2


_IN_ORDER = (
    ("part_least_mm", "arch_least_mm"),
    ("arch_least_mm", "arch_most_mm"),
    ("across_mm", "across_usual_mm"),
    ("doubtful_share", "through_share"),
)


class ScanRules(Frozen):
    """How scans are judged, and how what belongs together is told."""

    arch_least_mm: Length = 45
    """The longest side of a whole arch, at least; 36 of 36 measured 57.9 to 72.9 mm."""
    arch_most_mm: Length = 95
    """And at most; beyond these the unit is asked for."""
    part_least_mm: Length = 20
    """From here up to the least of a whole arch it is a part of one, in mm."""
    across_mm: Length = 39.5
    """An arch that is less wide across its second side is part of one: 62 of 62 halves were 35.8 or less."""
    across_usual_mm: Length = 41
    """What whole arches measured there at the least: 36 of 36 had 41.0 or more."""
    part_area: Area = 1_000
    """Less surface than this, in square mm, is part of an arch; whole ones had 2,875 or more."""
    hole_mm: Length = 15
    """A further border of the largest piece that is longer than this is told; 2 of 31 sound scans had a real one."""
    largest_share: Share = 0.98
    """The largest piece's share of the surface, at least; 31 of 31 had it."""
    flipped_share: Share = 0.02
    """Edges whose triangles look opposite ways, at most; 31 of 31 had fewer."""
    non_manifold_share: Share = 0.005
    """Edges of more than two triangles, at most; 31 of 31 had fewer."""
    facing: Annotated[float, Field(ge=-1, le=1)] = -0.3
    """Two open arches in one frame look at one another: the cosine of their mean normals is at most this.

    True pairs had -0.64 and -0.68, unregistered ones +0.97 and +1.0."""
    apart_area: Area = 10
    """With less of the lower within 1 mm of the upper, or inside it, than this, in square mm, they are apart."""
    through_share: Ratio = 0.35
    """From this share of the near surface lying inside the other arch on, they run through each other."""
    doubtful_share: Ratio = 0.12
    """From this share on it is doubtful: a cut into the other arch, or one set a little aside."""
    registered_area: Area = 30
    """With so much of the lower within 0.5 mm of the upper, in square mm, the arches look registered."""
    bite_share: Share = 0.2
    """A bite scan lies on an arch when this share of its points is within 0.3 mm of it."""
    together_minutes: Annotated[int, Field(ge=0, le=1_440)] = 10
    """Files of one folder whose names are alike belong together when they come within so many minutes."""
    partner_days: Annotated[int, Field(ge=0, le=365)] = 14
    """Arrivals of one patient are offered to be put together when they came within so many days."""
    folders: tuple[Words, ...] = ()
    """Folders that are watched beside the one in the data folder."""
    labels: Labels = Field(default_factory=lambda: dict(_LABELS))
    """How the lines of a message are labelled, where its sender has no labels of its own."""
    senders: tuple[Sender, ...] = ()

    @model_validator(mode="after")
    def _in_order(self) -> "ScanRules":
        """A figure that overtakes the next would make verdicts that contradict their own numbers."""
        for less, more in _IN_ORDER:
            if getattr(self, less) > getattr(self, more):
                raise ValueError(f"{less}, {getattr(self, less):g}, is more than {more}, {getattr(self, more):g}")
        return self
