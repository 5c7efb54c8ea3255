"""The watched folder: nothing is taken while it grows, nothing twice, and all of it is moved aside."""

import os
from contextlib import suppress

import pytest

from intake.inbox.watched import NOT_TAKEN, TAKEN, NotMoved, Watched


def test_a_file_is_taken_when_it_has_stopped_growing(tmp_path):
    watched, file = Watched(tmp_path), tmp_path / "reply.pdf"
    file.write_bytes(b"half")
    assert watched.poll() == ()
    file.write_bytes(b"half and half")
    assert watched.poll() == ()
    assert watched.poll() == (file,)


def test_a_file_that_is_dealt_with_is_moved_aside_and_overwrites_none(tmp_path):
    watched = Watched(tmp_path)
    for _ in range(2):
        file = tmp_path / "reply.pdf"
        file.write_bytes(b"form")
        watched.poll()
        watched.taken(*watched.poll())
    assert sorted(path.name for path in (tmp_path / TAKEN).iterdir()) == ["reply (2).pdf", "reply.pdf"]
    assert watched.poll() == ()


def test_what_cannot_be_taken_in_is_kept_apart(tmp_path):
    (tmp_path / "odd.pdf").write_bytes(b"odd")
    moved = Watched(tmp_path).not_taken(tmp_path / "odd.pdf")
    assert moved == tmp_path / NOT_TAKEN / "odd.pdf"


def test_empty_files_folders_links_and_other_kinds_are_left_alone(tmp_path):
    (tmp_path / "empty.pdf").touch()
    (tmp_path / "folder.pdf").mkdir()
    (tmp_path / "notes.txt").write_text("notes")
    outside = tmp_path.parent / "outside.pdf"
    outside.write_bytes(b"outside")
    with suppress(OSError):  # Windows lets not everybody make links
        (tmp_path / "link.pdf").symlink_to(outside)
    watched = Watched(tmp_path)
    watched.poll()
    assert watched.poll() == ()


def test_a_folder_that_is_not_there_yet_has_nothing(tmp_path):
    assert Watched(tmp_path / "later").poll() == ()


def test_a_file_that_cannot_be_moved_is_told_and_not_given_again_and_again(tmp_path):
    """As when somebody holds it open, on systems where that holds it."""
    watched, file = Watched(tmp_path), tmp_path / "reply.pdf"
    file.write_bytes(b"form")
    (tmp_path / TAKEN).write_text("a file in the folder's place")
    watched.poll()
    assert watched.poll() == (file,)
    with pytest.raises(NotMoved, match=r"reply\.pdf cannot be moved to the folder “taken in”"):
        watched.taken(file)
    assert watched.poll() == ()


def test_a_file_that_comes_again_with_other_content_is_given_again(tmp_path):
    watched, file = Watched(tmp_path), tmp_path / "reply.pdf"
    for content in (b"form", b"another form"):
        file.write_bytes(content)
        assert watched.poll() == ()
        assert watched.poll() == (file,)
        assert watched.poll() == ()


def test_a_file_that_is_gone_before_it_is_moved_is_told(tmp_path):
    with pytest.raises(NotMoved):
        Watched(tmp_path).taken(tmp_path / "reply.pdf")


@pytest.mark.parametrize(
    "name",
    [
        *("a.PDF", "b.Eml", "c.json", "d.png", "e.JPG", "f.jpeg", "naïve “name”.pdf"),
        *("upper.stl", "Lower.PLY", "bite.obj", "upper.3MF", "lower.dcm", "scans.Zip"),
    ],
)
def test_every_kind_of_file_is_seen_whatever_its_case(tmp_path, name):
    watched = Watched(tmp_path)
    (tmp_path / name).write_bytes(b"x")
    watched.poll()
    assert watched.poll() == (tmp_path / name,)


# Folders


