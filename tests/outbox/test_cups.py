"""The print queue against a real CUPS server on the loopback."""

import io
import os
import time

import pytest
from pypdf import PdfReader
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from intake.outbox.cups import Cups
from intake.outbox.print_queue import PrinterTrouble, PrintQueue, QueueInfo, QueueJob, QueueMissing, QueueStopped

pytestmark = pytest.mark.skipif(os.name == "nt", reason="CUPS is the print service of Linux and macOS")
A6 = (105.0, 148.0)
LABEL = (100.0, 150.0)


def ticket(words: str, size_mm: tuple[float, float] = A6) -> bytes:
    """A small PDF that says some words."""
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=(size_mm[0] * mm, size_mm[1] * mm))
    canvas.setProducer("Intake")
    canvas.drawString(20, 20, words)
    canvas.save()
    return file.getvalue()


def settled(queue: PrintQueue, job: QueueJob) -> str:
    """The state of a job once it neither waits nor prints, at most ten seconds on."""
    deadline = time.monotonic() + 10
    while (state := queue.state(job)) in ("waiting", "printing") and time.monotonic() < deadline:
        time.sleep(0.05)
    return state


@pytest.fixture
def queue(print_server):
    return Cups(print_server.address)


@pytest.mark.parametrize("size", [A6, (148.0, 210.0), LABEL], ids=["A6", "A5", "roll label"])
def test_the_queue_prints_the_job_itself_at_its_own_size(print_server, queue, size):
    paper = print_server.add("Tickets")
    job = queue.submit(ticket("26 004123 76", size), "26 004123 76", "Tickets", size)
    assert settled(queue, job) == "done"
    page = PdfReader(paper).pages[0]
    assert page.extract_text().strip() == "26 004123 76"
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
        (size[0] * mm, size[1] * mm), abs=1
    )


def test_each_job_has_a_number_of_its_own(print_server, queue):
    print_server.add("Tickets")
    jobs = [queue.submit(ticket(str(copy)), "26 004123 76", "Tickets", A6) for copy in (1, 2)]
    assert jobs[0].number < jobs[1].number
    assert {job.queue for job in jobs} == {"Tickets"}


@pytest.mark.parametrize("asked", ["Nowhere", "tickets", "Tickets/duplex", "Ticket", "", "-d"])
def test_no_other_queue_takes_what_a_missing_one_was_to_print(print_server, queue, asked):
    paper = print_server.add("Tickets")
    print_server.admin("lpadmin", "-d", "Tickets")
    before = paper.read_bytes()
    with pytest.raises(QueueMissing, match=f"“{asked}”.*“Tickets”"):
        queue.submit(ticket("lost"), "26 004123 76", asked, A6)
    assert paper.read_bytes() == before


def test_a_stopped_queue_is_an_error_and_prints_after_it_was_started_again(print_server, queue):
    paper = print_server.add("Stopped")
    print_server.admin("cupsdisable", "-r", "Out of paper", "Stopped")
    with pytest.raises(QueueStopped, match=r"“Stopped” is stopped \(Out of paper\)"):
        queue.submit(ticket("first"), "26 004123 76", "Stopped", A6)
    print_server.admin("cupsenable", "Stopped")
    assert settled(queue, queue.submit(ticket("second"), "26 004123 76", "Stopped", A6)) == "done"
    assert PdfReader(paper).pages[0].extract_text().strip() == "second"


def test_a_queue_that_refuses_jobs_is_an_error_and_prints_after_it_accepts_again(print_server, queue):
    paper = print_server.add("Refusing")
    print_server.admin("cupsreject", "-r", "No labels", "Refusing")
    with pytest.raises(QueueStopped, match=r"“Refusing” is refusing jobs \(No labels\)"):
        queue.submit(ticket("first"), "26 004123 76", "Refusing", A6)
    print_server.admin("cupsaccept", "Refusing")
    assert settled(queue, queue.submit(ticket("second"), "26 004123 76", "Refusing", A6)) == "done"
    assert PdfReader(paper).pages[0].extract_text().strip() == "second"


