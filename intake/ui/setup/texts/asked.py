"""What the page Texts asks of the desk, on the threads of the job runner."""

from collections import Counter
from typing import TYPE_CHECKING

from intake.domain.lab import Lab
from intake.domain.texts import Text

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.example_papers import PaperShown


def paper(desk: "Desk", lab: Lab, text: Text, language: str | None, wide: int) -> "PaperShown":
    """A text on the paper that it is for, by a setup that need not be in force."""
    from intake.desk.example_papers import paper_shown

    return paper_shown(desk, lab, text, language, wide)


def written_to(desk: "Desk") -> Counter[str]:
    """How many practices are written to in each language."""
    return Counter(practice.language for practice in desk.practices() if practice.language)
