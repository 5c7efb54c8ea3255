"""Boxes handed over by the gun and by keys alone: each scan is answered at once, to be seen and heard."""

import time
from itertools import pairwise

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton

from intake.desk.book_in import book
from intake.desk.boxes import job_in_box
from intake.domain.job_number import JobNumber
from intake.domain.own_codes import own_code
from intake.domain.scan_codes import ScanCode
from tests.desk.desks import day_case
from tests.ui.sizes import SIZES

ASKED = "Is the clasp on UR4 wanted?"


def bench(name):
    return own_code("bench", name)


def job_now(desk, job):
    return desk.store.read.job(job.number)


def test_the_empty_place_says_what_it_is_for_and_what_to_press(person):
    assert person.board.what.text() == "Which bench?"
    assert "Scan a bench’s code" in person.way_on
    assert "Ctrl+R" in person.way_on
    assert person.board.field.hasFocus()


def test_a_bench_then_tickets(person, desk, booked):
    jobs = booked(2)
    person.scan(bench("Casting"))
    assert person.board.what.text() == "Boxes go to Casting"
    for job in jobs:
        person.scan_ticket(job)
        assert (person.word, person.said) == ("YES", "To Casting.")
        assert person.board.answer.number.text() == job.shown
        assert person.hear() == 1
    assert [job_now(desk, job).bench for job in jobs] == ["Casting", "Casting"]
    assert person.board.tally.text() == "Casting has 2 boxes · 2 yes, 0 no"
    assert person.lines == [f"YES {jobs[1].shown}", f"YES {jobs[0].shown}"]


def test_a_no_looks_and_sounds_otherwise_and_says_what_to_do(person, desk):
    held = book(desk, day_case("40"), "form").jobs[0]
    person.scan(bench("Casting"))
    person.scan_ticket(held)
    assert person.word == "NO"
    assert person.said.startswith("Held.")
    assert person.way_on == "Ring the practice: it stands in Waiting.  F11"
    assert person.hear() == 2
    assert job_now(desk, held).state == "held"


def test_yes_and_no_differ_by_word_shape_and_colour(person, booked, desk):
    """No two answers are told apart by their colour alone."""
    from PySide6.QtCore import QRectF
    from PySide6.QtGui import QImage, QPainter

    from intake.ui.handover.sign import paint_sign

    shapes = []
    for answer in ("yes", "no", "back", "asks"):
        image = QImage(60, 60, QImage.Format.Format_ARGB32)
        image.fill(Qt.GlobalColor.transparent)
        painter = QPainter(image)
        paint_sign(painter, answer, QRectF(0, 0, 60, 60), person.place._room.look.colours)
        painter.end()
        shapes.append({(x, y) for x in range(60) for y in range(60) if image.pixelColor(x, y).alpha() > 127})
    for one, other in pairwise(sorted(shapes, key=len)):
        assert len(one ^ other) > 100
    assert person.board.answer.accessibleName() == "Answer"


def test_forty_boxes_scanned_in_a_row_are_all_answered_and_moved(person, desk, booked, record_property):
    """A tray of forty: the gun never waits, nothing is lost, and the answers come in the order of the scans."""
    jobs = booked(40)
    person.scan(bench("Casting"))
    begun = time.perf_counter()
    for job in jobs:
        person.passes(1)
        person.scan_at_once(JobNumber(job.number).barcode(1))
    scanned = time.perf_counter() - begun
    person.wait()
    took = time.perf_counter() - begun
    assert person.lines[::-1] == [f"YES {job.shown}" for job in jobs]
    assert desk.store.read.bench_counts() == {"Casting": 40}
    assert person.board.field.text() == ""
    assert person.board.tally.text() == "Casting has 40 boxes · 40 yes, 0 no"
    assert person.hear() == 40
    record_property("ms for one box", round(took / 40 * 1000, 1))
    record_property("ms for one scan", round(scanned / 40 * 1000, 1))
    assert took < 30, "forty boxes have a minute, and the hand needs its part of it"


