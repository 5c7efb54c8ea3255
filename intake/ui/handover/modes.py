"""What is done with the boxes that are scanned: handed over, taken in, sent on, brought back, and why."""

from dataclasses import dataclass
from typing import Literal

from intake.domain.handing_over import BackFor

Mode = Literal["hand-over", "in", "out", "back"]


@dataclass(frozen=True)
class ModeWords:
    """What a mode is called, and its action.

    Attributes:
        action: The id of its action.
        words: What its button says.
        does: What is done with a box, behind the bench's name or alone.
        word: What a yes says.
    """

    action: str
    words: str
    does: str
    word: str


MODES: dict[Mode, ModeWords] = {
    "hand-over": ModeWords("hand-boxes-over", "Hand over", "Boxes go to {bench}", "YES"),
    "in": ModeWords("take-boxes-in", "Take in", "{bench} takes boxes in", "YES"),
    "out": ModeWords("send-boxes-on", "Send on", "{bench} is done with boxes", "YES"),
    "back": ModeWords("bring-boxes-back", "Bring back", "Boxes come back to reception", "BACK"),
}
"""In the order of their buttons."""
REASONS: dict[BackFor, str] = {
    "question": "Question",
    "wrong-bench": "Wrong bench",
    "damaged": "Damaged",
    "other": "Other",
}
"""What the buttons of the reasons say, in their order; the action of each is `back-…`."""


@dataclass(frozen=True)
class Wish:
    """What is to be done with the next box.

    Attributes:
        mode: What is done.
        bench: The bench; empty while none is chosen.
        back_for: Why it comes back.
        words: The question to the practice, or what else is to be noted.
    """

    mode: Mode = "hand-over"
    bench: str = ""
    back_for: BackFor = "wrong-bench"
    words: str = ""

    @property
    def needs_bench(self) -> bool:
        """Whether a bench has to be chosen first."""
        return self.mode != "back" and not self.bench

    @property
    def told(self) -> str:
        """What is done, in a few words."""
        return MODES[self.mode].does.format(bench=self.bench)
