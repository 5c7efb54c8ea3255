"""What the lab asks for, appliance by appliance, on the back of a blank prescription."""

from collections.abc import Sequence

from intake.documents.blank_content import Blank, BlankNeeds
from intake.documents.blank_sheet import BODY, HEADING, SMALL, WIDTH
from intake.documents.blocks import Block, rows, rule
from intake.documents.flow import Group
from intake.documents.paper import MM, Style
from intake.documents.text import lines
from intake.domain.printed.form import NeedWords

BESIDE = 46 * MM
"""Where what is asked for stands beside the names of the appliances."""


def needs_text(blank: Blank) -> list[Group]:
    """The groups of the pages that say what is asked for; none where the rules ask for nothing."""
    if not blank.needs:
        return []
    words = blank.need_words
    title = lines(words.title, HEADING, WIDTH)
    every = _listed(words.always, blank.always, BODY, WIDTH)
    opening = [*title, *(block.after(1.5 * MM if i == 0 else 0) for i, block in enumerate(every))]
    return [Group("what is needed", tuple(opening)), *(_group(needs, words) for needs in blank.needs)]


def _group(needs: BlankNeeds, words: NeedWords) -> Group:
    room = WIDTH - BESIDE
    said = [
        *_listed(words.begin, needs.to_begin, SMALL, room),
        *_listed(words.also, needs.also, SMALL, room),
        *_listed(words.assumed, needs.assumed, SMALL, room),
    ]
    name = lines(needs.appliance, SMALL.bold, BESIDE - 3 * MM)
    blocks = rows((0, name), (BESIDE, said))
    first = blocks[0].after(1.2 * MM)
    return Group(needs.appliance, (first, *blocks[1:]), divider=(rule(WIDTH).after(1.2 * MM),))


def _listed(said: str, what: Sequence[str], style: Style, room: float) -> list[Block]:
    return lines(said.format(what="; ".join(what)) if what else "", style, room)
