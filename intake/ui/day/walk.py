"""The way through what is left over: what is shown, what has a reason, and what is half typed. Nothing of Qt."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.desk.evening import LeftOver

LONGEST = 200
"""Letters of a reason."""


class Walk:
    """Goes through things one by one; after the last of them comes the end."""

    def __init__(self) -> None:
        self.things: tuple[LeftOver, ...] = ()
        self.at = 0
        self.reasons: dict[str, str] = {}
        self.half: dict[str, str] = {}
        """What is half typed, by the thing's key."""

    @property
    def thing(self) -> "LeftOver | None":
        """What is shown; None at the end."""
        return self.things[self.at] if self.at < len(self.things) else None

    @property
    def silent(self) -> "list[LeftOver]":
        """What has no reason yet."""
        return [thing for thing in self.things if thing.key not in self.reasons]

    @property
    def alike(self) -> "list[LeftOver]":
        """What is of the kind of the thing that is shown and has no reason yet."""
        return [each for each in self.silent if self.thing is not None and each.kind == self.thing.kind]

    @property
    def reason(self) -> str:
        """The reason of what is shown; empty while there is none."""
        return self.reasons.get(self.thing.key, "") if self.thing is not None else ""

    def begin(self, things: "tuple[LeftOver, ...]", reasons: dict[str, str]) -> None:
        """Takes what is left over now. What was shown without a reason stays, else the first without one is shown."""
        shown = self.thing.key if self.thing is not None and not self.reason else ""
        self.things, keys = things, {thing.key for thing in things}
        self.reasons = {key: reason for key, reason in (reasons | self.reasons).items() if key in keys}
        kept = [at for at, thing in enumerate(things) if thing.key == shown]
        if kept:
            self.at = kept[0]
        else:
            self.to_silent(0)

    def forget(self) -> None:
        """Begins anew: another day, or another desk."""
        self.things, self.at, self.reasons, self.half = (), 0, {}, {}

    def step(self, steps: int) -> None:
        """Goes on, or back; the end is one step behind the last thing."""
        self.at = min(max(0, self.at + steps), len(self.things))

    def take(self, reason: str) -> bool:
        """Takes a reason for what is shown, and goes on to what has none; whether there was one to take."""
        thing, reason = self.thing, reason.strip()[:LONGEST]
        if thing is None or not reason:
            return False
        self.reasons[thing.key] = reason
        self.half.pop(thing.key, None)
        self.to_silent(self.at + 1)
        return True

    def take_for_all(self) -> int:
        """Gives what is of the same kind the reason that was given last to such a thing; how many got one."""
        alike, reason = self.alike, self.last_of_kind()
        if not reason:
            return 0
        self.reasons |= {each.key: reason for each in alike}
        self.to_silent(self.at)
        return len(alike)

    def last_of_kind(self) -> str:
        """The reason of what is shown, else of the nearest thing of its kind before it, else of the last after it."""
        if self.thing is None:
            return ""
        around = (*self.things[self.at + 1 :], *self.things[: self.at + 1])
        said = [self.reasons[each.key] for each in around if each.kind == self.thing.kind and each.key in self.reasons]
        return said[-1] if said else ""

    def to_silent(self, start: int) -> None:
        """Goes to the first thing without a reason from a place on, else from the beginning, else to the end."""
        count = len(self.things)
        order = (*range(start, count), *range(min(start, count)))
        self.at = next((at for at in order if self.things[at].key not in self.reasons), count)
