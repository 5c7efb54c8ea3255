"""The scan store: each content once, whole or not at all, and what was refused apart."""

import errno
import hashlib
import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.inbox.scan_files import COMING, REFUSED, NoRoom, NotRead, ScanFiles

CONTENT = b"solid of an upper arch" * 100
DIGEST = hashlib.sha256(CONTENT).hexdigest()


@pytest.fixture
def files(tmp_path):
    return ScanFiles(tmp_path / "scans")


def lying(files):
    """Every file in the store, by its place."""
    return sorted(path.relative_to(files.folder).as_posix() for path in files.folder.rglob("*") if path.is_file())


@pytest.mark.parametrize("as_file", [False, True])
def test_a_file_lies_under_the_digest_of_its_content(files, tmp_path, as_file):
    """SHA-256 by FIPS 180-4, as Python's hashlib has it."""
    source = tmp_path / "upper.stl"
    source.write_bytes(CONTENT)
    kept = files.keep(source if as_file else CONTENT)
    assert (kept.sha256, kept.bytes) == (DIGEST, len(CONTENT))
    assert kept.path == files.path(DIGEST) == files.folder / DIGEST[:2] / DIGEST
    assert kept.path.read_bytes() == CONTENT
    assert source.read_bytes() == CONTENT


@given(st.binary(max_size=100))
def test_whatever_is_kept_is_read_back(tmp_path_factory, content):
    files = ScanFiles(tmp_path_factory.mktemp("scans"))
    assert files.path(files.keep(content).sha256).read_bytes() == content


def test_the_same_content_is_kept_once_and_its_file_is_not_touched(files):
    first = files.keep(CONTENT)
    with first.path.open("rb") as reading:
        about = os.fstat(reading.fileno())
        assert files.keep(CONTENT) == first
        assert os.stat(first.path).st_ino == about.st_ino
    assert lying(files) == [f"{DIGEST[:2]}/{DIGEST}"]


def test_what_was_cut_off_in_its_place_is_made_whole(files):
    """As a disk leaves it that was full, or failed."""
    place = files.keep(CONTENT).path
    place.write_bytes(CONTENT[:10])
    assert files.keep(CONTENT).path.read_bytes() == CONTENT


def test_what_is_refused_lies_apart_and_is_still_found(files):
    refused = files.keep(CONTENT, refused=True)
    assert lying(files) == [f"{REFUSED}/{DIGEST}"]
    assert files.path(DIGEST) == refused.path
    kept = files.keep(CONTENT)
    assert files.path(DIGEST) == kept.path
    files.refuse(DIGEST)
    files.refuse(DIGEST)  # what is refused already stays so
    assert lying(files) == [f"{REFUSED}/{DIGEST}"]
    assert files.path(DIGEST).read_bytes() == CONTENT


def test_a_file_that_cannot_be_read_is_told_and_leaves_nothing(files, tmp_path):
    with pytest.raises(NotRead, match=r"It cannot be read: No such file or directory\."):
        files.keep(tmp_path / "gone.stl")
    with pytest.raises(NotRead):
        files.keep(tmp_path)
    assert lying(files) == []


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "scans").write_text("a file in the folder's place")
    with pytest.raises(NoRoom, match=r"No file can be kept in .*scans: "):
        ScanFiles(tmp_path / "scans").keep(CONTENT)


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_full_disk_is_told_and_leaves_nothing_half_written(files, monkeypatch, step):
    def full(*_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patched:
        patched.setattr(os, step, full)
        with pytest.raises(NoRoom, match="No space left on device"):
            files.keep(CONTENT)
    assert lying(files) == []
    assert files.keep(CONTENT).path.exists()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full is Linux's own")
def test_a_device_that_is_full_indeed_is_told(files, monkeypatch):
    opened = Path.open

    def on_full_disk(self, mode="r", *how, **more):
        return opened(Path("/dev/full") if mode == "xb" else self, "wb" if mode == "xb" else mode, *how, **more)

    monkeypatch.setattr(Path, "open", on_full_disk)
    with pytest.raises(NoRoom, match="No space left on device"):
        files.keep(CONTENT)


def test_many_that_keep_the_same_at_once_leave_one_whole_file(files):
    begin, kept = threading.Barrier(8), []

    def keep():
        begin.wait()
        kept.append(files.keep(CONTENT).sha256)

    threads = [threading.Thread(target=keep) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(kept) == {DIGEST}
    assert len(kept) == 8
    assert lying(files) == [f"{DIGEST[:2]}/{DIGEST}"]


def test_room_for_what_is_unpacked_is_gone_afterwards(files):
    with files.room() as place:
        assert place.is_relative_to(files.folder)
        (place / "0").mkdir()
        (place / "0" / "member").write_bytes(CONTENT)
    with pytest.raises(ZeroDivisionError), files.room() as place:
        raise ZeroDivisionError
    assert list((files.folder / COMING).iterdir()) == []


def test_what_a_killed_process_left_is_cleared_away_after_a_day(files):
    coming = files.folder / COMING
    for name in ("old", "new"):
        (coming / f"{name}-folder").mkdir(parents=True)
        (coming / f"{name}-folder" / "member").write_bytes(CONTENT)
        (coming / name).write_bytes(CONTENT)
    for name in ("old", "old-folder"):
        os.utime(coming / name, (0, 0))
    files.keep(CONTENT)
    assert sorted(path.name for path in coming.iterdir()) == ["new", "new-folder"]


KILLED = """
import sys
from pathlib import Path
from intake.inbox.scan_files import ScanFiles
print("begun", flush=True)
for turn in range(100_000):
    ScanFiles(Path(sys.argv[1])).keep(turn.to_bytes(4, "big") * 50_000)
"""


def test_whatever_bears_a_digest_is_whole_when_the_process_is_killed(files):
    """Three times, at whatever moment it is."""
    for _ in range(3):
        keeper = subprocess.Popen([sys.executable, "-c", KILLED, files.folder], stdout=subprocess.PIPE, text=True)
        with keeper:
            assert keeper.stdout.readline() == "begun\n"
            count = len(lying(files))
            while len(lying(files)) < count + 5:
                pass
            keeper.send_signal(signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
        for path in files.folder.glob("[0-9a-f][0-9a-f]/*"):
            assert hashlib.sha256(path.read_bytes()).hexdigest() == path.name
