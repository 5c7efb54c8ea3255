"""Tickets and letters drawn, kept, and handed to exactly the queue that was named."""

import os
import threading
import time
from dataclasses import replace

import pytest

from intake.desk.book_in import book, take_back
from intake.desk.follow import follow
from intake.desk.issue import count_waiting, issue, issue_all, issue_waiting
from intake.desk.issue_words import booked_words, issued_words, problem_words
from intake.desk.letters import write_due
from intake.domain.job_number import read_number
from intake.outbox.cups import Cups
from intake.outbox.folder_queue import FolderQueue
from intake.outbox.print_queue import QueueJob, QueueMissing
from tests.desk.desks import day_case, demo_lab, printed
from tests.documents.reading import rendered, scanned, text_of
from tests.outbox.conftest import print_server  # noqa: F401  # the real print service of the outbox's own tests


class Moody:
    """A print queue that is missing for a while, and says of each job what it is told to say."""

    def __init__(self, folder):
        self.folder = FolderQueue(folder)
        self.missing = False
        self.states = {}

    def queues(self):
        return self.folder.queues()

    def submit(self, pdf, title, queue, size_mm):
        if self.missing:
            raise QueueMissing(queue)
        return self.folder.submit(pdf, title, queue, size_mm)

    def state(self, job):
        return self.states.get(job.number, "waiting")


@pytest.fixture
def moody(tmp_path):
    return Moody(tmp_path / "printed")


@pytest.fixture
def moody_desk(desk, moody):
    return replace(desk, queue=moody)


def booked(desk, name="02"):
    return book(desk, day_case(name), f"form-{name}")


def states(desk, made):
    return [row.state for job in made.jobs for row in desk.store.read.documents_of(job.number)]


def test_a_ticket_is_kept_as_it_was_printed(desk, tmp_path):
    made = booked(desk)
    (issued,) = issue_all(desk, made.tickets)
    kept = desk.store.read.pdf(made.tickets[0])
    assert (tmp_path / "printed" / printed(tmp_path)[0]).read_bytes() == kept
    assert (issued.queue, issued.queue_job, states(desk, made)) == ("files", 1, ["sent"])
    assert scanned(rendered(kept)[0]) == [read_number(made.jobs[0].number).barcode(1)]


def test_the_printers_list_shows_numbers_and_no_patient(desk, tmp_path):
    made = booked(desk)
    issue_all(desk, made.tickets)
    write_due(desk)
    assert printed(tmp_path) == [f"0001 Ticket {made.jobs[0].shown}.pdf", "0002 Letter 2.pdf"]


def test_a_ticket_that_could_not_be_printed_waits_with_the_problem_and_is_sent_again(moody_desk, moody):
    made = booked(moody_desk)
    moody.missing = True
    (issued,) = issue_all(moody_desk, made.tickets)
    assert "There is no print queue “files”" in issued.problem
    assert (states(moody_desk, made), count_waiting(moody_desk).tickets) == (["failed"], 1)
    moody.missing = False
    (again,) = issue_waiting(moody_desk)
    assert again.sent
    assert count_waiting(moody_desk).tickets == 0


def test_one_that_fails_does_not_keep_back_the_others(moody_desk, moody, monkeypatch):
    made = booked(moody_desk, "18")
    refused = iter([True, False])
    submit = moody.submit
    monkeypatch.setattr(moody, "submit", lambda *a: (setattr(moody, "missing", next(refused)), submit(*a))[1])
    first, second = issue_all(moody_desk, made.tickets)
    assert (first.sent, second.sent) == (False, True)


def test_without_a_queue_in_the_setup_the_ticket_waits_and_says_what_to_do(desk):
    lab = demo_lab()
    nowhere = replace(desk, lab=lab.model_copy(update={"ticket": lab.ticket.model_copy(update={"queue": None})}))
    (issued,) = issue_all(nowhere, booked(nowhere).tickets)
    assert issued.problem == "No printer is chosen for tickets. Choose one, then send what waits again."


def test_a_document_asked_for_twice_is_printed_once(desk, tmp_path):
    made = booked(desk)
    first, second = issue(desk, made.tickets[0]), issue(desk, made.tickets[0])
    assert (first.queue_job, second.queue_job) == (1, 1)
    assert len(printed(tmp_path)) == 1


