"""The watched folder: nothing is taken while it grows, nothing twice, and all of it is moved aside."""

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


@pytest.mark.parametrize("name", ["a.PDF", "b.Eml", "c.json", "d.png", "e.JPG", "f.jpeg", "naïve “name”.pdf"])
def test_every_kind_of_file_is_seen_whatever_its_case(tmp_path, name):
    watched = Watched(tmp_path)
    (tmp_path / name).write_bytes(b"x")
    watched.poll()
    assert watched.poll() == (tmp_path / name,)
