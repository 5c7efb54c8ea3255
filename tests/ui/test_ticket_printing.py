"""Tickets on their way to paper: nobody waits for the printer, and nothing is lost on the way."""

import threading
from dataclasses import replace

import pytest
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.desk.book_in import book
from intake.desk.letters import letters_due
from intake.domain.lab import TicketRules
from intake.outbox.folder_queue import FolderQueue
from intake.outbox.print_queue import QueueInfo, QueueMissing
from intake.setup.reading import read_setup
from intake.store.opening import Store
from intake.ui.desk_line import DeskLine
from intake.ui.jobs import Jobs
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.printer_dialog import PrinterDialog
from intake.ui.room import Room
from intake.ui.ticket_printing import TicketPrinting
from tests.desk.desks import day_case, demo_lab, enter_practices, open_desk


class Printers:
    """Print queues that can be slow, missing, and asked what became of a job."""

    def __init__(self, folder):
        self.folder = FolderQueue(folder)
        self.missing, self.state_of_all = False, "waiting"
        self.gate = threading.Event()
        self.gate.set()

    def queues(self):
        return (QueueInfo("labels", True, "ready"), QueueInfo("office", False, "stopped"))

    def submit(self, pdf, title, queue, size_mm):
        self.gate.wait(10)
        if self.missing:
            raise QueueMissing(queue, ("office",))
        return self.folder.submit(pdf, title, queue, size_mm)

    def state(self, job):
        return self.state_of_all


@pytest.fixture
def printers(tmp_path):
    return Printers(tmp_path / "printed")


@pytest.fixture
def desk(sqlite_place, tmp_path, printers):
    store = Store.open(sqlite_place)
    enter_practices(store)
    yield replace(open_desk(store, tmp_path), queue=printers, folder=tmp_path)
    store.close()


@pytest.fixture
def room(look, keys, settings):
    problems = []
    jobs = Jobs(problems.append)
    yield Room(look, keys, News(look, keys), jobs, Memory(settings), settings)
    jobs.close()
    assert problems == []


@pytest.fixture
def line(room, settings):
    return DeskLine(room.look, room.keys, settings)


@pytest.fixture
def printing(room, line, qtbot):
    window = QWidget()
    column = QVBoxLayout(window)
    for part in (room.news, line):
        column.addWidget(part)
    for row in room.keys.table:
        window.addAction(room.keys.action(row.id))
    qtbot.addWidget(window)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    made = TicketPrinting(room, line, window)
    made.window = window
    yield made
    made.stop()
    window.close()


@pytest.fixture
def settled(qtbot, room):
    return lambda: qtbot.waitUntil(lambda: room.jobs.under_way == 0)


@pytest.fixture
def open_printing(printing, desk, settled):
    printing.set_desk(desk)
    settled()
    return printing


def booked(desk, name="02"):
    return book(desk, day_case(name), f"form-{name}")


def trouble(room):
    return room.news.trouble_words.text() if not room.news._trouble_row.isHidden() else ""


def states(desk, made):
    return [row.state for job in made.jobs for row in desk.store.read.documents_of(job.number)]


def test_a_booking_is_printed_and_said_with_the_queue_and_its_job(open_printing, desk, room, settled):
    made = booked(desk)
    open_printing.on_booked(made)
    settled()
    assert room.news.words.text() == (
        f"Booked in: {made.jobs[0].shown}, Splints, Blue box: HOLD; its ticket was accepted by files as job 1."
    )
    assert states(desk, made) == ["sent"]


def test_the_window_does_not_wait_for_a_printer_that_does_not_answer(open_printing, desk, printers, room, settled):
    printers.gate.clear()
    made = booked(desk)
    open_printing.on_booked(made)  # returns at once
    answered = []
    room.jobs.run(lambda: desk.store.read.case(made.case_id), answered.append)
    threading.Timer(0.3, printers.gate.set).start()
    settled()
    assert answered
    assert states(desk, made) == ["sent"]


def test_a_missing_queue_is_said_and_one_key_sends_the_ticket_again(
    open_printing, desk, printers, room, line, press, settled
):
    printers.missing = True
    made = booked(desk)
    open_printing.on_booked(made)
    settled()
    assert "waits for the printer. There is no print queue “files” on this computer." in trouble(room)
    assert line.waiting_button.text() == "1 ticket waits  F9"
    printers.missing = False
    press(open_printing.window, "F9")
    settled()
    assert (trouble(room), states(desk, made), line.waiting_button.isHidden()) == ("", ["sent"], True)