def test_two_that_print_the_same_document_at_once_print_it_once(desk, tmp_path):
    made = booked(desk, "18")
    threads = [threading.Thread(target=issue_all, args=(desk, made.tickets)) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(printed(tmp_path)) == len(made.tickets)


def test_a_ticket_whose_case_was_taken_back_is_not_printed(desk, tmp_path):
    made = booked(desk)
    take_back(desk, made)
    (issued,) = issue_all(desk, made.tickets)
    assert "was cancelled before it was printed" in issued.problem
    assert printed(tmp_path) == []


def test_the_ticket_carries_what_the_practice_wrote_of_the_whole_case(desk):
    made = booked(desk, "62")
    issue_all(desk, made.tickets)
    words = " ".join(" ".join(text_of(desk.store.read.pdf(made.tickets[0]))).split())
    assert "The prescription says: Allergic to methacrylate, patch test on file; ring me about the base" in words


def test_a_standing_instruction_stands_on_the_ticket(desk):
    made = booked(desk, "43")
    issue_all(desk, made.tickets)
    words = " ".join(" ".join(text_of(desk.store.read.pdf(made.tickets[0]))).split())
    assert "Standing: 1.0 mm unless stated" in words


def test_the_queue_says_when_it_is_done(moody_desk, moody):
    made = booked(moody_desk)
    issue_all(moody_desk, made.tickets)
    assert follow(moody_desk).under_way == 1
    moody.states[1] = "done"
    assert follow(moody_desk).done == 1
    assert states(moody_desk, made) == ["done"]


def test_a_job_that_the_queue_gave_up_has_failed_and_waits(moody_desk, moody):
    made = booked(moody_desk)
    issue_all(moody_desk, made.tickets)
    moody.states[1] = "failed"
    followed = follow(moody_desk)
    assert followed.failed == (f"Ticket {made.jobs[0].shown}: the print queue “files” gave job 1 up.",)
    assert states(moody_desk, made) == ["failed"]
    (again,) = issue_waiting(moody_desk)
    assert again.queue_job == 2


def test_a_job_of_which_the_queue_keeps_no_trace_is_asked_for_once(moody_desk, moody):
    made = booked(moody_desk)
    issue_all(moody_desk, made.tickets)
    moody.states[1] = "unknown"
    followed = follow(moody_desk)
    assert followed.untraced == made.tickets
    assert follow(moody_desk, followed.untraced).untraced == ()
    assert states(moody_desk, made) == ["sent"]


def test_what_was_accepted_is_said_with_the_queue_and_its_job(desk):
    made = booked(desk)
    issued = issue_all(desk, made.tickets)
    assert issued_words(issued) == f"Ticket {made.jobs[0].shown}: accepted by files as job 1."
    assert booked_words(made, issued) == (
        f"Booked in: {made.jobs[0].shown}, Splints, Blue box: HOLD; its ticket was accepted by files as job 1."
    )
    assert problem_words(issued) == ""


def test_what_waits_is_said_with_its_problem_once(moody_desk, moody):
    moody.missing = True
    issued = issue_all(moody_desk, booked(moody_desk, "18").tickets)
    said = problem_words(issued)
    assert said.count("There is no print queue") == 1
    assert " and Ticket " in said
    assert issued_words(issued) == ""


@pytest.mark.skipif(os.name == "nt", reason="CUPS is the print service of Linux and macOS")
def test_a_case_goes_from_the_form_to_the_paper_of_a_real_queue(print_server, desk):  # noqa: F811
    paper = print_server.add("Desk-tickets")
    lab = demo_lab()
    lab = lab.model_copy(update={"ticket": lab.ticket.model_copy(update={"queue": "Desk-tickets"})})
    real = replace(desk, lab=lab, queue=Cups(print_server.address))
    made = booked(real)
    (issued,) = issue_all(real, made.tickets)
    assert issued.sent
    deadline = time.monotonic() + 20
    while follow(real).done == 0 and time.monotonic() < deadline:
        time.sleep(0.05)
    assert states(real, made) == ["done"]
    assert scanned(rendered(paper.read_bytes())[0]) == [read_number(made.jobs[0].number).barcode(1)]
    assert real.queue.state(QueueJob("Desk-tickets", issued.queue_job)) == "done"


def test_many_jobs_of_a_case_are_counted_so_that_the_news_stays_short(desk):
    jobs = booked(desk).jobs
    many = replace(booked(desk, "18"), jobs=jobs * 4)
    assert booked_words(many, ()) == f"Booked in: 4 jobs, 4 of them on HOLD, from {jobs[0].shown} on."
