"""A dialog whose middle scrolls where the screen is too low for it; its buttons always show."""

from PySide6.QtCore import QEvent, QObject, Qt, Slot
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFrame,
    QHBoxLayout,
    QLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from intake.ui.look import Look
from intake.ui.plain import Words

OF_SCREEN = 0.9
"""So much of the screen's height it takes at most."""


class TallDialog(QDialog):
    """A sentence, a middle, why it cannot go on, and two buttons.

    Args:
        title: What is about to be done.
        told: What that means, in a sentence.
        go: The words of the button that goes on, with its access key.
        look: For lengths.
        wide: Its width, in heights of text.
        parent: The window over which it opens.
    """

    def __init__(
        self, title: str, told: str, go: str, look: Look, wide: float = 38, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._look, self._wide = look, look.px(wide)
        self.refused = Words(ink="held", bold=True, wraps=True)
        self.refused.hide()
        self.go_button = QPushButton(go, self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self.go_on)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self.middle = QWidget()
        self.parts = QVBoxLayout(self.middle)
        """What is asked, one under the other."""
        self.parts.setContentsMargins(0, 0, 0, 0)
        self.parts.setSpacing(look.px(0.6))
        self.parts.addWidget(Words(told, wraps=True))
        self._scroll = QScrollArea(self)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setWidget(self.middle)
        self.middle.installEventFilter(self)
        self._lay_out()

    def refuse(self, why: str) -> None:
        """Says why it does not go on; nothing, where nothing keeps it."""
        self.refused.setText(why)
        self.refused.setVisible(bool(why))

    def add(self, part: QWidget | QLayout) -> None:
        """Adds a part to the middle."""
        self.parts.addWidget(part) if isinstance(part, QWidget) else self.parts.addLayout(part)

    @Slot()
    def go_on(self) -> None:
        """Goes on, if everything is said; what that means is the dialog's own."""

    def fit(self) -> None:
        """Takes the height that its middle needs, as far as the screen has it."""
        screen = self.screen() or QApplication.primaryScreen()
        most = round(screen.availableGeometry().height() * OF_SCREEN)
        column, asked = self.layout(), self.middle.layout()
        assert column is not None
        assert asked is not None
        bar = self._scroll.verticalScrollBar().sizeHint().width()
        margins = column.contentsMargins()
        inner = self._wide - margins.left() - margins.right() - bar
        needed = max(asked.totalHeightForWidth(inner), self.middle.minimumSizeHint().height())
        self._scroll.setMinimumHeight(0)
        others = column.sizeHint().height() - self._scroll.sizeHint().height()
        height = min(most, needed + others + self._look.px(0.2))
        self.setMinimumWidth(self._wide)
        self._scroll.setMinimumHeight(min(needed, max(0, most - others)))
        self.resize(self._wide, height)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.middle and event.type() == QEvent.Type.LayoutRequest and self.isVisible():
            self.fit()
        return super().eventFilter(watched, event)

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = self._look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(self._look.px(0.6))
        column.addWidget(self._scroll, 1)
        column.addWidget(self.refused)
        column.addLayout(buttons)
