from PySide6.QtWidgets import QApplication


def test_the_queue_of_the_tickets_is_named(window):
    window.desk_line.show_printer("FRONT-DESK")
    assert window.desk_line.printer.text() == "Tickets go to FRONT-DESK"
    window.desk_line.show_printer(None)
    assert window.desk_line.printer.text() == "No printer for tickets"


def test_waiting_tickets_are_sent_again_by_one_key(window, press, qtbot):
    window.desk_line.show_waiting(2)
    assert window.desk_line.waiting_button.text() == "2 tickets wait  F9"
    with qtbot.waitSignal(window._keys.action("send-again").triggered):
        press(window, "F9")


def test_nothing_is_sent_again_when_nothing_waits(window):
    window.desk_line.show_waiting(0)
    assert not window._keys.action("send-again").isEnabled()
    assert not window.desk_line.waiting_button.isVisible()


def test_who_is_at_the_desk_is_asked_by_key_and_kept(window, press, type_text, qtbot, open_window, settings):
    press(window, "Ctrl+Shift+I")
    assert QApplication.focusWidget() is window.desk_line.initials_field
    type_text(window, "RK")
    with qtbot.waitSignal(window.desk_line.initials_changed) as heard:
        press(window, "F2")
    assert heard.args == ["RK"]
    assert open_window(settings).desk_line.initials == "RK"
