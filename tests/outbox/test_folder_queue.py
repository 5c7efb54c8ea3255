"""The folder that stands in for the printers."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.outbox.folder_queue import FolderQueue, file_title
from intake.outbox.print_queue import PrinterTrouble, QueueJob

A6 = (105.0, 148.0)
PDF = b"%PDF-1.4\n"


def names(folder):
    return sorted(entry.name for entry in folder.iterdir())


def test_each_job_is_kept_as_a_numbered_file(tmp_path):
    queue = FolderQueue(tmp_path / "out" / "paper")
    first = queue.submit(PDF + b"1", "Ticket 26 004123 76", "Tickets", A6)
    second = queue.submit(PDF + b"2", "Letter MARLOW1", "Letters", A6)
    assert (first, second) == (QueueJob("Tickets", 1), QueueJob("Letters", 2))
    assert names(tmp_path / "out/paper") == ["0001 Ticket 26 004123 76.pdf", "0002 Letter MARLOW1.pdf"]
    assert queue.file(second).read_bytes() == PDF + b"2"


def test_numbers_go_on_after_a_restart_and_past_an_unfinished_file(tmp_path):
    FolderQueue(tmp_path).submit(PDF, "one", "Tickets", A6)
    (tmp_path / ".0002.part").write_bytes(b"%PD")
    assert FolderQueue(tmp_path).submit(PDF, "two", "Tickets", A6).number == 3
    assert FolderQueue(tmp_path).submit(PDF, "three", "Tickets", A6).number == 4


def test_a_job_is_done_while_its_file_is_there(tmp_path):
    queue = FolderQueue(tmp_path)
    job = queue.submit(PDF, "one", "Tickets", A6)
    assert queue.state(job) == "done"
    queue.file(job).unlink()
    assert queue.state(job) == "unknown"


def test_desks_that_print_at_once_never_share_a_number(tmp_path):
    with ThreadPoolExecutor(8) as desks:
        jobs = list(desks.map(lambda n: FolderQueue(tmp_path).submit(PDF, f"job {n}", "Tickets", A6), range(60)))
    assert sorted(job.number for job in jobs) == list(range(1, 61))
    assert len(names(tmp_path)) == 60


def test_a_folder_that_cannot_be_written_to_is_said_so(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(PrinterTrouble, match="cannot be written to"):
        FolderQueue(tmp_path / "file").submit(PDF, "one", "Tickets", A6)


def test_a_title_that_is_only_a_path_gives_a_plain_name(tmp_path):
    FolderQueue(tmp_path).submit(PDF, "../../etc/passwd", "Tickets", A6)
    FolderQueue(tmp_path).submit(PDF, " .. ", "Tickets", A6)
    assert names(tmp_path) == ["0001 -..-etc-passwd.pdf", "0002.pdf"]


@given(st.text(max_size=200))
def test_any_title_is_a_file_name_on_any_system(title):
    # The characters and endings that Windows refuses: Microsoft, "Naming Files, Paths, and Namespaces".
    kept = file_title(title)
    assert not set(kept) & set('<>:"/\\|?*')
    assert kept.isprintable()
    assert not kept.endswith((" ", "."))
    assert len(kept) <= 80
