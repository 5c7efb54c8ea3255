"""The pictures for the guide: each is there, of its size, and shows something."""

import sys
from datetime import datetime, timedelta

import pytest
from PySide6.QtCore import qWarning
from PySide6.QtGui import QImage

from intake.desk.arrivals import take_in, waiting
from intake.desk.book_in import book_arrival
from intake.desk.issue import issue_all
from intake.desk.letters import write_due
from intake.outbox.folder_queue import FolderQueue
from intake.rehearsal import DAY_ENDS, DemoClock, open_demo
from intake.resources import demo
from intake.setup.places import DataFolder
from intake.setup.reading import read_practices
from intake.ui.pictures import SIZE, SIZE_HINTS, take_pictures, without_size_hints

PAPERS = ("ticket-held.png", "ticket-clear.png", "letter.png")
WINDOWS = (
    "arrivals-empty.png",
    "arrivals-held.png",
    "arrivals-held-dark.png",
    "arrivals-held-150.png",
    "arrivals-clear.png",
    "look-up.png",
    "look-up-dark.png",
)


@pytest.fixture(scope="module")
def taken(qapp, tmp_path_factory):
    """The folder of all pictures, what they were said to be, and how long they took."""
    folder = tmp_path_factory.mktemp("pictures")
    (folder / "data").mkdir()
    queue = FolderQueue(folder / "printed")
    desk = open_demo(DataFolder(folder / "data"), queue, DemoClock(stands=DAY_ENDS))
    with desk.work() as work:
        for practice in read_practices(demo("practices.toml")):
            work.practices.save(practice)
        work.commit()
    take_in(desk, [file for number in ("01", "09", "02") for file in demo("day").glob(f"{number}-*.json")])
    began = datetime.now()
    files = [*take_pictures(desk, folder / "pictures")]
    for row in waiting(desk):
        issue_all(desk, book_arrival(desk, row.arrival_id).tickets)
    write_due(desk)
    files += take_pictures(desk, folder / "pictures")
    desk.store.close()
    return folder / "pictures", files, datetime.now() - began


def test_every_picture_is_there_and_nothing_else(taken):
    folder, files, _ = taken
    assert {file.name for file in files} == {*PAPERS, *WINDOWS}
    assert sorted(folder.iterdir()) == sorted(files)


@pytest.mark.parametrize("name", [*WINDOWS, *PAPERS])
def test_a_picture_shows_something(taken, name):
    image = QImage(str(taken[0] / name))
    colours = {image.pixel(x, y) for x in range(0, image.width(), 7) for y in range(0, image.height(), 3)}
    assert len(colours) > 5
    if name in WINDOWS:
        assert (image.width(), image.height()) == SIZE


def test_the_pictures_of_papers_have_their_papers_shape(taken):
    ticket, letter = (QImage(str(taken[0] / name)) for name in ("ticket-held.png", "letter.png"))
    assert letter.height() / letter.width() == pytest.approx(297 / 210, abs=0.01), "A4, ISO 216"
    assert ticket.height() < letter.height()


def test_light_and_dark_are_not_the_same(taken):
    light, dark = (QImage(str(taken[0] / name)) for name in ("look-up.png", "look-up-dark.png"))
    assert light.pixelColor(5, 760).lightness() > 200 > 60 > dark.pixelColor(5, 760).lightness()


def test_what_is_seen_in_one_picture_does_not_come_from_the_one_before(taken):
    usual, empty = (QImage(str(taken[0] / name)) for name in ("arrivals-held.png", "arrivals-empty.png"))
    assert usual != empty


def test_they_are_taken_in_twenty_seconds(taken):
    assert taken[2] < timedelta(seconds=20)


@pytest.mark.no_qt_log
def test_one_message_of_the_screenless_platform_is_left_out_and_no_other(capfd):
    with without_size_hints():
        qWarning(SIZE_HINTS)
        qWarning("something else")
    sys.stderr.flush()
    said = capfd.readouterr().err
    assert "something else" in said
    assert SIZE_HINTS not in said
