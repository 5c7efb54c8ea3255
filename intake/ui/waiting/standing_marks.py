"""The mark of how a practice stands: each its own shape, so that colour is never the only sign."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from intake.ui.findings_list import paint_level
from intake.ui.look import Look

WORDS = {
    "ring-back": "Ring back",
    "overdue": "Overdue",
    "due": "To ask",
    "promised": "Promised",
    "in-writing": "In writing",
}


def standing_colour(standing: str, look: Look) -> QColor:
    """The colour of a standing, never its only sign."""
    colours = look.colours
    named = {"overdue": colours.held, "due": colours.asks, "ring-back": colours.caution}
    return QColor(named.get(standing, colours.quiet))


def paint_standing(painter: QPainter, standing: str, area: QRectF, look: Look) -> None:
    """Paints the shape of a standing: barred square, ring with a question, triangle, hollow ring, envelope."""
    colour, inside = standing_colour(standing, look), QColor(look.colours.surface)
    match standing:
        case "overdue":
            paint_level(painter, "stops", area, colour, inside, look)
        case "due":
            paint_level(painter, "asks", area, colour, inside, look)
        case "ring-back":
            paint_level(painter, "warns", area, colour, inside, look)
        case _:
            _paint_hollow(painter, standing, area, QPen(colour, max(1.5, area.width() * 0.12)))


def _paint_hollow(painter: QPainter, standing: str, area: QRectF, pen: QPen) -> None:
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    inner = area.adjusted(1, 1, -1, -1)
    if standing == "promised":
        painter.drawEllipse(inner)
        painter.drawLine(inner.center(), QPointF(inner.center().x(), inner.top() + inner.height() * 0.2))
        painter.drawLine(inner.center(), QPointF(inner.right() - inner.width() * 0.25, inner.center().y()))
        return
    paper = inner.adjusted(0, inner.height() * 0.12, 0, -inner.height() * 0.12)
    painter.drawRect(paper)
    painter.drawPolyline(QPolygonF([paper.topLeft(), paper.center(), paper.topRight()]))
