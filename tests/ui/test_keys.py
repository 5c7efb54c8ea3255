import re
from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit

from intake.ui.actions import ACTIONS, MENUS
from intake.ui.keys import KeyRefused, Keys, refusal

ROOT = Path(__file__).parents[2]
# What a keyboard's own key gives without Shift where the table's first key would need one.
# Common practice, no source; from memory of the national layouts.
LAYOUTS = {
    "US": {"+": "="},
    "UK": {"+": "="},
    "German": {},
    "French": {"+": "=", **dict(zip("1234567890", "&É\"'(-È_ÇÀ", strict=True))},
}


def test_no_two_actions_that_work_at_the_same_time_share_a_key():
    for place in {action.place for action in ACTIONS}:
        here = [action for action in ACTIONS if action.place in (None, place)]
        counted = Counter(QKeySequence(key).toString() for action in here for key in action.keys)
        assert [key for key, count in counted.items() if count > 1] == [], place


def test_no_two_actions_share_an_id():
    assert len({action.id for action in ACTIONS}) == len(ACTIONS)


@pytest.mark.parametrize("action", [a for a in ACTIONS if a.keys], ids=lambda action: action.id)
def test_the_keys_that_come_with_the_program_would_be_accepted(action):
    """No single letter, nothing that is needed for typing, none with Ctrl and Alt together."""
    assert [refusal(key) for key in action.keys] == [""] * len(action.keys)


def test_no_key_is_one_that_an_input_method_takes_first():
    """On Linux desktops Ctrl+Shift+U begins the code of a character and Ctrl+Shift+E a picture sign; from memory."""
    keys = {QKeySequence(key).toString() for action in ACTIONS for key in action.keys}
    assert keys & {"Ctrl+Shift+U", "Ctrl+Shift+E"} == set()


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_action_has_a_key_that_needs_no_shift_on_the_layout(layout):
    for action in ACTIONS:
        if not action.keys or "Shift" in action.keys[0]:
            continue
        held, plus, sign = action.keys[0].rpartition("+") if not action.keys[0].endswith("++") else ("Ctrl", "+", "+")
        wanted = f"{held}{plus}{LAYOUTS[layout].get(sign, sign)}"
        assert QKeySequence(wanted) in [QKeySequence(key) for key in action.keys], (layout, action.id)


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("S", "typing"),
        ("Shift+S", "typing"),
        ("5", "typing"),
        ("Return", "typing"),
        ("Ctrl+C", "fixed use"),
        ("Ctrl+Alt+E", "write characters"),
        ("Alt+S", "menus"),
        ("Ctrl+K, Ctrl+S", "single one"),
    ],
)
def test_a_key_that_would_get_in_the_way_is_refused_with_the_reason(keys, key, says):
    with pytest.raises(KeyRefused, match=says):
        keys.choose("help", key)
    assert keys.shown("help") == "F1"


def test_a_key_that_is_taken_is_refused_with_its_owner(keys):
    with pytest.raises(KeyRefused, match="Arrivals"):
        keys.choose("help", "F2")


def test_actions_of_different_places_may_have_the_same_key(keys, settings):
    keys.choose("reprint", "Ctrl+K")
    keys.choose("take-in", "Ctrl+K")
    again = Keys(settings)
    assert (again.shown("reprint"), again.shown("take-in")) == ("Ctrl+K", "Ctrl+K")
    with pytest.raises(KeyRefused, match="Print the ticket again"):
        keys.choose("withdraw", "Ctrl+K")
    with pytest.raises(KeyRefused, match="Take files in"):
        keys.choose("help", "Ctrl+K")


def test_a_chosen_key_comes_back_at_the_next_start(keys, settings):
    keys.choose("help", "Ctrl+K")
    assert Keys(settings).shown("help") == "Ctrl+K"
    keys.as_it_came("help")
    assert Keys(settings).shown("help") == "F1"


def test_a_key_can_be_taken_away(keys, settings):
    keys.choose("undo", "")
    assert Keys(settings).shown("undo") == ""


def test_the_first_key_does_not_come_back_while_another_action_has_it(keys):
    keys.choose("help", "Ctrl+K")
    keys.choose("undo", "F1")
    with pytest.raises(KeyRefused, match="Undo"):
        keys.as_it_came("help")


def test_a_kept_key_that_no_longer_works_is_passed_over(settings):
    settings.setValue("keys/help", "F2")
    settings.setValue("keys/undo", "z")
    keys = Keys(settings)
    assert (keys.shown("help"), keys.shown("undo")) == ("F1", "F8")


def test_actions_of_a_place_rest_in_the_others(keys):
    keys.enter_place("look-up")
    assert not keys.action("finding-1").isEnabled()
    keys.enter_place("arrivals")
    assert keys.action("finding-1").isEnabled()


def test_every_action_is_in_a_menu_and_letters_choose_within_it():
    for menu in MENUS:
        for group in {action.group for action in ACTIONS if action.menu == menu}:
            letters = [QKeySequence.mnemonic(a.words).toString() for a in ACTIONS if (a.menu, a.group) == (menu, group)]
            assert len(set(letters)) == len(letters), (menu, letters)
            assert "" not in letters, menu
    assert {action.menu for action in ACTIONS} <= set(MENUS)


def test_a_menu_inside_a_menu_is_chosen_by_a_letter_of_its_own():
    for menu in MENUS:
        words = [action.words for action in ACTIONS if action.menu == menu and action.group is None]
        words += {action.group for action in ACTIONS if action.menu == menu and action.group is not None}
        letters = [QKeySequence.mnemonic(each).toString() for each in words]
        assert len(set(letters)) == len(letters), (menu, letters)


def test_a_key_that_edits_a_line_on_some_systems_is_kept_for_text(keys):
    with pytest.raises(KeyRefused, match="fixed use"):
        keys.choose("help", "Ctrl+E")


@pytest.mark.xserver
@pytest.mark.parametrize("field", [QLineEdit, QPlainTextEdit])
def test_no_field_takes_the_key_of_an_action(qtbot, field):
    """On a real screen: Qt's keys for editing text differ from system to system."""
    edit = field("some words")
    qtbot.addWidget(edit)
    for action in ACTIONS:
        for press in map(QKeySequence, action.keys):
            asked = QKeyEvent(QEvent.Type.ShortcutOverride, press[0].key(), press[0].keyboardModifiers())
            asked.ignore()
            QApplication.sendEvent(edit, asked)
            assert not asked.isAccepted(), action


@pytest.mark.parametrize("page", ["README.md", "docs/guide.md"])
def test_every_key_that_the_pages_name_is_an_actions_key(page):
    named = re.findall(r"`((?:Ctrl\+|Alt\+|Shift\+)+[A-Z0-9]\w*|F\d+)`", (ROOT / page).read_text(encoding="utf-8"))
    keys = {key for action in ACTIONS for key in action.keys}
    assert [key for key in named if key not in keys] == []