def test_the_queues_are_listed_with_what_keeps_them_from_printing(print_server, queue):
    for name in ("Etykiety_Łódź", "Off", "Shut"):
        print_server.add(name)
    print_server.admin("cupsdisable", "-r", "Door open", "Off")
    print_server.admin("cupsreject", "Shut")
    listed = {info.name: info for info in queue.queues()}
    assert listed["Etykiety_Łódź"] == QueueInfo("Etykiety_Łódź", True, "ready")
    assert listed["Off"] == QueueInfo("Off", False, "stopped (Door open)")
    assert listed["Shut"].accepting is False


def test_a_job_that_was_cancelled_at_the_printer_has_failed(print_server, queue):
    print_server.add("Holding")
    print_server.admin("lpadmin", "-p", "Holding", "-o", "job-hold-until-default=indefinite")
    held = queue.submit(ticket("never"), "26 004123 76", "Holding", A6)
    assert queue.state(held) == "waiting"
    print_server.admin("cancel", f"Holding-{held.number}")
    assert settled(queue, held) == "failed"


def test_a_queue_that_goes_away_at_the_last_moment_is_missing_all_the_same(print_server, queue, tmp_path, monkeypatch):
    paper = print_server.add("Tickets")
    print_server.admin("lpadmin", "-d", "Tickets")
    before = paper.read_bytes()
    asked = tmp_path / "asked"
    listing = tmp_path / "lpstat"  # says once that the queue is there, as it was a moment ago
    listing.write_text(
        f'#!/bin/sh\nif [ -e {asked} ]; then exec /usr/bin/lpstat "$@"; fi\ntouch {asked}\n'
        "echo 'Gone accepting requests since Wed Nov 25 08:21:11 2026'\n"
    )
    listing.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    with pytest.raises(QueueMissing, match="“Gone”"):
        Cups(print_server.address).submit(ticket("lost"), "26 004123 76", "Gone", A6)
    assert asked.exists()
    assert paper.read_bytes() == before


def test_a_job_of_another_queue_or_none_is_unknown(print_server, queue):
    print_server.add("Tickets")
    job = queue.submit(ticket("one"), "26 004123 76", "Tickets", A6)
    assert queue.state(QueueJob("Letters", job.number)) == "unknown"
    assert queue.state(QueueJob("Tickets", 99_999)) == "unknown"


@pytest.mark.usefixtures("print_server")
def test_a_print_service_that_is_not_there_is_said_so():
    with pytest.raises(PrinterTrouble, match="does not answer"):
        Cups("127.0.0.1:9").queues()
    with pytest.raises(PrinterTrouble, match="job 3"):
        Cups("127.0.0.1:9").state(QueueJob("Tickets", 3))


def test_a_computer_without_the_commands_is_said_so(monkeypatch):
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(PrinterTrouble, match="no command “lpstat”"):
        Cups().queues()


def test_a_hanging_print_service_is_not_waited_for_and_nothing_is_sent_twice(tmp_path, monkeypatch):
    slow = tmp_path / "lpstat"
    slow.write_text("#!/bin/sh\nexec sleep 30\n")
    slow.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    with pytest.raises(PrinterTrouble, match=r"within 0\.2 seconds"):
        Cups(timeout=0.2).queues()


def test_the_title_on_the_queue_is_one_line(print_server, queue):
    print_server.add("Tickets")
    job = queue.submit(ticket("x"), "26 004123 76\r\ncopy\x002", "Tickets", A6)
    assert settled(queue, job) == "done"
    log = (print_server.root / "log/error_log").read_text("utf-8", "replace")
    assert f'[Job {job.number}] argv[3]="26 004123 76 copy 2"' in log


def test_only_pdf_goes_to_a_queue(queue):
    with pytest.raises(ValueError, match="PDF"):
        queue.submit(b"%!PS", "26 004123 76", "Tickets", A6)
