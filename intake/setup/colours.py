"""Box colours judged: how far apart they look to every eye and under a red lamp, and a set that is further apart.

Differences are CIEDE2000 (Sharma, Wu, Dalal, Color Res Appl 2005;30:21-30); what people with a colour-vision deficiency
see is by Brettel, Viénot, Mollon, J Opt Soc Am A 1997;14:2647-55; both as the library coloraide computes them.
"""

import re
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING, Literal, get_args

from intake.domain.folding import fold
from intake.domain.lab import Lab

if TYPE_CHECKING:
    from coloraide import Color

Sight = Literal["usual", "protan", "deutan", "tritan", "red-light"]
"""usual: most people; protan, deutan, tritan: people who lack the cones for long, middle or short waves; red-light:
anybody, where only a red lamp burns."""
SIGHTS: tuple[Sight, ...] = get_args(Sight)
APART = 10.0
"""From this CIEDE2000 difference on two boxes are told apart at a glance; common practice, no source."""
PLAIN = {
    "White": "#f4f4f0",
    "Light grey": "#c4c8cb",
    "Grey": "#6f757a",
    "Black": "#1c1c1c",
    "Cream": "#f3e3b3",
    "Yellow": "#f5d327",
    "Gold": "#c9971c",
    "Orange": "#ee7d18",
    "Peach": "#f7b58c",
    "Brown": "#7a4a21",
    "Red": "#c8262b",
    "Dark red": "#7a1420",
    "Pink": "#f19bb8",
    "Magenta": "#c4278f",
    "Lilac": "#c3a6e0",
    "Purple": "#5b2a8a",
    "Navy": "#12264a",
    "Blue": "#1f6fb4",
    "Sky blue": "#8ccbf0",
    "Turquoise": "#1fa5a5",
    "Dark green": "#144d2b",
    "Green": "#2e9440",
    "Lime": "#a8cf38",
    "Mint": "#a9e2c4",
    "Olive": "#6f6b1e",
}
"""Plain colours that boxes can be bought or painted in, by name."""


@dataclass(frozen=True)
class BoxColour:
    """A colour as it was chosen for a category.

    Attributes:
        category: The category's id.
        name: The colour's name, which is always printed.
        hex: Its value, `#rrggbb`.
    """

    category: str
    name: str
    hex: str


@dataclass(frozen=True)
class Pair:
    """Two boxes as somebody sees them.

    Attributes:
        one: The one box.
        other: The other.
        sight: Who looks, or by which light.
        difference: CIEDE2000; 0 where they look the same.
        looks: What the two look like, `#rrggbb` each.
    """

    one: BoxColour
    other: BoxColour
    sight: Sight
    difference: float
    looks: tuple[str, str]

    @property
    def confused(self) -> bool:
        """Whether people would take the one for the other."""
        return self.difference < APART


def value_problem(value: str) -> str:
    """Why a text is no colour's value; empty where it is one."""
    if re.fullmatch("#[0-9a-f]{6}", value):
        return ""
    return f"“{value}” is no colour. Write # and six digits or letters a to f, such as #1f6fb4, or a known name."


def boxes_of(lab: Lab) -> tuple[BoxColour, ...]:
    """The boxes of a setup, in the order of its categories."""
    return tuple(BoxColour(each.id, each.box.colour, each.box.hex) for each in lab.categories)


def under_red_light(lab: Lab) -> frozenset[str]:
    """The categories whose boxes are seen by a red lamp at some bench of their route."""
    return frozenset(
        each.id for each in lab.categories if any(lab.bench_by_name[step.bench].light == "red" for step in each.route)
    )


def worst_of_each(boxes: Sequence[BoxColour], red: Collection[str] = ()) -> tuple[Pair, ...]:
    """Every two boxes once, as those see them who tell them apart least; the most alike first.

    A red lamp counts for two boxes that are both of the categories in `red`.
    """
    worst: dict[frozenset[str], Pair] = {}
    for pair in pairs(boxes):
        both = frozenset((pair.one.category, pair.other.category))
        if pair.sight != "red-light" or both <= frozenset(red):
            worst.setdefault(both, pair)
    return tuple(worst.values())


