"""The marks of the strip of days: the shape and word of each, and labels of which none covers another."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPolygonF

Kind = Literal["today", "pour-by", "reply-by", "latest-start", "must-leave", "appointment", "would-hold"]

WORDS: dict[Kind, str] = {
    "today": "Today",
    "pour-by": "Pour by",
    "reply-by": "Reply by",
    "latest-start": "Latest start",
    "must-leave": "Must leave",
    "appointment": "Appointment",
    "would-hold": "Would hold",
}

# Corners in a square of side 1, y downwards.
_CORNERS: dict[Kind, tuple[tuple[float, float], ...]] = {
    "reply-by": ((0.0, 0.1), (1.0, 0.1), (1.0, 0.7), (0.55, 0.7), (0.25, 1.0), (0.25, 0.7), (0.0, 0.7)),
    "latest-start": ((0.1, 0.0), (1.0, 0.5), (0.1, 1.0)),
    "must-leave": ((0.0, 0.35), (0.5, 0.35), (0.5, 0.05), (1.0, 0.5), (0.5, 0.95), (0.5, 0.65), (0.0, 0.65)),
    "would-hold": ((0.5, 0.0), (1.0, 0.5), (0.5, 1.0), (0.0, 0.5)),
}


def shape(kind: Kind, area: QRectF) -> QPainterPath:
    """The outline of a mark in a square area; no two kinds share one."""
    path = QPainterPath()
    if kind in _CORNERS:
        corners = [QPointF(area.x() + x * area.width(), area.y() + y * area.height()) for x, y in _CORNERS[kind]]
        path.addPolygon(QPolygonF(corners))
        path.closeSubpath()
    elif kind == "pour-by":
        _drop(path, area)
    else:
        path.addEllipse(area)
        if kind == "today":
            path.addEllipse(area.adjusted(*(area.width() * side for side in (0.24, 0.24, -0.24, -0.24))))
    return path


def _drop(path: QPainterPath, area: QRectF) -> None:
    middle, top, bottom = area.center().x(), area.top(), area.bottom()
    side = area.height() * 0.62
    path.moveTo(middle, top)
    path.cubicTo(middle + area.width() * 0.55, top + side, middle + area.width() * 0.45, bottom, middle, bottom)
    path.cubicTo(middle - area.width() * 0.45, bottom, middle - area.width() * 0.55, top + side, middle, top)


@dataclass(frozen=True)
class Label:
    """Where the label of a mark stands: its row, and the span of its shape and words.

    Attributes:
        row: 0 is the row next to the days.
        at: The middle of the mark's day, where its line comes down; its shape too, unless there is no room.
        left: Where the label begins.
        right: Where it ends.
        leftward: Whether the words stand left of the shape.
    """

    row: int
    at: float
    left: float
    right: float
    leftward: bool


def lay_labels(places: Sequence[tuple[float, float]], width: float, gap: float, half: float) -> list[Label]:
    """Puts labels in rows below the days so that none covers another and, wherever that can be, no line crosses one.

    Args:
        places: For each mark the middle of its day and the width of its words.
        width: The room from left to right.
        gap: The least room between two labels.
        half: Half the width of a shape.

    Returns:
        One label a mark, in their order.
    """
    spans = [_span(at, words, width, gap, half) for at, words in places]
    rows: dict[int, int] = {}
    row = 0
    while len(rows) < len(places):
        waiting = [at for at in range(len(places)) if at not in rows]
        free = [at for at in waiting if not _covers_another(at, waiting, spans, places, gap / 2)] or waiting[:1]
        taken: list[int] = []
        for candidate in free:
            if all(_apart(spans[candidate], spans[other], gap) for other in taken):
                taken.append(candidate)
                rows[candidate] = row
        row += 1
    return [Label(rows[at], places[at][0], *spans[at]) for at in range(len(places))]


def _span(at: float, words: float, width: float, gap: float, half: float) -> tuple[float, float, bool]:
    """Words stand right of their shape where there is room, else left of it, else as far left as they must."""
    reach = half + gap / 2 + words
    if at + reach > width and at - reach >= 0:
        return at - reach, at + half, True
    left = max(0.0, min(at - half, width - half - reach))
    return left, left + half + reach, False


def _covers_another(
    at: int,
    waiting: Sequence[int],
    spans: Sequence[tuple[float, float, bool]],
    places: Sequence[tuple[float, float]],
    air: float,
) -> bool:
    left, right, _ = spans[at]
    return any(other != at and left - air <= places[other][0] <= right + air for other in waiting)


def _apart(one: tuple[float, float, bool], other: tuple[float, float, bool], gap: float) -> bool:
    return one[1] + gap <= other[0] or other[1] + gap <= one[0]
