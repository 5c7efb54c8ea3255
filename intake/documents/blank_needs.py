"""What the lab asks for, appliance by appliance, on the back of a blank prescription."""

from collections.abc import Sequence

from intake.documents.blank_content import Blank, BlankNeeds
from intake.documents.blank_sheet import BODY, HEADING, SMALL, WIDTH
from intake.documents.blocks import Block, rows, rule
from intake.documents.flow import Group
from intake.documents.paper import MM
from intake.documents.text import lines

BESIDE = 46 * MM
"""Where what is asked for stands beside the names of the appliances."""


def needs_text(blank: Blank) -> list[Group]:
    """The groups of the pages that say what is asked for; none where the rules ask for nothing."""
    if not blank.needs:
        return []
    title = lines("What we need for each appliance", HEADING, WIDTH)
    every = lines(f"Always: {'; '.join(blank.always)}." if blank.always else "", BODY, WIDTH)
    opening = [*title, *(block.after(1.5 * MM if i == 0 else 0) for i, block in enumerate(every))]
    return [Group("what is needed", tuple(opening)), *map(_group, blank.needs)]


def _group(needs: BlankNeeds) -> Group:
    room = WIDTH - BESIDE
    said = [
        *_listed("To begin", needs.to_begin, room),
        *_listed("Please say or send too", needs.also, room),
        *_listed("As you have told us", needs.assumed, room),
    ]
    name = lines(needs.appliance, SMALL.bold, BESIDE - 3 * MM)
    blocks = rows((0, name), (BESIDE, said))
    first = blocks[0].after(1.2 * MM)
    return Group(needs.appliance, (first, *blocks[1:]), divider=(rule(WIDTH).after(1.2 * MM),))


def _listed(label: str, what: Sequence[str], room: float) -> list[Block]:
    return lines(f"{label}: {'; '.join(what)}." if what else "", SMALL, room)
