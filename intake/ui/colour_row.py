"""One box's colour: a patch of it, its name and its value; a name that is known brings its value."""

from collections.abc import Mapping

from PySide6.QtCore import QObject, QSize, Signal, Slot
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLineEdit, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import restyle

NAME_HELP = (
    "The name of the box’s colour, as it is called in the laboratory. It is printed beside the colour. "
    "A plain colour name, such as Green, brings its value with it."
)
VALUE_HELP = "The colour as # and six digits or letters a to f."


class Patch(QWidget):
    """A patch of a colour.

    Args:
        look: For lengths and the line around it.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._value = ""
        look.changed.connect(self.updateGeometry)

    def show_colour(self, value: str) -> None:
        """Shows a colour by its value; anything else shows as empty."""
        self._value = value
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._look.px(3), self._look.px(1.9))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        if QColor.isValidColorName(self._value):
            painter.fillRect(self.rect(), QColor(self._value))
        painter.setPen(QPen(QColor(self._look.colours.line), 1))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))


class ColourRow(QObject):
    """The three parts of one box's colour, for a layout to place.

    Args:
        category: The kind of work that the box is for.
        colour: The name that is offered.
        value: The value that is offered.
        known: Values by names that the lab may use, folded.
        look: For lengths.
        parent: The owner of the parts.
    """

    edited = Signal()

    def __init__(
        self, category: str, colour: str, value: str, known: Mapping[str, str], look: Look, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._known = known
        self.patch = Patch(look, parent)
        self.name, self.value = QLineEdit(colour, parent), QLineEdit(value, parent)
        self.name.setAccessibleName(f"{category}: colour")
        self.value.setAccessibleName(f"{category}: value of the colour")
        set_help(self.name, NAME_HELP)
        set_help(self.value, VALUE_HELP)
        self.name.setMaxLength(24)
        self.value.setMaxLength(7)
        self.name.textEdited.connect(self._on_name)
        self.value.textEdited.connect(self._on_value)
        self.patch.show_colour(value)

    @property
    def box(self) -> tuple[str, str]:
        """The colour's name and value."""
        return self.name.text().strip(), self.value.text().strip().lower()

    def mark(self, wrong: bool) -> None:
        """Shows whether something is wrong with it."""
        for field in (self.name, self.value):
            if bool(field.property("wrong")) != wrong:
                field.setProperty("wrong", wrong)
                restyle(field)

    @Slot(str)
    def _on_name(self, name: str) -> None:
        folded = name.strip().casefold()
        value = self._known.get(folded) or (QColor(folded).name() if QColor.isValidColorName(folded) else None)
        if value is not None and not folded.startswith("#"):
            self.value.setText(value)
            self.patch.show_colour(value)
        self.edited.emit()

    @Slot(str)
    def _on_value(self, value: str) -> None:
        self.patch.show_colour(value.strip())
        self.edited.emit()
