"""Changes that were made to one setup, made to another that came from the same."""

from collections.abc import Iterator, Mapping
from typing import Any

from intake.setup.editing import Place, SetupText


def carry_over(before: SetupText, mine: SetupText, theirs: SetupText) -> tuple[Place, ...]:
    """Makes the changes that lead from one setup to mine in theirs too.

    A list is one value: who changes one of its entries changes it.

    Args:
        before: What both were made from.
        mine: With the changes that are carried over.
        theirs: With other changes; it is changed.

    Returns:
        The places that both changed, and not in the same way: mine stands there.
    """
    both = []
    for place, value in _changes(before.get(()), mine.get(()), ()):
        if theirs.get(place) not in (before.get(place), value):
            both.append(place)
        theirs.put(place, value)
    return tuple(both)


def _changes(before: Mapping[str, Any], after: Mapping[str, Any], place: Place) -> Iterator[tuple[Place, Any]]:
    for name in dict.fromkeys((*before, *after)):
        was, now = before.get(name), after.get(name)
        if isinstance(now, Mapping) and (was is None or isinstance(was, Mapping)):
            yield from _changes(was or {}, now, (*place, name))
        elif was != now:
            yield (*place, name), now
