import pytest
from PySide6.QtWidgets import QPushButton

from intake.ui.keys_dialog import KeysDialog


@pytest.fixture
def dialog(qtbot, keys, look):
    dialog = KeysDialog(keys, look)
    qtbot.addWidget(dialog)
    with qtbot.waitActive(dialog):
        dialog.show()
        dialog.activateWindow()
    return dialog


def _row(dialog, name):
    return next(at for at, row in enumerate(dialog._keys.table) if row.id == name)


def test_every_action_is_listed_with_its_key(dialog, keys):
    shown = [
        (dialog.table.item(at, 0).text(), dialog.table.item(at, 1).text()) for at in range(dialog.table.rowCount())
    ]
    assert shown == [(keys.words(row.id), keys.shown(row.id)) for row in keys.table]


def test_a_key_is_changed_by_pressing_it(dialog, keys, press, qtbot):
    dialog.table.setCurrentCell(_row(dialog, "help"), 0)
    dialog.key.setFocus()
    press(dialog, "Ctrl+K")
    dialog.take()
    assert keys.shown("help") == "Ctrl+K"
    assert dialog.table.item(_row(dialog, "help"), 1).text() == "Ctrl+K"
    dialog.as_it_came()
    assert keys.shown("help") == "F1"


def test_a_refused_key_leaves_the_old_one_and_says_why(dialog, keys, press):
    dialog.table.setCurrentCell(_row(dialog, "help"), 0)
    dialog.key.setFocus()
    press(dialog, "F2")
    dialog.take()
    assert keys.shown("help") == "F1"
    assert "Arrivals" in dialog.answer.text()


def test_a_key_can_be_freed(dialog, keys):
    dialog.table.setCurrentCell(_row(dialog, "undo"), 0)
    dialog.free()
    assert keys.shown("undo") == ""


def test_enter_changes_nothing_by_itself(dialog):
    assert not any(button.isDefault() for button in dialog.findChildren(QPushButton))


def test_access_keys_are_unique_in_the_list_of_keys(dialog, access_keys):
    assert all(len(words) == 1 for words in access_keys(dialog).values())


def test_at_200_per_cent_the_list_of_keys_is_no_higher_than_the_screen(qtbot, keys, look):
    look.choose_scale(200)
    dialog = KeysDialog(keys, look)
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.height() <= dialog.screen().availableSize().height()
