"""Lists of tables, such as `[[categories]]`: entries put in and taken out, with the remarks that belong to them.

The parser keeps what stands between two entries at the end of the first. A remark right above an entry belongs to that
entry and goes with it; one with an empty line under it is a heading and stays where it is.
"""

from typing import Any

from tomlkit.items import AoT, Comment, Table, Whitespace

Lines = list[tuple[Any, Any]]
"""Lines as the parser keeps them; remarks and empty lines have no key."""


def insert(entries: AoT, at: int, table: Table, remark: Lines, above: Lines | None) -> None:
    """Put an entry in at a position, with the remark right above it.

    `above` is where the lines above the first entry are kept; None where there is no such place.
    """
    count = len(entries)
    if count == 0:
        gap: Lines = []
    elif at >= count:
        gap = _cut(entries[-1])
        lines_at_end(entries[-1]).extend([*_blank(), *remark])
    elif at > 0:
        heading, own = _split(_cut(entries[at - 1]))
        lines_at_end(entries[at - 1]).extend([*(heading or _blank()), *remark])
        gap = _blank() + own
    else:
        gap = _blank() + _cut_remark(above)
        if above is not None:
            above.extend(remark)
    entries.insert(at, table)
    table.trivia.indent = ""
    lines_at_end(table).extend(gap)


def take(entries: AoT, at: int, above: Lines | None) -> tuple[Table, Lines]:
    """Take an entry out; it is given with the remark right above it. Headings around it stay."""
    table, is_last = entries[at], at == len(entries) - 1
    gap, of_next = (_cut(table), []) if is_last else _split(_cut(table))
    before, own = _split(_cut(entries[at - 1])) if at else ([], _cut_remark(above))
    del entries[at]
    if at and is_last:  # what follows the list follows the entry before it now
        lines_at_end(entries[at - 1]).extend(_joined(_if_remarks(before), gap))
    elif at:
        lines_at_end(entries[at - 1]).extend(_joined(_joined(before, _if_remarks(gap)), of_next))
    elif above is not None:
        above.extend(_joined(above[-1:], _joined(_if_remarks(gap), of_next))[len(above[-1:]) :])
    return table, own


def lines_at_end(item: Any) -> Lines:
    """Where the lines at the end of a table, or of a list of tables, are kept: with the last of the tables in it."""
    if isinstance(item, AoT):
        return lines_at_end(item[-1])
    body: Lines = item.value.body
    last = next((each for key, each in reversed(body) if key is not None), None)
    return lines_at_end(last) if isinstance(last, Table) or (isinstance(last, AoT) and len(last)) else body


def remarks_of(item: Any) -> Lines:
    """Take off what stands under a table, or list of tables, where there are remarks among it."""
    return _if_remarks(_cut(item)) if isinstance(item, Table) or (isinstance(item, AoT) and len(item)) else []


def _blank() -> Lines:
    return [(None, Whitespace("\n"))]


def _cut(item: Any) -> Lines:
    """Take off the remarks and empty lines at the end of a table."""
    body = lines_at_end(item)
    start = len(body)
    while start and body[start - 1][0] is None:
        start -= 1
    tail = body[start:]
    del body[start:]
    return tail


def _split(lines: Lines) -> tuple[Lines, Lines]:
    """What stands between two entries: what stays there, and the remark right above the second."""
    start = len(lines)
    while start and isinstance(lines[start - 1][1], Comment) and lines[start - 1][0] is None:
        start -= 1
    return lines[:start], lines[start:]


def _cut_remark(above: Lines | None) -> Lines:
    """Take off the remark right above the first entry; one that follows a line without an empty one is that line's."""
    kept, remark = _split(above or [])
    if above is None or not kept or kept[-1][0] is not None:
        return []
    del above[len(kept) :]
    return remark


def _joined(lines: Lines, more: Lines) -> Lines:
    """One under the other, with one empty line between where both have one there."""
    both = lines and more and isinstance(lines[-1][1], Whitespace) and isinstance(more[0][1], Whitespace)
    return [*lines, *(more[1:] if both else more)]


def _if_remarks(lines: Lines) -> Lines:
    return lines if any(isinstance(item, Comment) for _, item in lines) else []