def test_a_folder_is_given_as_a_whole_when_all_of_it_stands_still(tmp_path):
    watched, folder = Watched(tmp_path), tmp_path / "Jones"
    (folder / "scans").mkdir(parents=True)
    (folder / "scans" / "upper.stl").write_bytes(b"half")
    assert watched.poll() == ()
    (folder / "scans" / "upper.stl").write_bytes(b"half and half")
    assert watched.poll() == ()
    (folder / "scans" / "lower.stl.part").write_bytes(b"comes still")
    assert watched.poll() == ()
    assert watched.poll() == (folder,)
    assert watched.poll() == ()
    (folder / "lower.stl").write_bytes(b"later")
    watched.poll()
    assert watched.poll() == (folder,)


@pytest.mark.parametrize("name", [TAKEN, NOT_TAKEN, ".hidden"])
def test_the_folders_that_files_are_moved_to_and_hidden_ones_are_left_alone(tmp_path, name):
    (tmp_path / name).mkdir()
    (tmp_path / name / "upper.stl").write_bytes(b"upper")
    watched = Watched(tmp_path)
    watched.poll()
    assert watched.poll() == ()


def test_a_folder_without_anything_to_be_taken_in_is_left_alone(tmp_path):
    (tmp_path / "settings").mkdir()
    (tmp_path / "settings" / "scanner.ini").write_bytes(b"of a program")
    (tmp_path / "empty" / "empty").mkdir(parents=True)
    watched = Watched(tmp_path)
    watched.poll()
    assert watched.poll() == ()


def test_scans_are_given_before_what_lies_beside_them(tmp_path):
    for name in ("jones.json", "jones.pdf", "jones_upper.stl", "Jones_lower.PLY", "a.zip"):
        (tmp_path / name).write_bytes(b"x")
    watched = Watched(tmp_path)
    watched.poll()
    given = [path.name for path in watched.poll()]
    assert given == ["Jones_lower.PLY", "jones_upper.stl", "a.zip", "jones.json", "jones.pdf"]


def test_a_folder_that_is_dealt_with_is_moved_aside_with_its_whole_name(tmp_path):
    watched = Watched(tmp_path)
    for _ in range(2):
        (tmp_path / "Jones 4.12").mkdir()
        (tmp_path / "Jones 4.12" / "upper.stl").write_bytes(b"upper")
        watched.taken(tmp_path / "Jones 4.12")
    assert sorted(path.name for path in (tmp_path / TAKEN).iterdir()) == ["Jones 4.12", "Jones 4.12 (2)"]


def test_a_link_to_a_folder_is_left_alone(tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "upper.stl").write_bytes(b"upper")
    (tmp_path / "in").mkdir()
    with suppress(OSError):  # Windows lets not everybody make links
        (tmp_path / "in" / "link").symlink_to(outside, target_is_directory=True)
    watched = Watched(tmp_path / "in")
    watched.poll()
    assert watched.poll() == ()


def test_a_folder_that_cannot_be_looked_at_says_why_until_it_can(tmp_path):
    watched = Watched(tmp_path / "later")
    watched.poll()
    assert watched.problem == f"The folder {tmp_path / 'later'} cannot be looked at: No such file or directory."
    (tmp_path / "later").mkdir()
    watched.poll()
    assert watched.problem == ""


def test_a_huge_folder_is_told_by_its_first_thousands(tmp_path, monkeypatch):
    """So that a disk that is put there by mistake is not walked through every few seconds."""
    monkeypatch.setattr("intake.inbox.watched.MOST_IN_A_FOLDER", 10)
    for place in ("a", "b", "c"):
        (tmp_path / "all" / place).mkdir(parents=True)
        for number in range(8):
            (tmp_path / "all" / place / f"{number}.stl").write_bytes(b"x")
    asked, stat = [], os.stat
    monkeypatch.setattr(os, "stat", lambda *what, **how: asked.append(what) or stat(*what, **how))
    watched = Watched(tmp_path)
    watched.poll()
    assert len([each for each in asked if str(each[0]).endswith(".stl")]) == 16
    assert watched.poll() == (tmp_path / "all",)
