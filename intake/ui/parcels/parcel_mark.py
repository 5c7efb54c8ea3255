"""The mark of a parcel: a box with its string, drawn wherever something came in one."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen


def paint_parcel(painter: QPainter, area: QRectF, ink: QColor) -> None:
    """Paints the mark into a square area."""
    width = max(1.2, area.width() * 0.1)
    box = area.adjusted(width, area.height() * 0.16, -width, -area.height() * 0.1)
    painter.save()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(ink, width))
    painter.drawRect(box)
    painter.drawLine(QPointF(box.center().x(), box.top()), QPointF(box.center().x(), box.bottom()))
    painter.drawLine(QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y()))
    painter.restore()