def test_at_the_start_what_waits_from_before_is_counted_and_said(printing, desk, room, line, settled):
    booked(desk, "18")
    printing.set_desk(desk)
    settled()
    assert room.news.words.text() == "2 documents wait for the printer from before. F9 sends them."
    assert line.waiting_button.text() == "2 tickets wait  F9"
    assert line.printer.text() == "Tickets go to files"


def test_the_queue_is_asked_until_it_is_done(open_printing, desk, printers, settled, qtbot):
    made = booked(desk)
    open_printing.on_booked(made)
    settled()
    open_printing._timer.timeout.emit()
    settled()
    assert states(desk, made) == ["sent"]
    printers.state_of_all = "done"
    open_printing._timer.timeout.emit()
    settled()
    assert states(desk, made) == ["done"]
    assert open_printing._timer.interval() >= 3000


def test_a_job_that_the_queue_gave_up_is_said_and_sent_again_by_key(
    open_printing, desk, printers, room, press, settled
):
    made = booked(desk)
    open_printing.on_booked(made)
    settled()
    printers.state_of_all = "failed"
    open_printing._timer.timeout.emit()
    settled()
    assert "the print queue “files” gave job 1 up" in trouble(room)
    printers.state_of_all = "waiting"
    press(open_printing.window, "F9")
    settled()
    assert states(desk, made) == ["sent"]


def test_without_a_printer_the_desk_is_told_and_chooses_one_by_keys(printing, desk, room, line, press, settled, qtbot):
    lab = demo_lab()
    rules = {name: getattr(lab, name).model_copy(update={"queue": None}) for name in ("ticket", "letter")}
    printing.set_desk(replace(desk, lab=lab.model_copy(update=rules)))
    printing.desk_changed.connect(printing.set_desk)
    settled()
    assert "No printer is chosen for tickets" in trouble(room)
    assert line.printer.text() == "No printer for tickets"
    press(printing.window, "Ctrl+Shift+P")
    settled()
    qtbot.waitUntil(lambda: printing.window.findChild(PrinterDialog) is not None)
    dialog = printing.window.findChild(PrinterDialog)
    qtbot.waitUntil(dialog.isActiveWindow)
    press(dialog, "Down", "Return")
    settled()
    assert read_setup(desk.folder / "setup.toml").ticket.queue == "labels"
    assert line.printer.text() == "Tickets go to labels"
    assert trouble(room) == ""


def test_a_queue_that_prints_nothing_now_says_so_in_the_list(look, qtbot):
    dialog = PrinterDialog(Printers("x").queues(), "gone", None, look)
    qtbot.addWidget(dialog)
    offered = [dialog.tickets.itemText(at) for at in range(dialog.tickets.count())]
    assert offered == ["none: they wait", "labels", "office: stopped", "gone (not on this computer)"]
    assert dialog.tickets.queue == "gone"


def test_all_letters_that_are_due_are_written_by_one_key(open_printing, desk, room, press, settled):
    for name in ("02", "05"):
        booked(desk, name)
    press(open_printing.window, "Ctrl+Shift+L")
    settled()
    assert letters_due(desk) == ()
    assert "accepted by files as job" in room.news.words.text()
    press(open_printing.window, "Ctrl+Shift+L")
    settled()
    assert room.news.words.text() == "No query letter is due: everything open has been asked."


def test_before_the_data_are_open_nothing_is_sent(printing, room):
    printing.send_again()
    assert "still being opened" in room.news.words.text()


def test_sending_again_says_at_once_that_it_is_under_way(open_printing, desk, printers, room, settled):
    printers.gate.clear()
    booked(desk)
    open_printing.send_again()
    assert room.news.words.text() == "Sending what waits for the printer …"
    printers.gate.set()
    settled()
    assert "accepted by files as job 1" in room.news.words.text()


def test_where_another_desk_has_sent_what_waited_that_is_said(open_printing, room, settled):
    open_printing.send_again()
    settled()
    assert room.news.words.text() == "Nothing waits for the printer."


def test_that_no_printer_is_chosen_is_one_trouble_not_two(printing, desk, room, settled):
    printing.set_desk(replace(desk, lab=desk.lab.model_copy(update={"ticket": TicketRules()})))
    settled()
    printing.on_booked(booked(desk))
    settled()
    assert room.news.trouble_words.text().endswith("Choose one, then send what waits again.")
