"""The telephone rings: a few keys, and the answer stands there to be read aloud."""

import time

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel

from intake.desk.reprint import reprint
from intake.desk.withdraw import withdraw
from intake.domain.job_number import JobNumber, read_number
from intake.domain.scan_codes import ScanCode
from intake.ui.reason_dialog import ReasonDialog
from tests.ui.sizes import SIZES


def shown(booked, name, at=0):
    return JobNumber(booked[name].jobs[at].number).shown


def card_words(look_up):
    QApplication.processEvents()  # new lines are shown, and those before are gone
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return "\n".join(part.text() for part in look_up.card.findChildren(QLabel) if part.isVisible())


def reason_dialog(look_up, qtbot):
    qtbot.waitUntil(lambda: look_up.findChild(ReasonDialog) is not None)
    dialog = look_up.findChild(ReasonDialog)
    qtbot.waitUntil(dialog.isActiveWindow)
    return dialog


def copies(desk, number):
    return [(row.copy, row.reason) for row in desk.store.read.documents_of(number)]


def test_an_empty_place_says_what_it_is_for(look_up):
    assert "Type a number or the last three digits" in look_up.results._said
    assert "answer for the telephone" in look_up.card.empty.text()


def test_what_is_typed_before_the_data_are_open_is_looked_up_then(look_up, desk, booked, type_text, settled):
    type_text(look_up, "qs 881")
    assert "still being opened" in look_up.results._said
    look_up.set_desk(desk)
    settled()
    assert look_up.results.current.shown == shown(booked, "02")


def test_a_few_letters_give_the_answer_without_a_further_key(look_up, found, booked):
    assert found("qs 881") == [shown(booked, "02")]
    assert look_up.card.sentence.text().startswith("The work for D.W. · QS 881 (Splints) arrived on Wed 25 Nov 2026")
    assert look_up.card.accessibleDescription() == look_up.card.sentence.text()
    assert look_up.card.box.accessibleDescription() == "Splints, Blue box, HOLD"


def test_up_and_down_choose_while_the_keys_stay_in_the_field(look_up, found, press, settled):
    numbers = found("26")
    press(look_up, "Down", "Down")
    settled()
    assert look_up.results.current.shown == numbers[2]
    assert numbers[2] in card_words(look_up)
    press(look_up, "Up")
    settled()
    assert look_up.results.current.shown == numbers[1]
    assert QApplication.focusWidget() is look_up.field


def test_the_card_tells_route_practice_tickets_and_history(look_up, found):
    found("qs 881")
    words = card_words(look_up)
    for told in ("Casting by Fri 4 Dec", "Quillbury Street Surgery", "accepted by files as job", "Booked in. Job"):
        assert told in words


def test_page_down_turns_the_card_from_the_field(look_up, found, press, qtbot):
    found("qs 881")
    look_up.window().resize(1000, 500)
    bar = look_up.card.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    press(look_up, "PgDown")
    assert bar.value() > 0
    press(look_up, "PgUp")
    assert bar.value() == 0


def test_a_mistyped_number_is_refused_with_its_reason_and_the_nearest_is_offered_but_not_answered(
    look_up, found, booked, press, settled
):
    number = booked["02"].jobs[0].number
    assert found(f"{number[:-1]}{(int(number[-1]) + 1) % 10}") == [shown(booked, "02")]
    assert "one digit is wrong or two are swapped" in look_up.understood.text()
    assert look_up.card.empty.isVisible()
    assert look_up.results.current is None
    press(look_up, "Down")
    settled()
    assert look_up.results.current.near.startswith("one slip from")
    assert look_up.card.sentence.isVisible()


def test_what_was_typed_is_shown_as_it_was_understood(look_up, found, booked):
    assert found("held splints from quillbury") == [shown(booked, "02")]
    assert look_up.understood.isVisible()
    assert look_up.understood.text() == "Splints, held, from Quillbury Street Surgery"
    found("qs 881")
    assert not look_up.understood.isVisible()


def test_a_slip_is_mended_and_said_in_the_row(look_up, found, booked):
    assert found("qiullbury 881") == [shown(booked, "02")]
    assert look_up.results.current.near == "Quillbury for “qiullbury”"
    item = look_up.results.model().index(0, 0)
    assert "near: Quillbury for “qiullbury”" in item.data(Qt.ItemDataRole.AccessibleTextRole)
    assert look_up.understood.text() == "Nothing fits just so. These are near."
    assert look_up.card.sentence.isVisible()


def test_the_code_of_a_box_shows_what_lies_in_it(look_up, desk, booked, settled, room):
    number = booked["02"].jobs[0].number
    with desk.work() as work:
        work.moves.put_in_box(7, desk.store.read.job(number).job_id)
        work.commit()
    look_up.set_desk(desk)
    assert look_up.take_code(ScanCode("box", "7"))
    settled()
    assert look_up.results.current.number == number
    assert look_up.take_code(ScanCode("box", "8"))
    settled()
    assert room.news.words.text() == "Nothing lies in box 8."
    assert not look_up.take_code(ScanCode("reply", "1"))


