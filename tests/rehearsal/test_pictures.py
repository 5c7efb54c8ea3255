"""The pictures for the guide: each is there, of its size, and shows something."""

import sys
from datetime import timedelta

import pytest
from PySide6.QtCore import qWarning
from PySide6.QtGui import QImage

from intake.ui.pictures import SIZE, SIZE_HINTS, without_size_hints

PAPERS = (
    "ticket-held.png",
    "ticket-clear.png",
    "letter.png",
    "letter-agreed.png",
    "reply-form.png",
    "blank-prescription.png",
    "return-note.png",
    "stickers.png",
    "bench-codes.png",
    "pour-list.png",
    "day-sheet.png",
)
WINDOWS = (
    "arrivals-empty.png",
    "arrivals-held.png",
    "arrivals-held-dark.png",
    "arrivals-held-150.png",
    "arrivals-clear.png",
    "scans.png",
    "scans-dark.png",
    "scans-to-choose.png",
    "scans-to-choose-150.png",
    "waiting.png",
    "waiting-call.png",
    "waiting-call-dark.png",
    "waiting-call-150.png",
    "waiting-reply.png",
    "look-up.png",
    "look-up-dark.png",
    "parcels.png",
    "parcels-stopped.png",
    "hand-over.png",
    "hand-over-dark.png",
    "day.png",
    "day-load.png",
    "day-pour.png",
    "day-closing.png",
    "setup-laboratory.png",
    "setup-directory.png",
    "setup-work.png",
    "setup-colours.png",
    "setup-colours-dark.png",
    "setup-rules.png",
    "setup-calendar.png",
    "setup-texts.png",
    "setup-people.png",
    "setup-editions.png",
)

DIALOGS = ("scans-closer.png", "setup-try.png", "setup-directory-file.png")


@pytest.fixture(scope="module")
def taken(ran):
    """The folder of all pictures of a demo's day that is run."""
    return ran.out / "pictures"


def test_every_picture_is_there_and_nothing_else(ran, taken):
    assert {file.name for file in ran.pictures} == {*PAPERS, *WINDOWS, *DIALOGS}
    assert sorted(taken.iterdir()) == sorted(ran.pictures)


@pytest.mark.parametrize("name", [*WINDOWS, *DIALOGS, *PAPERS])
def test_a_picture_shows_something(taken, name):
    image = QImage(str(taken / name))
    colours = {image.pixel(x, y) for x in range(0, image.width(), 7) for y in range(0, image.height(), 3)}
    assert len(colours) > 5
    if name in WINDOWS:
        assert (image.width(), image.height()) == SIZE
    if name in DIALOGS:
        assert image.width() < SIZE[0]
        assert image.height() < SIZE[1]


def test_the_pictures_of_papers_have_their_papers_shape(taken):
    ticket, letter = (QImage(str(taken / name)) for name in ("ticket-held.png", "letter.png"))
    assert letter.height() / letter.width() == pytest.approx(297 / 210, abs=0.01), "A4, ISO 216"
    assert ticket.height() < letter.height()


@pytest.mark.parametrize("place", ["waiting-call", "look-up"])
def test_light_and_dark_are_not_the_same(taken, place):
    light, dark = (QImage(str(taken / f"{place}{scheme}.png")) for scheme in ("", "-dark"))
    assert light.pixelColor(5, 760).lightness() > 200 > 60 > dark.pixelColor(5, 760).lightness()


def test_what_is_seen_in_one_picture_does_not_come_from_the_one_before(taken):
    usual, empty = (QImage(str(taken / name)) for name in ("arrivals-held.png", "arrivals-empty.png"))
    assert usual != empty


def test_a_call_shows_what_is_typed_and_larger_text_is_larger(taken):
    shown = {name: QImage(str(taken / f"{name}.png")) for name in ("waiting", "waiting-call", "waiting-call-150")}
    assert len({bytes(image.constBits()) for image in shown.values()}) == len(shown)


def test_each_is_taken_in_about_a_second(ran):
    """Beside other tests on a busy machine."""
    assert ran.took < timedelta(seconds=1.5 * len(ran.pictures))


@pytest.mark.no_qt_log
def test_one_message_of_the_screenless_platform_is_left_out_and_no_other(capfd):
    with without_size_hints():
        qWarning(SIZE_HINTS)
        qWarning("something else")
    sys.stderr.flush()
    said = capfd.readouterr().err
    assert "something else" in said
    assert SIZE_HINTS not in said
