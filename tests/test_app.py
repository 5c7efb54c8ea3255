"""Putting the parts together: which way is taken, and what each is handed."""

from datetime import UTC, datetime, timedelta

import pytest

from intake import __version__
from intake.app import initials, lab_clock, main, open_desk, printing_to_files
from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.outbox.folder_queue import FolderQueue
from intake.resources import demo
from intake.setup.places import DataFolder
from intake.setup.reading import read_setup
from tests.desk.desks import day_file


@pytest.fixture
def folder(tmp_path):
    """A data folder with the demo's setup."""
    path = tmp_path / "data"
    path.mkdir()
    (path / "setup.toml").write_bytes(demo("lab.toml").read_bytes())
    return DataFolder(path)


def in_zone(zone):
    lab = read_setup(demo("lab.toml"))
    return lab.model_copy(update={"calendar": lab.calendar.model_copy(update={"zone": zone})})


def test_the_version_is_said_at_once(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"Intake {__version__}\n"


def test_a_command_is_run_on_the_folder_that_is_named(folder, capsys):
    words = ["book", str(day_file("01")), "--out", str(folder.path / "paper")]
    assert main(["--data", str(folder.path), *words]) == 1  # held: nobody is in the directory yet
    assert "accepted by files as job 1." in capsys.readouterr().out
    assert main(["--data", str(folder.path), "verify"]) == 0


def test_the_directory_file_beside_the_setup_is_used_by_the_commands(folder, capsys):
    folder.practices.write_bytes(demo("practices.toml").read_bytes())
    data = ["--data", str(folder.path)]
    assert main([*data, "check", str(day_file("01"))]) == 0
    assert not folder.store.exists(), "a check keeps nothing"
    assert main([*data, "book", str(day_file("01")), "--out", str(folder.path / "paper")]) == 0
    said = capsys.readouterr().err.splitlines()
    assert said == ["16 practices of practices.toml came into the directory."]
    assert main([*data, "check", str(day_file("01"))]) == 0
    assert capsys.readouterr().err == ""


def test_a_faulty_directory_file_is_one_line_and_stops_nothing(folder, capsys):
    folder.practices.write_text("[[practices]", encoding="utf-8")
    data = ["--data", str(folder.path)]
    for words in (["check"], ["book", "--out", str(folder.path / "paper")]):
        assert main([*data, *words, str(day_file("01"))]) in (0, 1)
        said = capsys.readouterr()
        assert [line for line in said.err.splitlines() if "practices.toml is not TOML" in line] != []
        assert "Splints, Blue box" in said.out


def test_a_command_on_a_folder_that_is_none_is_told_in_words(tmp_path, capsys):
    (tmp_path / "file").write_text("")
    assert main(["--data", str(tmp_path / "file"), "find", "x"]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_desk_that_keeps_files_prints_nowhere_whatever_queues_the_setup_names(folder, tmp_path):
    named = (folder.path / "setup.toml").read_text(encoding="utf-8").replace('# queue = "tickets"', 'queue = "Labels"')
    folder.setup.write_text(named, encoding="utf-8")
    desk = open_desk(folder, tmp_path / "out")
    assert isinstance(desk.queue, FolderQueue)
    assert (desk.lab.ticket.queue, desk.lab.letter.queue) == ("files", "files")
    assert desk.folder == folder.path
    desk.store.close()


def test_printing_to_files_changes_nothing_else_of_a_setup():
    lab = read_setup(demo("lab.toml"))
    changed = printing_to_files(lab)
    assert isinstance(changed, Lab)
    assert changed.model_copy(update={"ticket": lab.ticket, "letter": lab.letter}) == lab


def test_a_desk_is_not_opened_on_a_setup_that_cannot_be_used(folder):
    folder.setup.write_text("name = 3", encoding="utf-8")
    with pytest.raises(IntakeError, match="cannot be used"):
        open_desk(folder)
    assert not folder.store.exists()


def test_the_labs_clock_is_its_own_zones_without_a_zone():
    tokyo, london = lab_clock(in_zone("Asia/Tokyo")), lab_clock(in_zone("Europe/London"))
    assert tokyo.tzinfo is None
    utc = datetime.now(UTC).replace(tzinfo=None)
    assert abs(tokyo - utc - timedelta(hours=9)) < timedelta(minutes=1)  # Japan has no summer time
    assert timedelta(hours=7, minutes=59) < tokyo - london < timedelta(hours=9, minutes=1)


def test_whoever_is_at_the_desk_has_initials(monkeypatch):
    monkeypatch.setattr("getpass.getuser", lambda: "ashdown")
    assert initials() == "ASH"

    def nobody():
        raise OSError("no account")

    monkeypatch.setattr("getpass.getuser", nobody)
    assert initials() == "DESK"