def test_no_single_scan_holds_the_window_up(person, desk, booked):
    """Key press to free window, for each of ten scans, while the store is busy with those before it."""
    jobs = booked(10)
    person.scan(bench("Casting"))
    person.jobs.run(lambda: time.sleep(0.5))  # another desk's backup, say
    slowest = 0.0
    for job in jobs:
        person.passes(1)
        begun = time.perf_counter()
        person.scan_at_once(JobNumber(job.number).barcode(1))
        slowest = max(slowest, time.perf_counter() - begun)
    assert slowest < 0.2
    assert person.lines == []
    person.wait()
    assert len(person.lines) == 10


def test_the_same_ticket_twice_within_seconds_is_one_move(person, desk, booked):
    (job,) = booked()
    person.scan(bench("Casting"))
    person.scan_ticket(job)
    person.scan_ticket(job)
    assert person.word == "YES"
    assert "once is enough" in person.said
    assert len(desk.store.read.moves_of(job_now(desk, job).job_id)) == 1


def test_a_number_is_typed_and_a_bench_chosen_by_its_digit(person, desk, booked):
    (job,) = booked()
    person.type("1").press("Return")
    assert person.board.benches.bench == "Casting"
    person.type(job.shown).press("Return")
    assert person.word == "YES"
    assert job_now(desk, job).bench == "Casting"
    assert person.board.field.text() == ""


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("26 000001 99", "one digit is wrong"),
        ("77", "There is no bench 77"),
        ("xyz", "No bench begins so"),
        ("s", "It could be Splints or Sleep or Setting up"),
    ],
)
def test_what_cannot_be_read_says_so_and_is_kept(person, typed, says):
    person.type(typed).press("Return")
    assert person.word == "NO"
    assert says in person.said
    assert person.board.field.text() == typed
    assert person.hear() == 2


def test_benches_are_chosen_by_the_beginning_of_their_name_and_by_the_arrows(person):
    person.type("spl").press("Return")
    assert person.board.benches.bench == "Splints"
    person.press("Down")
    assert person.board.benches.bench == "Forming"
    person.press("Up", "Up")
    assert person.board.benches.bench == "Casting"


def test_the_list_of_benches_is_worked_by_keys(person):
    person.press("F6")
    assert person.board.benches.hasFocus()
    person.press("Down")
    assert person.board.benches.bench == "Splints"
    person.type("5")
    assert person.board.benches.bench == "Wire"
    person.press("Return")
    assert person.board.field.hasFocus()
    assert person.board.what.text() == "Boxes go to Wire"


def test_a_ticket_before_any_bench_asks_for_the_bench(person, booked):
    (job,) = booked()
    person.scan_ticket(job)
    assert (person.word, person.said) == ("NO", "No bench is chosen.")
    assert person.way_on.endswith("F6")
    assert person.hear() == 2


def test_a_bench_takes_in_and_sends_on(person, desk, booked, clock):
    (job,) = booked()
    person.scan(bench("Casting"))
    person.scan_ticket(job)
    person.press("Ctrl+I")
    assert person.board.what.text() == "Casting takes boxes in"
    person.scan_ticket(job)
    assert person.said == "Taken in at Casting."
    person.press("Ctrl+O")
    assert person.board.what.text() == "Casting is done with boxes"
    person.scan_ticket(job)
    assert person.said == "Casting is done with it. It goes to Splints next."
    kinds = [move.kind for move in desk.store.read.moves_of(job_now(desk, job).job_id)]
    assert kinds == ["handed-over", "in", "out"]


def test_a_box_comes_back_with_a_reason_by_one_key(person, desk, booked):
    (job,) = booked()
    person.scan(bench("Casting"))
    person.scan_ticket(job)
    person.press("Ctrl+3")
    assert person.board.what.text() == "Boxes come back to reception"
    person.scan_ticket(job)
    assert person.word == "BACK"
    assert person.said == "Back from Casting: damaged. It is clear and waits at reception."
    assert job_now(desk, job).state == "clear"


