from PySide6.QtWidgets import QLineEdit

from intake.ui.help_panel import NO_HELP, set_help


def test_help_for_the_field_opens_and_closes_by_one_key(window, press):
    field = window._widgets["arrivals"].findChild(QLineEdit, "first")
    field.setAccessibleName("Practice")
    set_help(field, "Three letters are enough.")
    press(window, "F2", "F1")
    assert window.help.isVisible()
    assert (window.help.title.text(), window.help.text.text()) == ("Practice", "Three letters are enough.")
    press(window, "F1")
    assert not window.help.isVisible()


def test_open_help_follows_the_focus_and_stays_in_its_place(window, press):
    form = window._widgets["arrivals"]
    set_help(form.findChild(QLineEdit, "first"), "The first.")
    set_help(form.findChild(QLineEdit, "second"), "The second.")
    press(window, "F2", "F1")
    place = window.help.geometry()
    press(window, "Tab")
    assert window.help.text.text() == "The second."
    assert window.help.geometry() == place


def test_a_field_without_help_says_so(window, press):
    press(window, "F2", "F1")
    assert window.help.text.text() == NO_HELP
