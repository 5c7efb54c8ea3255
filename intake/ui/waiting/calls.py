"""What the desk has in hand for each practice: who speaks, what is typed, what was taken down; kept for the session."""

from dataclasses import dataclass, field

from intake.domain.answer import Authority, Route, Speaker


@dataclass
class Call:
    """One practice, as the desk has it in hand."""

    name: str = ""
    role: Authority = "team"
    way: Route = "telephone"
    texts: dict[str, str] = field(default_factory=dict)
    """What is typed and not taken down yet, by what it answers."""
    at: str = ""
    """What stands before the desk."""
    under_way: dict[str, str] = field(default_factory=dict)
    """What is being taken down just now."""
    taken: dict[str, str] = field(default_factory=dict)
    """What was taken down, in words."""
    refused: dict[str, str] = field(default_factory=dict)
    """Why something was not taken down."""
    passed: set[str] = field(default_factory=set)
    """What the desk went on from without an answer."""
    reached: bool = False
    """Whether it is noted already that the practice was spoken to."""

    @property
    def speaker(self) -> Speaker:
        """Who speaks."""
        return Speaker(name=self.name.strip(), authority=self.role, route=self.way)

    def begin(self, asking: str) -> str:
        """Something is being taken down; gives its text."""
        text = self.texts.pop(asking, "")
        self.under_way[asking] = text
        self.refused.pop(asking, None)
        return text

    def end(self, asking: str, said: str) -> None:
        """It was taken down."""
        self.under_way.pop(asking, None)
        self.taken[asking] = said

    def fail(self, asking: str, why: str) -> None:
        """It was not; what was typed comes back, unless something else is typed there by now."""
        text = self.under_way.pop(asking, "")
        self.texts.setdefault(asking, text)
        self.refused[asking] = why

    def reopen(self, asking: str, text: str) -> None:
        """It was taken back: what was typed stands there again."""
        self.taken.pop(asking, None)
        self.texts.setdefault(asking, text)

    def close(self) -> None:
        """The receiver is put down. What is typed stays."""
        self.name, self.role, self.way = "", "team", "telephone"
        self.reached = False
        self.taken.clear()
        self.passed.clear()
        self.at = ""