def test_a_question_is_typed_first_and_goes_with_one_box(person, desk, booked):
    first, second = booked(2)
    person.scan(bench("Casting"))
    person.scan_ticket(first).scan_ticket(second)
    person.press("Ctrl+R")
    assert person.board.back.edit.hasFocus()
    person.type(ASKED)
    person.scan_ticket(first)
    assert person.word == "BACK"
    assert person.board.back.words == ""
    assert job_now(desk, first).state == "held"
    (query,) = desk.store.read.queries_of(job_now(desk, first).case_id)
    assert query.question == ASKED
    person.hear()
    person.scan_ticket(second)
    assert (person.word, person.said) == ("WAIT", "What is the practice to be asked?")
    assert job_now(desk, second).state == "gone"


def test_a_box_that_is_scanned_first_waits_for_its_question(person, desk, booked):
    (job,) = booked()
    person.scan(bench("Casting"))
    person.scan_ticket(job)
    person.press("Ctrl+R", "Escape")
    person.scan_ticket(job)
    assert person.word == "WAIT"
    assert person.board.back.edit.hasFocus()
    person.type(ASKED).press("Return")
    assert person.word == "BACK"
    assert job_now(desk, job).state == "held"
    assert person.board.field.hasFocus()


def test_a_question_that_is_left_moves_nothing(person, desk, booked):
    (job,) = booked()
    person.scan(bench("Casting"))
    person.scan_ticket(job)
    person.press("Ctrl+R")
    person.scan_ticket(job)
    person.press("Escape")
    person.type("x").press("Escape", "Escape")
    assert job_now(desk, job).state == "gone"


def test_the_ticket_of_a_held_box_is_printed_anew(person, desk, booked, qtbot):
    (job,) = booked()
    from intake.desk.issue import issue_all

    issue_all(desk, [job.document_id])
    person.scan(bench("Casting"))
    person.scan_ticket(job)
    person.press("Ctrl+R")
    person.type(ASKED)
    with qtbot.waitSignal(person.place.issued) as issued:
        person.scan_ticket(job)
    (ticket,) = issued.args[0]
    assert ticket.document.reason == "question raised"


def test_a_bench_that_is_scanned_while_boxes_come_back_hands_over_again(person):
    person.press("Ctrl+R")
    person.scan(bench("Splints"))
    assert person.board.what.text() == "Boxes go to Splints"


def test_moves_are_taken_back_one_after_the_other(person, desk, booked):
    jobs = booked(2)
    person.scan(bench("Casting"))
    for job in jobs:
        person.scan_ticket(job)
    person.press("F8")
    assert person.news == f"Taken back: {jobs[1].shown} is where it was before."
    assert [job_now(desk, job).state for job in jobs] == ["gone", "clear"]
    assert [line.undone for line in person.board.last.lines.lines] == [True, False]
    person.press("F8")
    assert [job_now(desk, job).state for job in jobs] == ["clear", "clear"]
    assert person.window.news.undo_button.isHidden()


def test_a_move_that_was_overtaken_is_not_taken_back(person, desk, booked):
    from intake.desk.hand_over import hand_over

    (job,) = booked()
    person.scan(bench("Casting"))
    person.scan_ticket(job)
    hand_over(desk, "Splints", ScanCode("ticket", job.number, 1))
    person.press("F8")
    assert "was moved on since" in person.news
    assert job_now(desk, job).bench == "Splints"


@pytest.mark.parametrize("order", ["ticket first", "box first"])
def test_a_box_label_and_a_ticket_right_after_one_another_belong_together(person, desk, booked, order):
    (job,) = booked()
    person.scan(bench("Casting"))
    if order == "ticket first":
        person.scan_ticket(job).scan(own_code("box", str(12)))
    else:
        person.scan(own_code("box", str(12))).scan_ticket(job)
    assert job_in_box(desk, 12).number == job.number
    assert person.lines[0] == "BOX 12"
    assert person.said == f"Job {job.shown} lies in box 12."