def test_the_codes_of_tickets_benches_and_practices_are_looked_up(look_up, desk, booked, settled):
    look_up.set_desk(desk)
    assert look_up.take_code(ScanCode("ticket", booked["18"].jobs[1].number, 1))
    settled()
    assert look_up.results.current.shown == shown(booked, "18", 1)
    assert look_up.take_code(ScanCode("practice", "QUILLB2"))
    settled()
    assert look_up.results.current.practice == "Quillbury Street Surgery"
    assert look_up.take_code(ScanCode("bench", "Casting"))
    settled()
    assert look_up.field.text() == "at Casting"
    assert look_up.results.current is None


def test_clearing_the_field_clears_the_place(look_up, found):
    found("qs 881")
    found("")
    look_up.field.textEdited.emit("")
    assert look_up.results.current is None
    assert look_up.card.empty.isVisible()


def test_of_many_keys_typed_in_a_row_only_the_last_answer_is_shown(look_up, found, booked, settled):
    for text in ("2", "26", "26 0000", "qs 881"):
        look_up.field.textEdited.emit(text)
    settled()
    assert look_up.results.model().rowCount() == 1
    assert look_up.results.current.shown == shown(booked, "02")


def test_a_scanned_ticket_shows_its_job(look_up, found, booked, settled):
    look_up.show_scanned(read_number(booked["18"].jobs[1].number).barcode(1))
    settled()
    assert look_up.results.current.shown == shown(booked, "18", 1)
    assert look_up.field.text() == shown(booked, "18", 1)
    assert look_up.field.selectedText() == look_up.field.text()  # what is typed next takes its place
    assert not look_up.card.replaced.isVisible()


def test_a_replaced_ticket_says_so(look_up, found, booked, press, qtbot, settled):
    number = read_number(booked["02"].jobs[0].number)
    found("qs 881")
    press(look_up, "Ctrl+P")
    press(reason_dialog(look_up, qtbot), "Return")
    settled()
    look_up.show_scanned(number.barcode(1))
    settled()
    assert "it no longer counts. Copy 2 replaced it" in look_up.card.replaced.text()
    assert look_up.card.replaced.isVisible()


def test_a_sound_ticket_of_another_lab_is_said_with_a_beep(look_up, found, settled, monkeypatch):
    beeps = []
    monkeypatch.setattr(QApplication, "beep", lambda: beeps.append(1))
    look_up.show_scanned(JobNumber.make(2026, 4123).barcode(1))
    settled()
    assert beeps == [1]
    assert "is it another laboratory’s ticket?" in look_up.results._said


def test_a_reprint_takes_two_keys_and_gives_the_usual_reason(look_up, found, booked, desk, press, qtbot, settled):
    found("qs 881")
    press(look_up, "Ctrl+P")
    with qtbot.waitSignal(look_up.issued) as issued:
        press(reason_dialog(look_up, qtbot), "Return")
    assert [each.sent for each in issued.args[0]] == [True]
    settled()
    assert copies(desk, booked["02"].jobs[0].number) == [(1, ""), (2, "lost")]
    assert "Copy 2 (lost)" in card_words(look_up)


@pytest.mark.parametrize(("pressed", "reason"), [(("Down",), "damaged"), ((), "coffee")], ids=["chosen", "typed"])
def test_the_reason_is_chosen_or_typed(look_up, found, booked, desk, press, type_text, qtbot, settled, pressed, reason):
    found("qs 881")
    press(look_up, "Ctrl+P")
    dialog = reason_dialog(look_up, qtbot)
    press(dialog, *pressed) if pressed else type_text(dialog, reason)
    press(dialog, "Return")
    settled()
    assert copies(desk, booked["02"].jobs[0].number)[-1] == (2, reason)


def test_escape_leaves_the_reprint_undone(look_up, found, booked, desk, press, qtbot, settled):
    found("qs 881")
    press(look_up, "Ctrl+P")
    press(reason_dialog(look_up, qtbot), "Escape")
    settled()
    assert len(copies(desk, booked["02"].jobs[0].number)) == 1


def test_without_a_job_nothing_is_printed_and_the_desk_is_told_why(look_up, desk, press, room):
    look_up.set_desk(desk)
    press(look_up, "Ctrl+P")
    assert room.news.words.text() == "Choose a job first, to print its ticket again."
    assert look_up.findChild(ReasonDialog) is None


def test_change_hands_the_case_to_arrivals(look_up, found, booked, press, qtbot):
    found("qs 881")
    with qtbot.waitSignal(look_up.change_wanted) as wanted:
        press(look_up, "Ctrl+R")
    assert wanted.args == [booked["02"].case_id]


