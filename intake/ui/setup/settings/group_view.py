"""Settings that belong together, under their title, and the lists that go with them."""

from collections.abc import Collection

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.setup.settings import Group
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.entries.panel import EntryPanel
from intake.ui.setup.settings.field import SettingField

WIDE = 56
"""The most width of a list, in heights of text."""


class GroupView(QWidget):
    """The group.

    Args:
        group: What is in it.
        room: What every place shares.
        draft: The setup while it is being changed.
        parent: The owner.
    """

    def __init__(self, group: Group, room: Room, draft: Draft, parent: QWidget) -> None:
        super().__init__(parent)
        self.group, self._look = group, room.look
        self.fields = {each.name: SettingField(each, group.title, room.look, self) for each in group.settings}
        self.panels = [EntryPanel(table, room, draft, whole=True, parent=self) for table in group.tables]
        self._heads = [Words(panel.table.title, bold=True) for panel in self.panels]
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(Words(group.title, bold=True))
        self._column.addWidget(Words(group.told, ink="quiet", wraps=True))
        for field in self.fields.values():
            self._column.addWidget(field)
        for head, panel in zip(self._heads, self.panels, strict=True):
            self._column.addWidget(head)
            self._column.addWidget(panel)
        room.look.changed.connect(self._fit)
        self._fit()

    def show_only(self, names: Collection[str], words: str) -> bool:
        """Shows the settings of these names, and the lists whose title or purpose has the words; whether any is."""
        any_shown = False
        for name, field in self.fields.items():
            field.setVisible(name in names)
            any_shown |= name in names
        for head, panel in zip(self._heads, self.panels, strict=True):
            said = f"{self.group.title} {panel.table.title} {panel.table.purpose}".casefold()
            shown = all(word in said for word in words.casefold().split())
            head.setVisible(shown)
            panel.setVisible(shown)
            any_shown |= shown
        self.setVisible(any_shown)
        return any_shown

    def set_roomy(self, roomy: bool) -> None:
        """Puts names beside fields, or above them."""
        for field in self.fields.values():
            field.set_roomy(roomy)

    @Slot()
    def _fit(self) -> None:
        self._column.setSpacing(self._look.px(0.5))
        for panel in self.panels:
            panel.setMaximumWidth(self._look.px(WIDE))