def test_pairs_of_box_and_ticket_do_not_get_mixed_up(person, desk, booked):
    jobs = booked(3)
    person.scan(bench("Casting"))
    for number, job in enumerate(jobs, start=1):
        person.scan(own_code("box", str(number))).scan_ticket(job)
    assert [job_in_box(desk, number).number for number in (1, 2, 3)] == [job.number for job in jobs]


def test_a_box_in_use_is_a_no_and_the_ticket_is_moved_all_the_same(person, desk, booked):
    first, second = booked(2)
    person.scan(bench("Casting"))
    person.scan_ticket(first).scan(own_code("box", str(12)))
    person.hear()
    person.scan_ticket(second).scan(own_code("box", str(12)))
    assert person.word == "NO"
    assert f"Box 12 is in use: job {first.shown}" in person.said
    assert person.hear() == 3
    assert job_now(desk, second).bench == "Casting"


def test_a_scan_that_is_no_code_of_the_lab_is_a_no_that_is_heard_twice(person):
    person.scan(bench("Casting"))
    person.scan("260000019901")
    assert person.word == "NO"
    assert "one digit is wrong" in person.said
    assert person.hear() == 2
    assert person.board.field.text() == ""


def test_codes_of_other_places_are_left_to_them(person):
    assert not person.place.take_code(ScanCode("parcel", "RR123456785GB"))
    assert not person.place.take_code(ScanCode("practice", "MARLOW1"))
    assert not person.place.take_code(ScanCode("reply", "12"))


def test_a_scan_before_the_data_are_open_says_so(open_person, booked):
    (job,) = booked()
    person = open_person(None)
    person.scan(bench("Casting"))
    person.scan_ticket(job)
    assert "still being opened" in person.news


def test_esc_clears_what_is_typed_and_then_goes_back(person, qtbot):
    person.type("26")
    with qtbot.assertNotEmitted(person.place.left):
        person.press("Escape")
    assert person.board.field.text() == ""
    with qtbot.waitSignal(person.place.left):
        person.press("Escape")


def test_the_yes_after_a_no_is_heard_apart_from_it(person, desk, booked):
    held, (job,) = book(desk, day_case("40"), "held").jobs[0], booked()
    person.scan(bench("Casting"))
    person.hear()
    for each in (held, job):
        person.passes(1)
        person.scan_at_once(JobNumber(each.number).barcode(1))
    person.wait()
    assert person.hear() == 3


def test_every_field_has_help_a_name_and_a_key(person, access_keys):
    board = person.board
    for part in (board.field, board.back.edit, board.benches, board.last):
        assert part.accessibleName()
        assert part.property("help")
    letters = access_keys(person.window)
    assert all(len(words) == 1 for words in letters.values()), letters


def test_every_button_shows_its_key(person):
    for button in [*person.board.modes.values(), *person.board.back.buttons.values()]:
        assert "Ctrl+" in button.text()


@pytest.mark.parametrize("scale", SIZES)
@pytest.mark.parametrize("asking", [False, True], ids=["handing over", "bringing back"])
def test_nothing_is_cut_off_at_any_size_of_text(open_person, desk, booked, scale, asking):
    (job,) = booked()
    person = open_person(desk, scale=scale)
    person.scan(bench("Casting"))
    if asking:
        person.scan_ticket(job).press("Ctrl+3")
    person.scan_ticket(job)
    board = person.board
    shown = [board.answer.word, board.answer.number, board.answer.sign, board.field, board.what]
    shown += [button for button in person.window.findChildren(QPushButton) if button.isVisible()]
    for part in shown:
        assert part.isVisible()
        assert part.width() >= part.minimumSizeHint().width(), part
        assert part.height() >= part.minimumSizeHint().height(), part
        corner = part.mapTo(person.window, part.rect().bottomRight())
        assert person.window.rect().contains(corner), part
    assert board.answer.sign.height() >= board.answer.sign.sizeHint().height()
    top = board.area.viewport().mapToGlobal(board.area.viewport().rect().bottomLeft()).y()
    assert board.answer.number.mapToGlobal(board.answer.number.rect().bottomLeft()).y() <= top
    assert QApplication.focusWidget() is not None
