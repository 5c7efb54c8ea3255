"""The form of a parcel that is being opened: its label, its practice, what lies in it, its state, its photographs."""

from dataclasses import replace

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QCheckBox, QFrame, QGridLayout, QLineEdit, QScrollArea, QVBoxLayout, QWidget

from intake.domain.form_fields import Said
from intake.domain.lab import Lab
from intake.domain.parcels import ContentKind
from intake.ui.arrivals.choices import Choices
from intake.ui.arrivals.field import Field
from intake.ui.help_panel import set_help
from intake.ui.parcels.asked import OfLabel
from intake.ui.parcels.draft import Draft, Picture
from intake.ui.parcels.pictures_view import PicturesView
from intake.ui.parcels.practice_field import PracticeField
from intake.ui.parcels.state_view import HygieneView, StateView
from intake.ui.parcels.things_view import ThingsView
from intake.ui.plain import Words, button_words
from intake.ui.room import Room

NARROW = 50
"""Below this width, in heights of text, label and practice stand under one another."""
HELP_LABEL = (
    "Scan the parcel’s label, or type what stands under its bars. A postal number and an SSCC are checked; anything "
    "else is taken as it is. A parcel without a label needs none."
)
HELP_PRACTICE = (
    "Scan the practice’s own sticker, or type three letters of its name, its town or its code; ↓ chooses where several "
    "fit. Left empty, the practice is typed with the case."
)
HELP_ACCEPTED = (
    "The initials of who works with it in spite of what was seen; that stands on the ticket. Empty: nobody has decided "
    "yet. To send it back instead, refuse it."
)


