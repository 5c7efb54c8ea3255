"""What is half typed survives a killed process."""

import os
import signal
import subprocess
import sys

import pytest

from intake.desk.drafts import keep, kept
from intake.domain.half_typed import HalfTyped
from intake.resources import demo

TYPIST = """
import sys
from datetime import datetime
from PySide6.QtCore import QSettings, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from intake.desk.desk import Desk
from intake.outbox.folder_queue import FolderQueue
from intake.setup.reading import read_setup
from intake.store.opening import Store
from intake.ui.arrivals.place import Arrivals
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.room import Room

app = QApplication([])
folder, setup, text = sys.argv[1:]
settings = QSettings(folder + "/typist.ini", QSettings.Format.IniFormat)
look, keys = Look(app, settings), Keys(settings)
lab = read_setup(__import__("pathlib").Path(setup))
room = Room(look, keys, News(look, keys), Jobs(print), Memory(settings), settings)
place = Arrivals(room, lab)
place.show()
place.set_desk(Desk(Store.open(folder + "/intake.sqlite"), lab, FolderQueue(folder), datetime.now, "AB"))
QTest.keyClicks(place.form.field("patient.label").edit, text)
QTest.keyClicks(place.form.field("notes").edit, "half a sen")
QTimer.singleShot(2000, lambda: print("two seconds", flush=True))
app.exec()
"""


def test_a_killed_window_loses_nothing_that_was_typed_two_seconds_before(open_person, desk, tmp_path):
    desk.store.close()
    typist = subprocess.Popen(
        [sys.executable, "-c", TYPIST, str(tmp_path), str(demo("lab.toml")), "J.T. of Tarnbeck"],
        stdout=subprocess.PIPE,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": os.pathsep.join(sys.path)},
        text=True,
    )
    assert typist.stdout.readline() == "two seconds\n"
    os.kill(typist.pid, signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
    typist.communicate()
    person = open_person(desk)
    assert person.text("patient.label") == "J.T. of Tarnbeck"
    assert person.text("notes") == "half a sen"
    assert "is back in the form" in person.news


def test_what_was_kept_comes_back_with_the_arrival_that_it_belongs_to(open_person, desk, take_in_files):
    (taken,) = take_in_files("02")
    keep(desk, HalfTyped("form-1", {"notes": "half"}, arrival_id=taken.arrival_id))
    person = open_person(desk)
    assert person.place.writing.half == HalfTyped("form-1", person.form.typed(), arrival_id=taken.arrival_id)
    assert person.text("notes") == "half"


def test_what_was_typed_before_the_data_were_open_stays_and_the_kept_form_waits(open_person, desk):
    keep(desk, HalfTyped("form-1", {"practice": "OXMERE", "patient.label": "old"}))
    person = open_person()
    person.type("mar")
    person.place.set_desk(desk)
    person.wait()
    assert person.text("practice") == "mar"
    assert [row.patient for row in person.rows] == ["old"]


def test_before_the_data_are_open_a_save_is_put_off_and_the_form_stays(open_person, desk):
    person = open_person()
    person.type("mar").press("Alt+A").type("ret u 1").press("Ctrl+Return")
    assert "being opened" in person.news
    assert person.text("appliances[0]") == "ret u 1"
    person.place.set_desk(desk)
    person.wait()
    person.press("Ctrl+Return")
    person.wait()
    assert "Saved" in person.news


def test_closing_keeps_the_form_at_once(person, desk):
    person.type("oxm")
    person.place.flush()
    person.wait()
    assert kept(desk).typed["practice"] == "oxm"


@pytest.mark.parametrize("typed", ["", " "])
def test_an_empty_form_is_not_kept(person, desk, typed):
    person.type("q" + typed).press(*["Backspace"] * len("q" + typed))
    person.place.flush()
    person.wait()
    assert kept(desk) is None
