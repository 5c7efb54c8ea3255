"""One category's box: its name and value to type, and the colour with the text that is printed on it."""

from PySide6.QtCore import QObject, QRect, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLineEdit, QWidget

from intake.domain.lab import Category
from intake.setup.colours import PLAIN
from intake.ui.colour_row import ColourRow
from intake.ui.look import Look
from intake.ui.palette import contrast, ink_on
from intake.ui.plain import Words

KNOWN = {name.casefold(): value for name, value in PLAIN.items()}


class Sample(QWidget):
    """The colour, and on it the contrast of the ink that is printed on it, in that ink.

    Args:
        look: For fonts and lengths.
        value: The colour, `#rrggbb`.
        parent: The owner.
    """

    def __init__(self, look: Look, value: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._value = value
        look.changed.connect(self.updateGeometry)

    def show_box(self, name: str, value: str) -> None:
        """Shows a colour by its name and value."""
        self._value = value
        self.setAccessibleName(f"Text on {name}: contrast {self.contrast:.1f} to 1")
        self.update()

    @property
    def contrast(self) -> float:
        """The contrast of the text on it, by WCAG 2.2."""
        return contrast(ink_on(self._value), self._value)

    def sizeHint(self) -> QSize:
        return QSize(self._look.px(6), self._look.px(2.1))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._look.px(4), self._look.px(2.1))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, px = QPainter(self), self._look.px
        painter.fillRect(self.rect(), QColor(self._value))
        painter.setPen(QPen(QColor(self._look.colours.line), 1))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.setPen(QColor(ink_on(self._value)))
        painter.setFont(self._look.font("small", bold=True))
        inner = QRect(px(0.4), 0, self.width() - px(0.8), self.height())
        painter.drawText(inner, Qt.AlignmentFlag.AlignCenter, f"{self.contrast:.1f} : 1")


class BoxRow(QObject):
    """The parts of one category's line, for a layout to place.

    Args:
        category: The kind of work and its box.
        look: For colours, fonts and lengths.
        parent: The owner of the parts.
    """

    finished = Signal(str)
    """A field was left, or Enter pressed: the category's id."""

    def __init__(self, category: Category, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self.category = category.id
        self._colour = ColourRow(category.name, category.box.colour, category.box.hex, KNOWN, look, parent)
        self.label = Words(category.name, ink="quiet")
        self.name, self.value, self.patch = self._colour.name, self._colour.value, self._colour.patch
        self.sample = Sample(look, category.box.hex, parent)
        self.label.setBuddy(self.name)
        for field in (self.name, self.value):
            field.editingFinished.connect(self._on_finished)
        self.show_category(category)

    @property
    def fields(self) -> tuple[QLineEdit, QLineEdit]:
        """The fields that can be typed into."""
        return self.name, self.value

    @property
    def box(self) -> tuple[str, str]:
        """The colour's name and value as they are typed."""
        return self._colour.box

    def show_category(self, category: Category) -> None:
        """Shows the box as the setup has it."""
        self.label.setText(category.name)
        self.name.setText(category.box.colour)
        self.value.setText(category.box.hex)
        self.patch.show_colour(category.box.hex)
        self.sample.show_box(category.box.colour, category.box.hex)
        self._colour.mark(False)

    def mark(self, wrong: bool) -> None:
        """Shows whether something is wrong with it."""
        self._colour.mark(wrong)

    @Slot()
    def _on_finished(self) -> None:
        self.finished.emit(self.category)