class ParcelForm(QScrollArea):
    """Shows a draft, and takes what is typed and ticked.

    Args:
        room: What every place shares.
        lab: The lab setup.
        choices: The list under the practice.
        parent: The owner.
    """

    changed = Signal()
    label_changed = Signal(str)
    practice_changed = Signal(str)
    """The code of the practice that is meant now; empty where none is."""

    def __init__(self, room: Room, lab: Lab, choices: Choices, parent: QWidget) -> None:
        super().__init__(parent)
        self._room, self._draft = room, Draft()
        self._whole = QWidget(self)
        whole = self._whole
        self.label = _field(room, "label", "&Label", HELP_LABEL, "scan it", whole)
        self.practice_field = _field(room, "practice", "&Practice", HELP_PRACTICE, "scan its sticker, or type", whole)
        self.practice = PracticeField(self.practice_field, choices, self)
        self.by_hand = QCheckBox(whole)
        self.before = Words("", ink="caution", wraps=True)
        self.hygiene = HygieneView(room.look, lab.parcels.not_disinfected, whole)
        self.things, self.state = ThingsView(room, whole), StateView(room.look, whole)
        self.note = _field(room, "note", "&Note on its state", "Whatever is to be said of its state.", "", whole)
        self.accepted = _field(room, "accepted", "Accepted in spite of it b&y (initials)", HELP_ACCEPTED, "", whole)
        self.pictures = PicturesView(room, whole)
        for field in (self.note, self.accepted):
            field.small_print.hide()  # nothing is ever said of them
        self.of_kept = Words(OF_KEPT, ink="quiet", wraps=True)
        set_help(self.by_hand, "Tick it where no post brought it: somebody handed it in, or the lab fetched it.")
        self._lay_out()
        self._connect()
        self._label_keys()
        self._fit()
        self.load(Draft())

    @property
    def draft(self) -> Draft:
        """The form as it stands."""
        return replace(
            self._draft,
            label=self.label.text,
            by_hand=self.by_hand.isChecked(),
            practice=self.practice_field.text,
            hygiene=self.hygiene.chosen,
            seen=self.state.seen,
            note=self.note.text,
            accepted_by=self.accepted.text,
            things=self.things.things,
        )

    def load(self, draft: Draft) -> None:
        """Puts a draft in; of a parcel that was kept, what lies in it is changed on its card."""
        self._draft = draft
        self.label.set_text(draft.label)
        self.label.say(None)
        self.before.hide()
        self.by_hand.setChecked(draft.by_hand)
        self.hygiene.take_statement("")
        self.hygiene.load(draft.hygiene)
        self.practice.load(draft.practice)
        self.things.load(draft.things)
        self.things.setVisible(draft.parcel_id is None)
        self.of_kept.setVisible(draft.parcel_id is not None)
        self.state.load(draft.seen)
        self.note.set_text(draft.note)
        self.accepted.set_text(draft.accepted_by)
        self.pictures.show_pictures(draft.pictures)
        self._show_acceptance()
        self.verticalScrollBar().setValue(0)
        self.label_changed.emit(draft.label)
        self.practice_changed.emit(self.practice.code)

    def add_pictures(self, pictures: tuple[Picture, ...]) -> None:
        """Puts photographs to the draft."""
        self._draft = replace(self._draft, pictures=(*self._draft.pictures, *pictures))
        self.pictures.show_pictures(self._draft.pictures)
        self.changed.emit()

    def take_picture_out(self, at: int) -> None:
        """Takes a photograph out of the draft."""
        kept = (*self._draft.pictures[:at], *self._draft.pictures[at + 1 :])
        self._draft = replace(self._draft, pictures=kept)
        self.pictures.show_pictures(kept)
        self.changed.emit()

    def scan_label(self, text: str) -> None:
        """Takes a label that was scanned; the practice is next."""
        self.label.set_text(text)
        self.label_changed.emit(text)
        self.changed.emit()
        (self.practice_field if not self.practice_field.text else self).take_keys()

    def scan_practice(self, code: str) -> None:
        """Takes the practice of a sticker; what was seen is next."""
        self.practice.load(code)
        self.changed.emit()
        self.take_keys()

    def take_keys(self) -> None:
        """Takes the keys to where single keys work: the state on opening."""
        next(iter(self.state.ticks.values())).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def begin(self) -> None:
        """Takes the keys to the first field."""
        self.label.take_keys()

    def accept(self, by: str) -> bool:
        """Puts the initials of who accepts it in; False where there is nothing to accept."""
        if not self.draft.needs_acceptance:
            return False
        self.accepted.set_text("" if self.accepted.text.strip() else by)
        self.accepted.take_keys(at_end=True)
        self.changed.emit()
        return True

    def show_label(self, told: OfLabel) -> None:
        """Says what the label is, whose service, and whether it was seen before; nothing of one typed over since."""
        if told.text.strip() != self.label.text.strip():
            return
        read = told.read
        service = " · ".join(filter(None, (read.service, KINDS.get(read.kind, "") if not read.wrong else "")))
        self.label.say(Said(read.wrong or service, wrong=bool(read.wrong)))
        other = told.before if told.before is not None and told.before.parcel_id != self._draft.parcel_id else None
        self.before.setText(other.says if other is not None else "")
        self.before.setVisible(other is not None)

    def add(self, kind: ContentKind) -> None:
        """Puts one more thing to what lies in it."""
        self.things.add(kind)

    @Slot()
    def go_on(self) -> None:
        """Goes on to what Tab would come to."""
        at = QApplication.focusWidget()
        if at is self.practice_field.edit:
            self.take_keys()
        elif at is not None:
            self.focusNextPrevChild(True)

    @Slot()
    def _show_acceptance(self) -> None:
        self.accepted.setVisible(self.draft.needs_acceptance)

    @Slot()
    def _on_state(self) -> None:
        self._show_acceptance()
        self.changed.emit()

    @Slot(str)
    def _on_label(self, _: str) -> None:
        self.label.say(None)
        self.before.hide()
        self.label_changed.emit(self.label.text)
        self.changed.emit()

    @Slot()
    def _on_practice(self) -> None:
        self.practice_changed.emit(self.practice.code)

    @Slot()
    def _keep_in_sight(self) -> None:
        """What has the keys stays in sight when lines come and go above it."""
        at = QApplication.focusWidget()
        if at is not None and self._whole.isAncestorOf(at):
            self.ensureWidgetVisible(at)

    def _connect(self) -> None:
        # Once the lines have their new places.
        self.changed.connect(self._keep_in_sight, Qt.ConnectionType.QueuedConnection)
        self.label.edited.connect(self._on_label)
        self.practice.changed.connect(self._on_practice)
        for signal in (self.practice.edited, self.things.changed, self.hygiene.changed, self.by_hand.clicked):
            signal.connect(self.changed)
        for field in (self.label, self.practice_field, self.note, self.accepted):
            field.went_on.connect(self.go_on)
        for field in (self.note, self.accepted):
            field.edited.connect(self.changed)
        self.things.went_on.connect(self.go_on)
        self.state.changed.connect(self._on_state)
        self._room.keys.changed.connect(self._label_keys)
        self._room.look.changed.connect(self._fit)

    def _lay_out(self) -> None:
        self._pair, self._notes = QGridLayout(), QGridLayout()
        self._column = QVBoxLayout(self._whole)
        self._column.addWidget(self.of_kept)
        self._column.addLayout(self._pair)
        self._column.addWidget(self.before)
        # The caution comes before what lies in it: it is read before a hand reaches in.
        for part in (self.hygiene, self.things, self.state):
            self._column.addWidget(part)
        self._column.addLayout(self._notes)
        self._column.addWidget(self.pictures)
        self._column.addStretch(1)
        self.of_kept.hide()
        self.setWidget(self._whole)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFocusProxy(self.label.edit)

    @Slot()
    def _label_keys(self) -> None:
        shown = self._room.keys.shown
        self.by_hand.setText(button_words(f"Handed in  {shown('parcel-by-hand')}".rstrip()))
        self.accepted.corner.setText(shown("parcel-accept"))
        self.hygiene.name_key(shown("parcel-declared"))

    @Slot()
    def _fit(self) -> None:
        px, narrow = self._room.look.px, self.width() < self._room.look.px(NARROW)
        for grid, first, second in (
            (self._pair, self.label, self.practice_field),
            (self._notes, self.note, self.accepted),
        ):
            grid.addWidget(first, 0, 0)
            grid.addWidget(second, *((1, 0) if narrow else (0, 1)))
            grid.setColumnStretch(0, 1)
            grid.setColumnStretch(1, 0 if narrow else 1)
            grid.setHorizontalSpacing(px(1))
            grid.setVerticalSpacing(px(0.2))
        self._pair.addWidget(self.by_hand, *((2, 0) if narrow else (0, 2)))
        self._column.setContentsMargins(px(0.8), px(0.4), px(0.8), px(0.8))
        self._column.setSpacing(px(0.55))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()


OF_KEPT = "This parcel is kept already: what is said of it is corrected here; what lies in it, on its card."
KINDS = {"s10": "postal number, check digit right", "sscc": "SSCC, check digit right"}


def _field(room: Room, place: str, label: str, told: str, hint: str, parent: QWidget) -> Field:
    field = Field(room.look, place, hint, False, parent)
    field.name(label.replace("&", ""), label)
    set_help(field.edit, told)
    if isinstance(field.edit, QLineEdit):
        field.edit.setMaxLength(200)
    return field