def test_the_letter_to_the_practice_is_written_now(look_up, found, press, qtbot, settled, room):
    found("qs 881")
    with qtbot.waitSignal(look_up.issued):
        press(look_up, "Ctrl+T")
    settled()
    assert "asked in letter" in card_words(look_up)
    press(look_up, "Ctrl+T")
    settled()
    assert "nobody is written to twice a day" in room.news.words.text()


def test_a_withdrawn_case_can_be_taken_up_again_by_one_key(look_up, found, booked, desk, press, qtbot, settled, room):
    found("qs 881")
    press(look_up, "Ctrl+Shift+W")
    press(reason_dialog(look_up, qtbot), "Return")
    settled()
    assert look_up.card.box.accessibleDescription().endswith("WITHDRAWN")
    assert desk.store.read.case(booked["02"].case_id).state == "withdrawn"
    with qtbot.waitActive(look_up.window()):  # a screen’s window manager does this
        look_up.window().activateWindow()
    press(look_up, "F8")
    settled()
    assert desk.store.read.case(booked["02"].case_id).state == "open"
    assert look_up.card.box.accessibleDescription().endswith("HOLD")


def test_a_withdrawn_job_is_not_printed(look_up, found, press, qtbot, settled, room):
    found("qs 881")
    press(look_up, "Ctrl+Shift+W")
    press(reason_dialog(look_up, qtbot), "Return")
    settled()
    press(look_up, "Ctrl+P")
    assert "is withdrawn" in room.news.words.text()


def test_escape_goes_back(look_up, found, press, qtbot):
    found("qs 881")
    with qtbot.waitSignal(look_up.left):
        press(look_up, "Escape")


def test_every_deed_shows_its_key_and_works_by_mouse(look_up, found, room, qtbot):
    found("qs 881")
    for name in ("reprint", "change-case", "letter-now", "withdraw"):
        assert look_up._buttons[name].text().endswith(room.keys.shown(name))
    with qtbot.waitSignal(look_up.change_wanted):
        look_up._buttons["change-case"].click()


@pytest.mark.parametrize("scale", SIZES)
def test_nothing_is_cut_off_at_1366_by_768(look_up, found, look, press, qtbot, scale):
    look.choose_scale(scale)
    found("26")
    for _ in range(2):
        QApplication.processEvents()
        assert look_up.window().width() == 1366
        assert look_up.field.width() >= look.px(15)
        parts = [look_up.results, look_up.card, *look_up.findChildren(QAbstractButton)]
        for part in parts:
            if part.isVisible():
                assert part.mapTo(look_up, part.rect().topRight()).x() <= look_up.width(), part
        press(look_up, "Return")


def test_where_only_one_has_room_the_list_folds_away_for_the_card(look_up, found, look, press):
    look.choose_scale(200)
    found("26")
    assert (look_up.results.isVisible(), look_up.card.isVisible()) == (True, False)
    press(look_up, "Return")
    assert (look_up.results.isVisible(), look_up.card.isVisible()) == (False, True)
    press(look_up, "Escape")
    assert (look_up.results.isVisible(), look_up.card.isVisible()) == (True, False)


def test_text_from_outside_is_shown_as_it_is_written(look_up, desk, settled, type_text, qtbot, found):
    from intake.desk.book_in import book
    from tests.desk.desks import day_case

    case = day_case("02").model_copy(update={"notes": "<b>bold</b> & <img src=x>"})
    book(desk, case, "markup")
    found("26 000008")
    assert "<b>bold</b> & <img src=x>" in card_words(look_up)


def test_the_first_rows_are_there_within_a_tenth_of_a_second(look_up, found, type_text, settled):
    found("26")
    begun = time.perf_counter()
    found("q")
    assert time.perf_counter() - begun < 0.1


def test_who_comes_back_to_a_card_sees_the_case_as_it_is_now(look_up, found, desk, booked, press, settled):
    found("26")
    press(look_up, "Down")
    settled()
    chosen = look_up.results.current
    case = desk.store.read.case_of_job(chosen.number)
    withdraw(desk, case.case_id, case.version, "cancelled")
    look_up.begin_anew()
    settled()
    assert look_up.results.current.number == chosen.number
    assert look_up.results.current.state == "withdrawn"
    assert "was withdrawn" in look_up.card.sentence.text()


def test_who_comes_back_to_a_replaced_ticket_is_told_so_again(look_up, desk, booked, settled):
    look_up.set_desk(desk)
    number = read_number(booked["02"].jobs[0].number)
    reprint(desk, number, "lost")
    look_up.show_scanned(number.barcode(1))
    settled()
    look_up.begin_anew()
    settled()
    assert look_up.card.replaced.isVisible()
