"""A setup changed where it is changed, comments and all, and in place whole or not at all."""

import os
import stat
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.resources import resource
from intake.setup.writing import NotWritten, changed, with_boxes, write_whole

DEFAULT = resource("setup", "default.toml").read_text(encoding="utf-8")


def differing_lines(before, after):
    return [line for line in after.splitlines() if line not in before.splitlines()]


def test_a_value_changes_and_every_other_line_stays_as_it_was():
    text = changed(DEFAULT, {("calendar", "country"): "IE"})
    assert differing_lines(DEFAULT, text) == ['country = "IE"']
    assert text.count("#") == DEFAULT.count("#")


def test_a_comment_behind_a_changed_value_stays_behind_it():
    text = changed(DEFAULT, {("ticket", "size"): "A5"})
    assert differing_lines(DEFAULT, text) == ['size = "A5"                # A6, A5 or 100x150']


def test_a_value_that_was_not_there_is_added_to_its_table():
    text = changed(DEFAULT, {("ticket", "queue"): "Label printer at the desk"})
    assert tomllib.loads(text)["ticket"]["queue"] == "Label printer at the desk"
    assert tomllib.loads(text)["letter"] == tomllib.loads(DEFAULT)["letter"]


def test_nothing_in_the_place_of_a_value_takes_it_out():
    text = changed(DEFAULT, {("calendar", "subdivision"): None, ("ticket", "queue"): None})
    assert "subdivision" not in tomllib.loads(text)["calendar"]


def test_a_table_that_was_not_there_is_made():
    assert tomllib.loads(changed('name = "x"\n', {("ticket", "queue"): "q"})) == {"name": "x", "ticket": {"queue": "q"}}


def test_a_box_changes_for_its_category_alone():
    text = with_boxes(DEFAULT, {"retainers": ("Gold", "#d4a017")})
    assert differing_lines(DEFAULT, text) == ['box = { colour = "Gold", hex = "#d4a017" }']


def test_a_mark_in_front_of_the_text_is_no_part_of_it():
    assert tomllib.loads(changed(f"\ufeff{DEFAULT}", {("name",): "x"}))["name"] == "x"


@given(st.text())
def test_whatever_a_name_holds_it_reads_back_as_it_was(name):
    """The reader is another implementation of TOML 1.0 (the standard library's) than the writer (tomlkit)."""
    encodable = name.encode("utf-8", "replace").decode("utf-8")
    assert tomllib.loads(changed(DEFAULT, {("name",): encodable}))["name"] == encodable


def test_a_file_is_written_with_the_folders_it_needs(tmp_path):
    file = tmp_path / "a" / "b" / "setup.toml"
    write_whole(file, "name = “Łódź”\n")
    assert file.read_bytes() == "name = “Łódź”\n".encode()


@pytest.mark.parametrize("moment", ["fsync", "replace"])
def test_whenever_writing_breaks_off_the_old_file_is_there_whole_and_nothing_beside_it(tmp_path, monkeypatch, moment):
    file = tmp_path / "setup.toml"
    write_whole(file, "old")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, moment, full)
    with pytest.raises(NotWritten, match=r"setup\.toml cannot be written: No space left on device\. It is as it was"):
        write_whole(file, "new")
    assert file.read_text() == "old"
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["setup.toml"]


def test_a_stop_by_the_person_leaves_the_old_file_too(tmp_path, monkeypatch):
    file = tmp_path / "setup.toml"
    write_whole(file, "old")

    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_whole(file, "new")
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["setup.toml"]
    assert file.read_text() == "old"


def test_the_new_file_is_on_the_disk_before_it_takes_the_name(tmp_path, monkeypatch):
    done = []
    real_fsync, real_replace = os.fsync, os.replace
    monkeypatch.setattr(os, "fsync", lambda handle: (done.append("on the disk"), real_fsync(handle)))
    monkeypatch.setattr(os, "replace", lambda *names: (done.append("renamed"), real_replace(*names)))
    write_whole(tmp_path / "setup.toml", "new")
    assert done == ["on the disk", "renamed"]


@pytest.mark.skipif(os.name != "posix", reason="rights of a file as POSIX has them")
def test_who_may_read_a_file_stays_as_it_was(tmp_path):
    file = tmp_path / "setup.toml"
    write_whole(file, "old")
    file.chmod(0o644)
    write_whole(file, "new")
    assert stat.S_IMODE(file.stat().st_mode) == 0o644


def test_a_folder_in_the_place_of_the_file_is_told(tmp_path):
    with pytest.raises(NotWritten, match="cannot be written"):
        write_whole(tmp_path, "text")
