"""The scans of the arrival in the form: a picture of each, what was seen of it, and how the arches stand."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.plain import Words, button_words, set_edge, set_tip
from intake.ui.scans.telling import all_found, asked_words, found_words, head_words, is_asked
from intake.ui.scans.thumb import SIDE, WIDE, Thumb

if TYPE_CHECKING:
    from intake.desk.scan_panel import ScanPanel, ScanShown

MOST = 6
"""So many pictures side by side at the most; fewer where the words beside them need the room."""
GAP, EDGE = 0.4, 0.8
FEW_WIDE, MANY_WIDE = 10, 14
"""The width of the words at the least, in heights of text: of few, and of many, while something is asked."""
BOTH = "Both arches"


class ScanStrip(QWidget):
    """The scans of one arrival in a row, above the form.

    Args:
        look: For colours and lengths.
        keys: For the keys that are shown.
        parent: The owner.
    """

    opened = Signal()
    """The scans are to be looked at closer."""

    def __init__(self, look: Look, keys: Keys, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._keys = look, keys
        self.panel: ScanPanel | None = None
        self._current: int | None = None
        self._first, self._picked = 0, False
        self.thumbs = [Thumb(look, self) for _ in range(MOST)]
        for at, thumb in enumerate(self.thumbs):
            thumb.clicked.connect(lambda at=at: self._on_clicked(at))
            thumb.opened.connect(self.opened)
        self.head = Words("", bold=True, wraps=True)
        self.words = Words("", size="small", wraps=True)
        self.hint = Words("", size="small", ink="quiet", wraps=True)
        self.closer = QPushButton(self)
        self.closer.setProperty("compact", True)
        self.closer.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.closer.clicked.connect(self.opened)
        self.setAccessibleName("Scans")
        set_edge(self, "bottom")
        self._lay_out()
        look.changed.connect(self._fit)
        keys.changed.connect(self._show)
        self._fit()
        self.hide()

    @property
    def current(self) -> "ScanShown | None":
        """The scan that the keys are about."""
        shown = self.panel.shown if self.panel else ()
        return next((scan for scan in shown if scan.seen.file.file_id == self._current), None)

    def show_panel(self, panel: "ScanPanel | None") -> None:
        """Shows the scans of an arrival; None, or one without any, hides the strip.

        The scan that the keys are about is the first that is asked about, until somebody takes another; that one
        stays it, wherever it stands now.
        """
        self.panel = panel if panel is not None and not panel.is_empty else None
        if self.panel is None:
            self._first = 0
        if self.current is None or not self._picked:
            self._current, self._picked = self._first_open(), False
        self._show()

    def choose(self, file_id: int) -> None:
        """Makes another scan the one that the keys are about."""
        self._current, self._picked = file_id, True
        self._show()

    def choose_next(self) -> None:
        """Goes on to the next scan, behind the last to the first."""
        if self.panel is not None and self.current is not None:
            shown = self.panel.shown
            after = shown[(shown.index(self.current) + 1) % len(shown)]
            self.choose(after.seen.file.file_id)

    def _first_open(self) -> int | None:
        """The first scan that a person has to say something about, else the first."""
        shown = self.panel.shown if self.panel else ()
        scan = next(filter(is_asked, shown), shown[0] if shown else None)
        return scan.seen.file.file_id if scan else None

    @Slot()
    def _show(self) -> None:
        self.setVisible(self.panel is not None)
        if self.panel is None:
            return
        unseen = self._show_pictures(self.panel)
        self.head.setText(head_words(self.panel, unseen, self._keys.shown("next-scan")))
        self.hint.setText(asked_words(self.current, self._keys, len(self.panel.shown) > 1 and not unseen))
        self.words.setText(found_words(self.panel, self.current))
        set_tip(self.words, all_found(self.panel))
        self.closer.setText(button_words(f"Look closer  {self._keys.shown('look-at-scans')}".rstrip()))
        tight = self._room == 1 and bool(self.panel.shown)  # then what is asked goes before what was found
        self.words.setVisible(bool(self.words.text()) and not (tight and self.hint.text()))
        self.hint.setVisible(bool(self.hint.text()))
        self.closer.setVisible(not tight)

    def _show_pictures(self, panel: "ScanPanel") -> int:
        """Shows as many pictures as there is room for, the current one among them; gives how many are left out."""
        room = self._room - bool(panel.pair) if self._room > 1 else 1
        at = panel.shown.index(self.current) if self.current else 0
        self._first = max(0, min(max(self._first, at - room + 1), at, len(panel.shown) - room))
        shown = panel.shown[self._first : self._first + room]
        for thumb, scan in zip(self.thumbs, shown, strict=False):
            said = " ".join(filter(None, (f"{scan.name}, {scan.seen.file.name}.", scan.size, *scan.faults)))
            thumb.show_picture(scan.png, scan.name, said, scan is self.current, bool(scan.seen.seen.faults))
        with_pair = bool(panel.pair) and len(shown) < self._room
        if with_pair:
            arches = panel.scans.arches
            wrong = arches is None or arches.standing != "registered"
            self.thumbs[len(shown)].show_picture(panel.pair[0], BOTH, f"{BOTH}. {panel.arches}", False, wrong)
        for at, thumb in enumerate(self.thumbs):
            thumb.setVisible(at < len(shown) + with_pair)
        return len(panel.shown) - len(shown)

    @property
    def _room(self) -> int:
        """How many pictures there is room for beside the words."""
        px = self._look.px
        words = px(MANY_WIDE if self.current and is_asked(self.current) else FEW_WIDE)
        return max(1, min(MOST, (self.width() - 2 * px(EDGE) - words) // px(WIDE)))

    def _on_clicked(self, at: int) -> None:
        shown = self.panel.shown if self.panel else ()
        if self._first + at < len(shown) and self.thumbs[at].words != BOTH:
            self.choose(shown[self._first + at].seen.file.file_id)

    def _lay_out(self) -> None:
        self._row = QHBoxLayout(self)
        for thumb in self.thumbs:
            self._row.addWidget(thumb, 0, Qt.AlignmentFlag.AlignTop)
        self._column = QVBoxLayout()
        for part in (self.head, self.words, self.hint):
            self._column.addWidget(part)
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        for part in (self.head, self.words, self.hint):  # a long name of a file does not widen the window
            part.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._column.addWidget(self.closer, 0, Qt.AlignmentFlag.AlignLeft)
        self._column.addStretch(1)
        self._row.addLayout(self._column, 1)

    def minimumSizeHint(self) -> QSize:
        """One picture and the words beside it: more pictures show where there is room."""
        px = self._look.px
        wide = px(WIDE) + 2 * px(EDGE) + px(FEW_WIDE)
        return QSize(wide, super().minimumSizeHint().height())

    @Slot()
    def _fit(self) -> None:
        wide, thin = self._look.px(EDGE), self._look.px(GAP)
        beside = (self._look.px(WIDE) - self._look.px(SIDE)) // 2  # the pictures stand in line with the fields
        self._row.setContentsMargins(wide - beside, thin, wide, thin)
        self._row.setSpacing(0)
        self._column.setContentsMargins(thin, 0, 0, 0)
        self._column.setSpacing(self._look.px(0.2))
        self._show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._show()
