"""How long a key press takes until the verdict has followed and is painted: 16 ms, a frame of a screen at 60 Hz."""

import statistics
import time
from datetime import datetime

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.answering import take_answer
from intake.domain.practice import Practice
from intake.resources import demo
from intake.setup.reading import read_practices, read_setup
from intake.store.opening import Store
from intake.ui.arrivals.place import Arrivals
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.room import Room
from tests.desk.desks import enter_practices, open_desk
from tests.desk.waiting import RECEPTION, booked, said

LIMIT_MS = 16
USUAL = {
    "practice": "MARLOW1",
    "prescriber": "ashdown",
    "patient.label": "J.T.",
    "appliances[0]": "hard splint upper 3mm",
    "items": "u l add sil 24 nov 15:30, bite centric",
    "hygiene": "d",
    "appointment": "10 dec 9.30",
}
LARGE = {
    **USUAL,
    **{f"appliances[{n}]": words for n, words in enumerate(("ret u 1", "ret l 1", "hs u 3", "wt both", "mg u") * 3)},
}


@pytest.fixture
def place(qtbot, qapp, tmp_path):
    """The place in a window of 1366 x 768, with a directory of 2,000 practices."""
    settings = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
    look, keys, jobs = Look(qapp, settings), Keys(settings), Jobs(print)
    room = Room(look, keys, News(look, keys), jobs, Memory(settings), settings)
    made = Arrivals(room, read_setup(demo("lab.toml")))
    qtbot.addWidget(made)
    made.resize(1269, 690)
    with qtbot.waitExposed(made):
        made.show()
    many = [
        Practice(code=f"PR{n}", name=f"Dental Practice of Row {n}", address=(f"Town {n % 90}",)) for n in range(2000)
    ]
    made.writing.now = lambda: datetime(2026, 11, 25, 9, 0)
    made.writing.set_practices((*read_practices(demo("practices.toml")), *many))
    yield made
    jobs.close()


def time_keys(place, typed, field, text):
    """Milliseconds of each key press, from the event to the painted window."""
    place.form.begin(typed)
    place.writing.refresh()
    edit = place.form.field(field).edit
    edit.setFocus()
    QApplication.processEvents()
    took = []
    for sign in text:
        began = time.perf_counter()
        QTest.keyClick(edit, sign)
        QApplication.processEvents()  # lays out and paints what has changed
        took.append((time.perf_counter() - began) * 1000)
    return took


def _late(took):
    """The time within which 95 of 100 key presses are done."""
    return sorted(took)[round(0.95 * (len(took) - 1))]


@pytest.mark.benchmark
@pytest.mark.parametrize(
    ("case", "typed", "field", "text"),
    [
        ("words of an appliance", USUAL, "appliances[0]", " clear opening 2.5 canine guidance"),
        ("letters of a practice", {}, "practice", "dental practice of row 77"),
        ("an appointment", {**USUAL, "appointment": ""}, "appointment", "thu 10 dec 9.30"),
        ("a note of a case of 15 appliances", LARGE, "notes", "please telephone before"),
    ],
)
def test_the_verdict_follows_a_key_press_within_a_frame(place, capsys, case, typed, field, text):
    time_keys(place, typed, field, text)  # fonts and bank holidays are read the first time
    # Other programs of the machine disturb a round: the quietest of four counts.
    _within_a_frame(capsys, case, min((time_keys(place, typed, field, text) for _ in range(4)), key=_late))


def _within_a_frame(capsys, case, took):
    median, late = statistics.median(took), _late(took)
    with capsys.disabled():
        print(f"\n{case}: median {median:.1f} ms, 95 % within {late:.1f} ms, longest {max(took):.1f} ms")
    assert late <= LIMIT_MS


@pytest.fixture
def promised(place, sqlite_place, tmp_path):
    """A desk at which 20 cases of a practice wait for a bite record that is in the post; gives the patient's label."""
    store = Store.open(sqlite_place)
    enter_practices(store)
    desk = open_desk(store, tmp_path)
    for count in range(20):
        made = booked(desk, "02", notes="x" * count)
        take_answer(desk, *said(desk, "QUILLB2", "bite-record", "post", made.case_id), RECEPTION)
    place.joining.set_desk(desk)
    yield desk.store.read.case(1).case.patient.label
    place.verdict.promised.forget()
    while place._room.jobs.under_way:
        QApplication.processEvents()
    store.close()


@pytest.mark.benchmark
def test_looking_for_what_was_promised_slows_no_key(place, promised, capsys):
    typed = {"practice": "QUILLB2", "patient.label": promised}
    found = place.verdict.promised.words.text
    time_keys(place, typed, "patient.label", "")
    while not found():
        QApplication.processEvents()
    took = (time_keys(place, typed, "items", "bite centric, u l add sil 24 nov 15:30") for _ in range(4))
    _within_a_frame(capsys, "what came, while 20 cases wait for it", min(took, key=_late))
