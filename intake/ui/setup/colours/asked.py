"""What the page Colours has worked out on the threads of the job runner."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.setup.colours import BoxColour, Pair, Sight


@dataclass(frozen=True)
class Judged:
    """How the boxes of a setup look beside one another.

    Attributes:
        pairs: Every two of them, those most alike first.
        boxes: The boxes as they are.
        proposed: The same boxes with colours that are further apart; as they are where nothing is to be bettered.
    """

    pairs: "tuple[Pair, ...]"
    boxes: "tuple[BoxColour, ...]"
    proposed: "tuple[BoxColour, ...]"

    @property
    def changed(self) -> "tuple[tuple[BoxColour, BoxColour], ...]":
        """What is proposed for each box that it would change."""
        return tuple((old, new) for old, new in zip(self.boxes, self.proposed, strict=True) if old != new)


def judge(boxes: "Sequence[BoxColour]", red: Collection[str], sight: "Sight | None") -> Judged:
    """Judges boxes as one sight sees them; where none is named, as those see each two who tell them apart least."""
    from intake.setup.colours import pairs, proposed, worst_of_each

    seen = pairs(boxes, [sight]) if sight is not None else worst_of_each(boxes, red)
    return Judged(seen, tuple(boxes), proposed(boxes))
