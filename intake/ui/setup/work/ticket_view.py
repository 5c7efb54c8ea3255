"""The ticket of an example as the setup makes it while it is being changed."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt, QTimer, Slot
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.work import asked

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.example_ticket import ExampleTicket

HELP = (
    "The ticket of an invented case, drawn as it would be printed if the setup were in force as it stands here. The "
    "case is one of the category, the appliance type or the material that is chosen in the table."
)
NOTHING = "As soon as there is a category, the ticket of an example stands here."


class TicketView(QWidget):
    """The ticket, and over it what it is of.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._room = room
        self._desk: Desk | None = None
        self._lab: Lab | None = None
        self._of: dict[str, str | None] = {}
        self._tickets = Latest(room.jobs)
        self.about = Words("", size="small", ink="quiet", wraps=True)
        self.paper = Paper(room.look, self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.about)
        self._scroll = QScrollArea(self)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setWidget(self.paper)
        self._scroll.setAccessibleName("The ticket of an example")
        set_help(self._scroll, HELP)
        self._column.addWidget(self._scroll, 1)
        self._soon = QTimer(self)  # several changes of one moment are one picture
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._ask)
        self.stand_alone(False)
        room.look.changed.connect(self._soon.start)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, whose clock and folder count."""
        self._desk = desk
        self._soon.start()

    def show_ticket(self, lab: Lab, of: dict[str, str | None]) -> None:
        """Shows the ticket of an example by a setup; `of` says what is made, by the fields of the desk's `Example`."""
        self._lab, self._of = lab, of
        self._soon.start()

    def stand_alone(self, alone: bool) -> None:
        """Alone it is as wide as there is room and scrolls by the arrow keys; beside a table it is shown whole."""
        self.paper.set_whole(not alone)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.StrongFocus if alone else Qt.FocusPolicy.NoFocus)
        self.setFocusProxy(self._scroll)

    def forget(self) -> None:
        """Wants no answer any more."""
        self._soon.stop()
        self._tickets.forget()

    @Slot()
    def _ask(self) -> None:
        if self._desk is None or self._lab is None or not self.isVisible():
            return
        wide = max(1, round(self.paper.width() * self.devicePixelRatioF()))
        work = partial(asked.ticket, self._lab, self._of, self._desk.now(), wide, self._desk.folder)
        self._tickets.ask(work, self._on_ticket, self._trouble)

    def _on_ticket(self, ticket: "ExampleTicket | None") -> None:
        if ticket is None:
            self.about.setText(NOTHING)
            self.paper.show_picture(None, "")
            return
        picture = ticket.picture
        image = QImage(picture.pixels, picture.width, picture.height, picture.stride, QImage.Format.Format_RGB32)
        more = f" The first of its {picture.pages} pages." if picture.pages > 1 else ""
        self.about.setText(f"The ticket of an example: {ticket.about}.{more}")
        self.paper.show_picture(image.copy(), ticket.says)

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self.about.setText(str(problem))
        self.paper.show_picture(None, "")

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._soon.start()


class Paper(QWidget):
    """A sheet of paper, as large as there is room.

    Args:
        look: For the line around it.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.picture: QImage | None = None
        self._whole = True

    def set_whole(self, whole: bool) -> None:
        """Shows all of it, or all of its width."""
        self._whole = whole
        self._fit()

    def show_picture(self, picture: QImage | None, says: str) -> None:
        """Shows a page; `says` is for who does not see it."""
        self.picture = picture
        self.setAccessibleName(says or "No ticket")
        self._fit()
        self.update()

    def _fit(self) -> None:
        """Alone it is as high as its width asks for."""
        picture = self.picture
        high = 0 if self._whole or picture is None else round(self.width() * picture.height() / picture.width())
        self.setMinimumHeight(high or self._look.px(10))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.picture is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        size = self.picture.size().scaled(self.size() - QSize(2, 2), Qt.AspectRatioMode.KeepAspectRatio)
        area = QRect(1, 1, size.width(), size.height())
        painter.drawImage(area, self.picture)
        painter.setPen(QPen(QColor(self._look.colours.line), 1))
        painter.drawRect(area.adjusted(-1, -1, 0, 0))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._look.px(10), self._look.px(10))
