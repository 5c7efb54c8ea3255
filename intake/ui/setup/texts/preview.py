"""A text on its paper, as the setup makes it while it is being changed."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QRectF, QSize, Qt, QTimer, Slot
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.domain.texts import Text
from intake.errors import IntakeError
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.look import Look
from intake.ui.palette import BLACK
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.texts import asked

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.example_papers import PaperShown
    from intake.documents.page_search import Found

HELP = (
    "The paper that the text is for, drawn as if the setup were in force as it stands here: your newest letter where "
    "the text stands on it, else an example. The arrows scroll; the text that is chosen is underlined."
)


class Preview(QWidget):
    """The paper, and over it what it is.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._room = room
        self._desk: Desk | None = None
        self._of: tuple[Lab, Text, str | None] | None = None
        self._papers = Latest(room.jobs)
        self.about = Words("", size="small", ink="quiet", wraps=True)
        self.mail = Words("", wraps=True)
        self.mail.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.sheet = Sheet(room.look)
        self.frame = QScrollArea(self)
        self.frame.setWidget(self.sheet)
        self.frame.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.frame.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.frame.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.frame.setAccessibleName("The paper that the text is for")
        set_help(self.frame, HELP)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.about)
        self._column.addWidget(self.mail, 1)
        self._column.addWidget(self.frame, 1)
        self._soon = QTimer(self)  # several changes of one moment are one picture
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._ask)
        self.mail.hide()

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, whose letters, clock and folder count."""
        self._desk = desk
        self._soon.start()

    def show_text(self, lab: Lab, text: Text | None, language: str | None) -> None:
        """Shows a text by a setup, in a language; None for none."""
        of = (lab, text, language) if text is not None else None
        if of != self._of:
            self._of = of
            self._soon.start()

    def forget(self) -> None:
        """Wants no answer any more."""
        self._soon.stop()
        self._papers.forget()

    @Slot()
    def _ask(self) -> None:
        if self._of is None or self._desk is None or not self.isVisible():
            self.about.setText("")
            self.sheet.show_picture(None, None, 0)
            return
        lab, text, language = self._of
        wide = max(1, round(self.frame.viewport().width() * self.devicePixelRatioF()))
        self._papers.ask(partial(asked.paper, self._desk, lab, text, language, wide), self._on_paper, self._trouble)

    def _on_paper(self, paper: "PaperShown") -> None:
        self.about.setText(paper.about)
        self.mail.setText(paper.says)
        self.mail.setVisible(bool(paper.says))
        self.frame.setVisible(paper.picture is not None)
        picture = paper.picture
        if picture is not None:
            image = QImage(picture.pixels, picture.width, picture.height, picture.stride, QImage.Format.Format_RGB32)
            self.sheet.show_picture(image.copy(), paper.mark, self.frame.viewport().width())
            at = paper.mark.top * self.sheet.height() if paper.mark else 0
            self.frame.verticalScrollBar().setValue(round(at - self.frame.viewport().height() / 3))

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self.about.setText(str(problem))
        self.sheet.show_picture(None, None, 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._soon.start()

    def minimumSizeHint(self) -> QSize:
        return QSize(self._room.look.px(10), self._room.look.px(8))


class Sheet(QWidget):
    """A page, as wide as there is room, with a line under the place that is meant.

    Args:
        look: For colours.
    """

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._look = look
        self.picture: QImage | None = None
        self.mark: Found | None = None

    def show_picture(self, picture: QImage | None, mark: "Found | None", wide: int) -> None:
        """Shows a page, so many pixels of the screen wide."""
        self.picture, self.mark = picture, mark
        high = round(wide * picture.height() / picture.width()) if picture is not None else 0
        self.resize(wide, high)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.picture is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        area = QRect(0, 0, self.width(), self.height())
        painter.drawImage(area, self.picture)
        painter.setPen(QPen(QColor(self._look.colours.line), 1))
        painter.drawRect(area.adjusted(0, 0, -1, -1))
        if self.mark is not None:
            left, right = self.mark.left * self.width(), self.mark.right * self.width()
            under = self.mark.bottom * self.height() + 1
            painter.fillRect(QRectF(left, under, right - left, max(2, self._look.px(0.15))), QColor(BLACK))
