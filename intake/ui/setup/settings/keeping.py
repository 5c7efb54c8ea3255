"""Keeps fields and draft in step: what is typed goes into the draft, what the draft has is shown."""

from collections.abc import Iterable

from PySide6.QtCore import QObject, Slot

from intake.errors import IntakeError
from intake.setup.trying import Changeable, refusal
from intake.ui.setup.draft import Draft
from intake.ui.setup.settings.field import SettingField


class SettingsKept(QObject):
    """The fields of some settings.

    What a field refuses stays typed with the reason, and the draft keeps its last good value; it is tried again when
    another field has changed, since the two may fit together by then.

    Args:
        fields: The fields.
        draft: The setup while it is being changed.
        parent: The owner.
    """

    def __init__(self, fields: Iterable[SettingField], draft: Draft, parent: QObject) -> None:
        super().__init__(parent)
        self._draft = draft
        self._fields: list[SettingField] = []
        self._refused: set[SettingField] = set()
        for field in fields:
            self.keep(field)

    def keep(self, field: SettingField) -> None:
        """Keeps one more field in step."""
        self._fields.append(field)
        field.finished.connect(self.take)
        field.show_text(field.setting.shown(self._draft.lab))

    def show_setup(self) -> None:
        """Shows the draft as it is now; what is half typed, or was refused, stays."""
        for field in self._fields:
            typing = field.edit.hasFocus() and field.is_typed
            if not typing and field not in self._refused:
                field.show_text(field.setting.shown(self._draft.lab))

    @Slot(object)
    def take(self, field: SettingField) -> None:
        """Takes what a field says into the draft, or says beneath it why not."""
        if not self._draft.ready or (not field.is_typed and field not in self._refused):
            return
        if not self._refuses(field):
            for other in tuple(self._refused):
                self._refuses(other)

    def give_up(self) -> bool:
        """Puts the field in hand back to what the draft has; False where nothing of it is half done."""
        for field in self._fields:
            if field.edit.hasFocus() and (field.is_typed or field in self._refused):
                self._refused.discard(field)
                field.say("")
                field.show_text(field.setting.shown(self._draft.lab))
                return True
        return False

    def _named(self, why: str) -> str:
        """A reason with the settings called as the form calls them, not as the file does."""
        for field in self._fields:
            name = str(field.setting.place[-1])
            if "_" in name:
                why = why.replace(name, f"“{field.setting.label}”")
        return why

    def _refuses(self, field: SettingField) -> bool:
        setting, before = field.setting, self._draft.text
        try:
            value = setting.read(field.text)
        except IntakeError as problem:
            why = str(problem)
        else:

            def change(setup: Changeable) -> None:
                setup.put(setting.place, value)

            why = self._named(refusal(before, self._draft.lab, change))
            if not why:
                self._refused.discard(field)
                field.show_text(field.text)  # it counts: what the draft says of it now is shown
                self._draft.change(change)
        field.say(why)
        if why:
            self._refused.add(field)
        return bool(why)
