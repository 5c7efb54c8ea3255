"""The appliance lines of the form: how many there are, and what happens when one is added, split or emptied."""

import re
from collections.abc import Iterable, Mapping

_OF_LINE = re.compile(r"appliances\[(\d+)\](.*)")
_PARTED = re.compile(r";|\s\+\s")


def line_place(index: int) -> str:
    """The place of an appliance line."""
    return f"appliances[{index}]"


def line_of(place: str) -> int | None:
    """The number of the line that a place belongs to; None when it belongs to none."""
    found = _OF_LINE.fullmatch(place)
    return int(found[1]) if found else None


def appliance_count(places: Iterable[str]) -> int:
    """How many appliance lines there are among these places; one at least."""
    return max((line for place in places if (line := line_of(place)) is not None), default=0) + 1


def with_line_after(typed: Mapping[str, str], index: int) -> dict[str, str]:
    """The form with an empty line behind this one; later lines move down with all that belongs to them."""
    moved = {_moved(place, index, 1): text for place, text in typed.items()}
    return {**moved, line_place(index + 1): ""}


def without_line(typed: Mapping[str, str], index: int) -> dict[str, str]:
    """The form without this line and what belongs to it; later lines move up. The last line left is only emptied."""
    rest = {place: text for place, text in typed.items() if line_of(place) != index}
    return {_moved(place, index, -1): text for place, text in rest.items()}


def says_nothing(typed: Mapping[str, str], index: int) -> bool:
    """Whether a line and all its fields are empty."""
    return not any(text.strip() for place, text in typed.items() if line_of(place) == index)


def with_line_split(typed: Mapping[str, str], index: int) -> dict[str, str]:
    """The form with a line that names several appliances (“retainers both; hard splint u”) split into lines.

    What was typed beside the line stays with the first of them.
    """
    parts = [part for part in map(str.strip, _PARTED.split(typed.get(line_place(index), ""))) if part]
    if len(parts) < 2:
        return dict(typed)
    split = dict(typed)
    for part in reversed(parts[1:]):
        split = {**with_line_after(split, index), line_place(index + 1): part}
    return {**split, line_place(index): parts[0]}


def _moved(place: str, index: int, by: int) -> str:
    found = _OF_LINE.fullmatch(place)
    return f"{line_place(int(found[1]) + by)}{found[2]}" if found and int(found[1]) > index else place