def pairs(boxes: Sequence[BoxColour], sights: Iterable[Sight] = SIGHTS) -> tuple[Pair, ...]:
    """Every two boxes as each sight sees them, those most alike first."""
    seen = [
        Pair(one, other, sight, difference(one.hex, other.hex, sight), (look(one.hex, sight), look(other.hex, sight)))
        for sight in sights
        for one, other in combinations(boxes, 2)
    ]
    return tuple(sorted(seen, key=lambda pair: pair.difference))


def look(value: str, sight: Sight) -> str:
    """What a colour looks like, as a colour that everybody with usual sight sees so."""
    return str(_seen(value, sight).convert("srgb").clip().to_string(hex=True))


@lru_cache(maxsize=20_000)
def difference(one: str, other: str, sight: Sight = "usual") -> float:
    """CIEDE2000 between two colours as a sight sees them."""
    return float(_seen(one, sight).delta_e(_seen(other, sight), method="2000"))


def closest(boxes: Sequence[BoxColour], sights: Iterable[Sight] = SIGHTS[:4]) -> float:
    """The smallest difference of any two boxes that any of the sights sees; infinite where there is but one box."""
    seen = tuple(sights)
    return min(
        (difference(one.hex, other.hex, sight) for one, other in combinations(boxes, 2) for sight in seen),
        default=float("inf"),
    )


def proposed(boxes: Sequence[BoxColour], sights: Sequence[Sight] = SIGHTS[:4]) -> tuple[BoxColour, ...]:
    """The same boxes with as few colours changed as it takes to keep all apart; the changed ones as unlike as can be.

    A box is changed only if it would be confused with another; where there are more categories than plain colours that
    can be told apart, the set keeps the least difference as large as was found. Names never stand twice.
    """
    kept = _unconfused(boxes, sights)
    changed = [box for box in boxes if box not in kept]
    taken = list(kept)
    new: dict[str, BoxColour] = {}
    for box in changed:
        free = [
            BoxColour(box.category, name, value)
            for name, value in PLAIN.items()
            if fold(name) not in {fold(each.name) for each in taken}
        ]
        best = max((box, *free), key=_distance_from(taken, sights))
        taken.append(best)
        new[box.category] = best
    offer = tuple(new.get(box.category, box) for box in boxes)
    return offer if closest(offer, sights) > closest(boxes, sights) else tuple(boxes)


def _distance_from(taken: Sequence[BoxColour], sights: Sequence[Sight]) -> "Callable[[BoxColour], float]":
    """How far a colour is from the nearest of those that are taken."""

    def distance(box: BoxColour) -> float:
        nearest = (difference(box.hex, each.hex, sight) for each in taken for sight in sights)
        return min(nearest, default=float("inf"))

    return distance


def _unconfused(boxes: Sequence[BoxColour], sights: Sequence[Sight]) -> tuple[BoxColour, ...]:
    """Boxes that stay: again and again the one that is confused with most others is left out."""
    stay = list(boxes)
    while True:
        troubles = {
            box: sum(
                any(difference(box.hex, other.hex, sight) < APART for sight in sights)
                for other in stay
                if other is not box
            )
            for box in stay
        }
        worst = max(stay, key=lambda box: troubles[box], default=None)
        if worst is None or not troubles[worst]:
            return tuple(stay)
        stay.remove(worst)


@lru_cache(maxsize=4_000)
def _seen(value: str, sight: Sight) -> "Color":
    from coloraide import Color  # slow to import, and only who changes colours needs it

    colour = Color(value)
    if sight == "red-light":
        red = colour.convert("srgb-linear")["red"]  # only red falls on it, so only red comes back
        return Color("srgb-linear", [red, 0, 0]).convert("lab-d65")
    return (colour if sight == "usual" else colour.filter(sight, method="brettel")).convert("lab-d65")
