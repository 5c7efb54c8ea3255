"""The card of a parcel that was kept: how it stands, what lies in it, and what was seen and done."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QListWidget, QListWidgetItem, QScrollArea, QVBoxLayout, QWidget

from intake.domain.parcels import WAY_WORDS
from intake.domain.written_dates import shown_moment
from intake.ui.help_panel import set_help
from intake.ui.parcels.draft import Picture
from intake.ui.parcels.pictures_view import PicturesView
from intake.ui.plain import Ink, Words
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.parcels import ContentLine, ParcelCard

GAP = 3
"""Pixels of air around a line of what lies in it."""
NO_LABEL, NOBODY = "A parcel without a label", "Practice not known"
HELP = (
    "What lies in the parcel, and what became of each. ↑ and ↓ choose; Enter opens the form of a case that is still to "
    "be booked in. What has no case needs the reason for that: only then the parcel is finished."
)


class ParcelCardView(QScrollArea):
    """Shows a card.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    opened = Signal()
    """What is chosen of it is to be booked in."""

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = room.look
        self.card: ParcelCard | None = None
        self._whole = QWidget(self)
        self.title = Words("", bold=True, wraps=True)
        self.opened_words = Words("", size="small", ink="quiet", wraps=True)
        self.says = Words("", wraps=True)
        self.again = Words("", ink="caution", wraps=True)
        self.head = Words("What lies in it", size="small", ink="quiet")
        self.things = _Things(self._whole)
        set_help(self.things, HELP)
        self._lines = QVBoxLayout()
        self._told: list[Words] = []
        self.pictures = PicturesView(room, self._whole)
        self._column = QVBoxLayout(self._whole)
        for part in (self.title, self.opened_words, self.says, self.again, self.head, self.things):
            self._column.addWidget(part)
        self._column.addLayout(self._lines)
        self._column.addWidget(self.pictures)
        self._column.addStretch(1)
        self.setWidget(self._whole)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFocusProxy(self.things)
        self.things.itemActivated.connect(self.opened)
        room.look.changed.connect(self._fit)
        self._fit()

    @property
    def chosen(self) -> "ContentLine | None":
        """The thing that is chosen."""
        row = self.things.currentRow()
        return self.card.contents[row] if self.card is not None and 0 <= row < len(self.card.contents) else None

    def show_card(self, card: "ParcelCard") -> None:
        """Shows a parcel. The thing that was chosen of it stays chosen; of another, the first that is open is."""
        kept = self.chosen.content_id if self.chosen is not None else None
        before, self.card = self.card, card
        self.title.setText(" · ".join(filter(None, (card.practice or NOBODY, card.label or NO_LABEL, card.service))))
        by_way = WAY_WORDS[card.way]
        self.opened_words.setText(f"Came {by_way}, opened {shown_moment(card.at)} by {card.who}")
        self._say(self.says, card.says, "held" if card.state in ("stopped", "refused") else "ink")
        self._say(self.again, card.again.says if card.again is not None else "", "caution")
        self.things.show_things([line_words(line) for line in card.contents])
        self.head.setVisible(bool(card.contents))
        self.things.setVisible(bool(card.contents))
        ids = [line.content_id for line in card.contents]
        same = before is not None and before.parcel_id == card.parcel_id and kept in ids
        first_open = next((at for at, line in enumerate(card.contents) if not line.settled), 0)
        self.things.setCurrentRow(ids.index(kept) if same and kept is not None else first_open)
        self._tell(told_of(card))
        self.pictures.show_pictures([Picture(each.name, each.path) for each in card.photographs])

    def _tell(self, lines: "list[tuple[str, Ink]]") -> None:
        while len(self._told) < len(lines):
            words = Words("", wraps=True)
            self._told.append(words)
            self._lines.addWidget(words)
        for at, words in enumerate(self._told):
            words.setVisible(at < len(lines))
            if at < len(lines):
                self._say(words, *lines[at])

    def _say(self, words: Words, text: str, ink: Ink) -> None:
        words.setText(text)
        words.set_ink(ink)
        words.setVisible(bool(text))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.things.fit()

    @Slot()
    def _fit(self) -> None:
        px = self._look.px
        self._column.setContentsMargins(px(0.8), px(0.6), px(0.8), px(0.8))
        self._column.setSpacing(px(0.45))
        self._lines.setSpacing(px(0.25))
        self.things.fit()


def line_words(line: "ContentLine") -> str:
    """One thing in words: what it is, the name on it, the note, and what became of it."""
    name = f"“{line.found}” on it" if line.found else ""
    what = ", ".join(filter(None, (line.words, name, line.note)))
    return f"{what}. {line.says}" if line.says else what


def told_of(card: "ParcelCard") -> "list[tuple[str, Ink]]":
    """What was seen, decided and done, line by line, each with its ink."""
    told: list[tuple[str, Ink]] = []
    if card.seen or card.note:
        told.append((" ".join(filter(None, (card.seen_says, card.note))), "ink"))
    told.append((card.hygiene_says, "caution" if card.to_disinfect else "ink"))
    told += [(line.says, "ink") for line in card.disinfections]
    told += [
        (
            f"{incident.words}: {incident.what.rstrip('.')}. "
            + (f"Closed by {incident.closed_by}." if incident.closed is not None else "Not closed."),
            "ink" if incident.closed is not None else "held",
        )
        for incident in card.incidents
    ]
    return told


class _Things(QListWidget):
    """What lies in it, as high as it needs to be."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("What lies in it")
        self.setWordWrap(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for policy in (self.setHorizontalScrollBarPolicy, self.setVerticalScrollBarPolicy):
            policy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setProperty("ring", "row")
        self.setSpacing(GAP)

    def show_things(self, words: list[str]) -> None:
        """Shows these lines."""
        self.clear()
        for text in words:
            self.addItem(QListWidgetItem(text))
        self.fit()

    def fit(self) -> None:
        """Takes the height of its lines."""
        self.doItemsLayout()
        rows = sum(self.sizeHintForRow(row) + 2 * GAP for row in range(self.count()))
        self.setFixedHeight(rows + 2 * self.frameWidth() + 2 * GAP)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text().isalnum() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            event.ignore()  # letters do not jump about: they are the single keys of the place
        else:
            super().keyPressEvent(event)
