"""The earliest appointment at the form counts the load of the benches, and no key stroke reads it."""

from dataclasses import replace

import pytest

from intake.desk import load
from intake.domain.lab import LoadRules
from intake.ui.arrivals.place import Arrivals
from tests.desk.desks import NOW
from tests.desk.labs import lab_with

TYPED = {
    "practice": "MARLOW1",
    "prescriber": "ashdown",
    "patient.label": "J.T.",
    "appliances[0]": "hard splint upper 3mm",
    "items": "u l add sil 24 nov 15:30, bite centric",
    "appointment": "27 nov 9.30",
}


@pytest.fixture
def read(monkeypatch):
    """How often the load was read."""
    times, once = [], load.room_of
    monkeypatch.setattr(load, "room_of", lambda desk: times.append(1) or once(desk))
    return times


@pytest.fixture
def opened(room, shell, desk, splints, settled, read):
    """Arrivals of a lab whose promise counts the load, or not, with more splints than Casting can do."""
    places = []

    def opened(promise):
        splints(14)
        lab = lab_with(desk.lab, load=LoadRules(promise=promise))
        place = Arrivals(room, lab)
        window = shell(place)
        places.append((place, window))
        place.writing.now = lambda: NOW
        place.set_desk(replace(desk, lab=lab))
        settled()
        place.form.begin(TYPED)
        place.writing.refresh()
        return place

    yield opened
    for place, window in places:
        place.flush()
        window.close()


def dates(place):
    return place.writing.verdict.jobs[0].deadlines


def test_a_promise_that_counts_the_load_waits_for_the_bench_and_says_so(opened, read):
    place = opened(promise=True)
    assert dates(place).crowded[0].bench == "Casting"
    place.verdict.toggle_why()
    assert "as Casting has no room from Wed 25 Nov 2026 until Fri 4 Dec 2026" in place.verdict.why.toPlainText()
    assert len(read) == 1


def test_without_it_everything_is_as_on_an_idle_bench_and_nothing_is_read(opened, read):
    place = opened(promise=False)
    assert dates(place).crowded == ()
    assert read == []
    assert dates(place).earliest_appointment < dates_loaded(place)


def dates_loaded(place):
    from intake.domain.deadlines import count_deadlines

    found = dates(place)
    room = load.room_of(place.room_on_benches._desk)
    lab = place.room_on_benches._desk.lab
    category = lab.category_by_id["splints"]
    return count_deadlines(found.appointment, category.route, NOW, NOW, None, lab, room).earliest_appointment


def test_no_key_stroke_reads_the_load(opened, read, type_text, settled):
    place = opened(promise=True)
    place.form.field("notes").edit.setFocus()
    type_text(place, "please telephone")
    settled()
    assert len(read) == 1
