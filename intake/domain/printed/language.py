"""A language beside the lab's own, for practices in other countries."""

from pydantic import Field

from intake.domain.case import Frozen
from intake.domain.practice import Words


class Language(Frozen):
    """What the lab's own texts are in another language."""

    name: Words
    """As people call it: `Deutsch`."""
    small_names: bool = False
    """Whether the name of an appliance begins small inside a sentence, whatever its translation begins with."""
    phrases: dict[Words, Words] = Field(default_factory=dict)
    """By the lab's own text, word for word. A text that is not among them, or is no longer so, stays the lab's own."""
