"""Whether a scan will do, and whether two arches bite: from their figures, by the lab's rules, each with its numbers.

"Looks registered" is the most that is said of a bite; it is never called correct. What cannot be told reliably, such as
one arm of an arch cut short, is left to the eye and the picture.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from intake.domain.case import ArchesStanding, ScanFault, SeenArches, SeenFault, SeenScan
from intake.domain.jaw_names import jaw_named
from intake.domain.scan_figures import BiteFigures, JawKind, MeshFigures, PairFigures
from intake.domain.scan_rules import ScanRules
from intake.domain.wording import listed, with_article

MILLIMETRES: dict[str, float] = {"um": 0.001, "mm": 1, "cm": 10, "inch": 25.4, "foot": 304.8, "m": 1000}
"""How many mm one unit is (the inch of 25.4 mm: international yard and pound agreement of 1959)."""
UNIT_WORDS = {"um": "micrometres", "mm": "mm", "cm": "cm", "inch": "inches", "foot": "feet", "m": "metres"}
_LEAST_MM, _MOST_MM = 4, 300
"""No tooth is shorter, and nothing that fits a mouth is longer; common practice, no source.

A file that states a unit beyond these states a wrong one."""


@dataclass(frozen=True)
class ScanLook:
    """All that is known of one scan before it is judged."""

    name: str
    figures: MeshFigures | None
    """None where it could not be read."""
    problem: str = ""
    """Why it could not be read."""
    unit_stated: str | None = None
    """The unit that the file itself states."""
    unit_chosen: str | None = None
    jaw_chosen: JawKind | None = None
    left_out: int = 0
    """Triangles that were damaged and left out."""
    remarks: tuple[str, ...] = ()
    before: str = ""
    """Where the same scan came before, in words; empty where it is new."""


@dataclass(frozen=True)
class JawSeen:
    """Which jaw a scan shows."""

    jaw: JawKind | None
    """None where a person has to choose."""
    guess: JawKind | None
    """What is offered first."""
    sure: bool
    why: str


@dataclass(frozen=True)
class UnitSeen:
    """Which unit a scan is in."""

    unit: str | None
    """None where a person has to choose."""
    guess: str | None
    why: str

    @property
    def millimetres(self) -> float | None:
        """How many mm one unit of the file is; None while nobody knows."""
        return MILLIMETRES[self.unit] if self.unit else None


def jaw_of(look: ScanLook) -> JawSeen:
    """Which jaw a scan shows: as chosen, or by its name, with its shape as a second opinion."""
    if look.jaw_chosen is not None:
        return JawSeen(look.jaw_chosen, look.jaw_chosen, True, "as chosen at the desk")
    named, shape = jaw_named(look.name), _jaw_of_shape(look.figures)
    if named.jaw is None:
        seen = f"its shape looks like {with_article(shape)}" if shape else "its shape does not tell either"
        return JawSeen(None, shape, False, f"the name of the file tells no jaw, and {seen}")
    if shape is not None and shape != named.jaw:
        why = f"the name of the file says {named.jaw}, and its shape looks like {with_article(shape)}"
        return JawSeen(None, named.jaw, False, why)
    if shape is not None:
        return JawSeen(named.jaw, named.jaw, True, "by its name, and its shape agrees")
    return JawSeen(
        named.jaw, named.jaw, named.sure, "by its name" + ("" if named.sure else ", which may mean something else")
    )


def _jaw_of_shape(figures: MeshFigures | None) -> JawKind | None:
    if figures is None or figures.jaw_score is None:
        return None
    return "upper" if figures.jaw_score > 0 else "lower"


def unit_of(look: ScanLook, rules: ScanRules) -> UnitSeen:
    """Which unit a scan is in: as chosen, as stated in the file, or mm where its size is one of an arch in mm.

    Otherwise a unit is offered and a person has to say; nothing is ever scaled silently.
    """
    if look.unit_chosen is not None and look.unit_chosen in MILLIMETRES:
        return UnitSeen(look.unit_chosen, look.unit_chosen, "as chosen at the desk")
    if look.figures is None:
        return UnitSeen(None, None, "the scan could not be read")
    longest, stated = look.figures.extents[0], look.unit_stated
    if stated is not None and stated in MILLIMETRES:
        if _LEAST_MM <= longest * MILLIMETRES[stated] <= _MOST_MM:
            return UnitSeen(stated, stated, "as the file states")
        size = f"the file states {UNIT_WORDS[stated]}, which makes it {_number(longest * MILLIMETRES[stated])} mm long"
    elif rules.part_least_mm <= longest <= rules.arch_most_mm:
        return UnitSeen("mm", "mm", f"told from its size, {longest:.1f} mm along its longest side")
    else:
        size = f"it states none and measures {_number(longest)} along its longest side"
    for unit, millimetres in MILLIMETRES.items():
        if rules.arch_least_mm <= longest * millimetres <= rules.arch_most_mm:
            arch = f"in {UNIT_WORDS[unit]} that is {longest * millimetres:.0f} mm, the size of an arch"
            return UnitSeen(None, unit, f"{size} ({arch})")
    return UnitSeen(None, "mm", f"{size}, which makes it an arch in no unit")


def _number(value: float) -> str:
    """A length with three digits that count: `2.54`, `63,500`."""
    return f"{value:,.0f}" if value >= 100 else f"{value:.3g}"


def judge_scan(look: ScanLook, rules: ScanRules) -> SeenScan:
    """What the desk is told of one scan; `faults` in the order to ask about them."""
    jaw, unit = jaw_of(look), unit_of(look, rules)
    faults = tuple(SeenFault(fault=fault, says=says) for fault, says in _faults(look, jaw, unit, rules))
    return SeenScan(shows=jaw.jaw, name=look.name, faults=faults)


def _faults(look: ScanLook, jaw: JawSeen, unit: UnitSeen, rules: ScanRules) -> Iterator[tuple[ScanFault, str]]:
    which = f"the {jaw.jaw} scan" if jaw.jaw else f"the scan “{look.name}”"
    if look.figures is None:
        problem = look.problem[:1].lower() + look.problem[1:].removesuffix(".")
        yield "unreadable", f"{which} cannot be read: {problem}"
        return
    if unit.unit is None:
        yield "unit", f"the unit of {which} is not sure: {unit.why}"
    if jaw.jaw is None:
        yield "jaw", f"which jaw {which} shows has to be chosen: {jaw.why}"
    if part := _why_part(look.figures, jaw, unit, rules):
        yield "part", f"{which} is part of an arch: {part}"
    if damage := list(_damage(look, look.figures, jaw, unit, rules)):
        yield "broken", f"{which} is damaged: it {listed(damage)}"
    if look.before:
        yield "twice", f"{which} looks like one that came before: {look.before}"


def _why_part(figures: MeshFigures, jaw: JawSeen, unit: UnitSeen, rules: ScanRules) -> str:
    """Why it is no whole arch; empty where it is one, is a bite, or nobody can say while its unit is not known."""
    if unit.millimetres is None or jaw.jaw == "bite":
        return ""
    long, across, _ = (extent * unit.millimetres for extent in figures.extents)
    area = figures.area * unit.millimetres**2
    if across < rules.across_mm:
        return f"{across:.0f} mm across where a whole arch measures {rules.across_usual_mm:g} or more"
    if long < rules.arch_least_mm:
        return f"{long:.1f} mm long where a whole arch measures {rules.arch_least_mm:g} or more"
    if area < rules.part_area:
        return f"{area:,.0f} mm² of surface where a whole arch has {rules.part_area:,.0f} or more"
    return ""


def _damage(look: ScanLook, figures: MeshFigures, jaw: JawSeen, unit: UnitSeen, rules: ScanRules) -> Iterator[str]:
    """What is damaged, each as it stands behind “it”.

    Closed shells alone, as a set of crowns has, are whole. A bite scan may have holes and be in pieces.
    """
    closed = figures.closed_parts == figures.parts
    if jaw.jaw != "bite":
        holes = [loop * (unit.millimetres or 0) for loop in figures.loops[1:]]
        wide = [hole for hole in holes if hole > rules.hole_mm]
        if len(wide) == 1:
            yield f"has a hole with an edge of {wide[0]:.0f} mm"
        elif wide:
            yield f"has holes (the largest has an edge of {wide[0]:.0f} mm)"
        if figures.largest_share < rules.largest_share and not closed:
            yield f"is in {figures.parts:,} pieces (the largest has {figures.largest_share:.1%} of its surface)"
    if figures.flipped_share > rules.flipped_share:
        yield f"is partly inside out (at {figures.flipped_share:.1%} of its edges)"
    if figures.non_manifold_share > rules.non_manifold_share:
        yield f"has edges that more than two triangles share ({figures.non_manifold_share:.1%} of them)"
    if look.left_out:
        yield f"lacks {look.left_out:,} triangle{'' if look.left_out == 1 else 's'} that could not be used"


def judge_arches(pair: PairFigures, bite: BiteFigures | None, rules: ScanRules) -> SeenArches:
    """Whether two arches are in one frame and in occlusion, and on what evidence.

    The tests are made in this order: do they look at one another; is there enough of the lower near the upper or inside
    it; does one run through the other; is that doubtful; is there enough of it in contact. Else there is a gap. A bite
    scan that lies on both arches stands in for nearness and contact: a bite may be recorded open.
    """
    standing = _standing(pair, bite, rules)
    verdict, evidence = _VERDICTS[standing], _evidence(standing, pair)
    if bite is None:
        return SeenArches(standing=standing, says=f"{verdict}: {evidence}")
    upper, lower = f"{bite.near_upper:.0%}", f"{bite.near_lower:.0%}"
    if standing == "registered" and _lies_on_both(bite, rules):
        on_both = f"the bite scan lies on both, {upper} of it on the upper and {lower} on the lower"
        return SeenArches(standing=standing, says=f"{verdict}: {on_both}; {evidence}")
    of_bite = f"of the bite scan {upper} lies on the upper and {lower} on the lower"
    return SeenArches(standing=standing, says=f"{verdict}: {evidence}; {of_bite}")


_VERDICTS: dict[ArchesStanding, str] = {
    "registered": "the arches look registered",
    "doubtful": "whether the arches meet is doubtful",
    **dict.fromkeys(("not-one-frame", "apart", "through", "gap"), "the arches do not meet"),
}


def _standing(pair: PairFigures, bite: BiteFigures | None, rules: ScanRules) -> ArchesStanding:
    on_both = bite is not None and _lies_on_both(bite, rules)
    if pair.both_open and pair.facing > rules.facing:
        return "not-one-frame"
    # Whole arches that are each about its own middle cross steeply: little lies near, much lies inside.
    if max(pair.near_one, _inside(pair)) < rules.apart_area:
        return "registered" if on_both else "apart"
    if pair.inside >= rules.through_share:
        return "through"
    if pair.inside >= rules.doubtful_share:
        return "doubtful"
    return "registered" if on_both or pair.near_half >= rules.registered_area else "gap"


def _lies_on_both(bite: BiteFigures, rules: ScanRules) -> bool:
    return min(bite.near_upper, bite.near_lower) >= rules.bite_share


def _inside(pair: PairFigures) -> float:
    """Area of the lower more than 0.3 mm inside the upper, in square mm."""
    return pair.inside * pair.near_one


def _evidence(standing: ArchesStanding, pair: PairFigures) -> str:
    """The numbers behind a verdict, the one that decided before the first comma."""
    half, one, inside = f"{pair.near_half:.0f} mm²", f"{pair.near_one:.0f} mm²", f"{_inside(pair):.0f} mm²"
    match standing:
        case "not-one-frame":
            facing = f"their chewing sides do not face each other (cosine {pair.facing:+.2f})"
            return f"each lies in a frame of its own, for {facing}"
        case "apart":
            return f"they are {pair.least:.1f} mm apart at the least, with {one} of the lower within 1 mm of the upper"
        case "through":
            return f"they run through each other, with {inside} of the lower more than 0.3 mm inside the upper"
        case "doubtful":
            return f"{inside} of the lower lies more than 0.3 mm inside the upper, and {one} within 1 mm of it"
        case "registered":
            near = f"{half} of the lower lies within 0.5 mm of the upper, {one} within 1 mm"
            return f"{near}, {inside} more than 0.3 mm inside it"
        case "gap":
            return (
                f"there is a gap of about {pair.least:.1f} mm, with {half} of the lower within 0.5 mm of the upper and "
                f"{one} within 1 mm"
            )
