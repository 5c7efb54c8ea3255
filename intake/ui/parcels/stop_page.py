"""A parcel that can hurt: what to do now, and what happened, written down. Nothing else is done to it until then."""

from typing import TYPE_CHECKING, get_args

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QButtonGroup, QFrame, QLineEdit, QRadioButton, QScrollArea, QVBoxLayout, QWidget

from intake.domain import form_fields
from intake.domain.parcels import INCIDENT_WORDS, IncidentKind
from intake.ui.arrivals.field import Field
from intake.ui.help_panel import set_help
from intake.ui.parcels.asked import Said
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow

if TYPE_CHECKING:
    from intake.desk.incidents import IncidentLine
    from intake.desk.parcels import ParcelCard

MOST_SIGNS = 1000
TITLE = "This parcel is stopped"
ASKS = (
    "Write down what happened; until then nothing else is done to this parcel. Local rules go before what stands here."
)
KINDS: tuple[IncidentKind, ...] = get_args(IncidentKind)
FIELDS = {
    "what": (
        "&What happened",
        "A needle under the lower tray; nobody was hurt",
        "What lies in it, where, and whether anybody was hurt. It cannot be left empty.",
    ),
    "done": (
        "What was done a&bout it",
        "Container closed and set apart",
        "What was done with it, and for whoever was hurt. While it is empty the incident stays open.",
    ),
    "told": (
        "Who was &told",
        "The safety officer here; the practice, by telephone",
        "Who was told here and at the practice. While it is empty the incident stays open.",
    ),
}
NEEDED = "Say in a few words what happened."


class StopPage(QScrollArea):
    """Shows the steps, and takes the incident down.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    entered = Signal()

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = room.look
        self.card: ParcelCard | None = None
        self._typed: dict[int, Said] = {}
        self._whole = QWidget(self)
        self.title = Words(TITLE, size="arm", ink="held", wraps=True)
        self.of = Words("", ink="quiet", wraps=True)
        self._steps = QVBoxLayout()
        self.steps: list[Words] = []
        self.asks = Words(ASKS, wraps=True)
        self.kinds: dict[IncidentKind, QRadioButton] = {}
        self._group = QButtonGroup(self)
        self._flow = Flow()
        for kind in KINDS:
            choice = self.kinds[kind] = QRadioButton(INCIDENT_WORDS[kind], self._whole)
            set_help(choice, "What it is that can hurt, or has hurt. ← and → choose.")
            self._group.addButton(choice)
            self._flow.addWidget(choice)
        self.fields: dict[str, Field] = {}
        self._column = QVBoxLayout(self._whole)
        for part in (self.title, self.of):
            self._column.addWidget(part)
        self._column.addLayout(self._steps)
        self._column.addWidget(self.asks)
        self._column.addLayout(self._flow)
        for place, (label, hint, told) in FIELDS.items():
            field = self.fields[place] = Field(room.look, place, hint, False, self._whole)
            field.name(label.replace("&", ""), label)
            set_help(field.edit, told)
            assert isinstance(field.edit, QLineEdit)
            field.edit.setMaxLength(MOST_SIGNS)
            field.went_on.connect(self._on_went_on)
            self._column.addWidget(field)
        self._column.addStretch(1)
        self.setWidget(self._whole)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFocusProxy(self.fields["what"].edit)
        room.look.changed.connect(self._fit)
        self._fit()

    @property
    def incident(self) -> "IncidentLine | None":
        """The incident of this parcel that is not closed, if one was entered."""
        return open_incident(self.card) if self.card is not None else None

    @property
    def said(self) -> Said:
        """What is written down."""
        kind = next((kind for kind, choice in self.kinds.items() if choice.isChecked()), KINDS[0])
        what, done, told = (self.fields[place].text.strip() for place in FIELDS)
        return Said(kind, what, done, told)

    def show_parcel(self, card: "ParcelCard") -> None:
        """Shows the page of a parcel; what is typed for it already stays."""
        same = self.card is not None and self.card.parcel_id == card.parcel_id
        if self.card is not None:
            self._typed[self.card.parcel_id] = self.said
        self.card = card
        self.of.setText(" · ".join(filter(None, (card.practice, card.label, card.service))))
        self.of.setVisible(bool(self.of.text()))
        incident = self.incident
        if same:
            return
        kept = incident if incident is not None else Said(KINDS[0], "", "", "")
        shown = self._typed.get(card.parcel_id, kept)
        self.kinds[shown.kind].setChecked(True)
        for place, field in self.fields.items():
            field.set_text(getattr(shown, place))
            field.say(None)

    def show_steps(self, steps: tuple[str, ...]) -> None:
        """Shows what to do now, step by step."""
        while len(self.steps) < len(steps):
            words = Words("", wraps=True)
            self.steps.append(words)
            self._steps.addWidget(words)
        for at, words in enumerate(self.steps):
            words.setVisible(at < len(steps))
            words.setText(f"{at + 1}.  {steps[at]}" if at < len(steps) else "")
        self.fields["what"].edit.setAccessibleDescription(" ".join(steps))

    def refuse(self) -> bool:
        """Says what is missing, if anything is; whether it is."""
        if self.said.what:
            return False
        self.fields["what"].say(form_fields.Said(NEEDED, wrong=True))
        self.fields["what"].take_keys()
        return True

    @Slot(str)
    def _on_went_on(self, place: str) -> None:
        if place == next(reversed(FIELDS)):
            self.entered.emit()
        else:
            self.focusNextPrevChild(True)

    @Slot()
    def _fit(self) -> None:
        px = self._look.px
        self._column.setContentsMargins(px(1.2), px(0.8), px(1.2), px(0.8))
        self._column.setSpacing(px(0.5))
        self._steps.setSpacing(px(0.5))
        self._flow.setSpacing(px(0.4))


def open_incident(card: "ParcelCard") -> "IncidentLine | None":
    """The incident of a parcel that is not closed."""
    return next((incident for incident in card.incidents if incident.closed is None), None)


def to_write_down(card: "ParcelCard") -> bool:
    """Whether a parcel can hurt and what happened is not written down to its end."""
    danger = any(line.kind == "danger" and not line.settled for line in card.contents)
    return open_incident(card) is not None or ((card.state == "stopped" or danger) and not card.incidents)
