"""The shades that the lab knows, and the numbers of its boxes."""

from PySide6.QtCore import Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.setup.parcel_settings import BOX_NUMBERS, SHADES
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.settings.field import SettingField
from intake.ui.setup.settings.keeping import SettingsKept

PURPOSE = (
    "A shade that is not among these is asked about. Where the boxes have numbers, a job can be kept to the number "
    "of its box."
)
ROOMY = 40


class ShadesView(QWidget):
    """Two fields.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._look = room.look
        self.fields = {each.name: SettingField(each, "Work", room.look, self) for each in (SHADES, BOX_NUMBERS)}
        self._kept = SettingsKept(self.fields.values(), draft, self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for part in (Words(PURPOSE, ink="quiet", wraps=True), *self.fields.values()):
            self._column.addWidget(part)
        self._column.addStretch(1)
        self.setFocusProxy(next(iter(self.fields.values())))
        room.look.changed.connect(self._fit)
        self._fit()

    def show_setup(self) -> None:
        """Shows the draft as it is now; what is half typed stays."""
        self._kept.show_setup()

    def give_up(self) -> bool:
        """Takes back what is half typed in the field in hand."""
        return self._kept.give_up()

    @Slot()
    def _fit(self) -> None:
        self._column.setSpacing(self._look.px(0.7))
        for field in self.fields.values():
            field.set_roomy(self.width() >= self._look.px(ROOMY))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
