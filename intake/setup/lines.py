"""In which line of a setup's text something stands."""

from typing import Any

import tomlkit
from tomlkit.items import AoT, Table

from intake.setup.editing import Place, SetupText

_MARK = "here-it-stands"


def line_of(text: SetupText, place: Place) -> int | None:
    """The number of the line in which what is at a place begins; of what is missing, that of the entry it lacks in.

    The parser keeps no line numbers: what is at the place is marked, the text written, and the mark looked for.
    """
    within: Any = None
    item: Any = text.document
    name: Any = ""
    for part in place:
        try:
            within, item, name = item, item[part], part
        except (KeyError, IndexError, TypeError):
            break
    while (isinstance(item, AoT) or (isinstance(item, Table) and item.is_super_table())) and len(item):
        name = 0 if isinstance(item, AoT) else next(iter(item))  # it has no line of its own
        within, item = item, item[name]
    if within is None:
        return None
    return _line_of_header(text, item) if isinstance(item, Table) else _line_of_value(text, within, name)


def _line_of_header(text: SetupText, table: Table) -> int | None:
    trivia = table.trivia
    before, trivia.comment, trivia.comment_ws = (trivia.comment, trivia.comment_ws), f"# {_MARK}", " "
    try:
        return _line_of_mark(text)
    finally:
        trivia.comment, trivia.comment_ws = before


def _line_of_value(text: SetupText, within: Any, name: Any) -> int | None:
    before = within[name]
    within[name] = _MARK
    try:
        return _line_of_mark(text)
    finally:
        within[name] = before


def _line_of_mark(text: SetupText) -> int | None:
    before, mark, _ = tomlkit.dumps(text.document).partition(_MARK)
    return before.count("\n") + 1 if mark else None
