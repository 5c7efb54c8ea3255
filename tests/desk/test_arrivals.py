"""What waits: taken in once, in the order to take it, set down, taken off the list and brought back."""

import json
from dataclasses import replace
from datetime import datetime

import pytest

from intake.desk.arrivals import NotWaiting, bring_back, dismiss, set_down, take_in, waiting
from intake.desk.book_in import book_arrival
from intake.desk.open_form import arrival_form
from intake.domain.half_typed import HalfTyped
from intake.domain.reading import find_practice
from intake.resources import demo
from tests.desk.desks import NOW, day_case, day_file, demo_practices, open_desk

WHOLE_DAY = sorted(demo("day").glob("*.json"))


def demo_practice(name):
    return find_practice(day_case(name).practice, demo_practices())


def test_a_file_waits_with_what_the_list_says_of_it(desk):
    take_in(desk, [day_file("03")])
    (line,) = waiting(desk)
    assert line.practice == demo_practice("03").name
    assert line.appliances == "Upper and lower vacuum-formed retainers"
    assert (line.state, line.source, line.problem) == ("held", day_file("03").name, "")
    assert line.arrived.date() == NOW.date()


def test_the_same_content_is_taken_in_once_whatever_the_file_is_called(desk, tmp_path):
    copy = tmp_path / "again.json"
    copy.write_bytes(day_file("01").read_bytes())
    first, second = take_in(desk, [day_file("01"), copy])
    assert (first.already, second.already) == (False, True)
    assert second.arrival_id == first.arrival_id
    assert len(waiting(desk)) == 1


def test_a_file_that_is_no_prescription_waits_with_what_is_wrong_with_it(desk, tmp_path):
    broken = tmp_path / "broken.json"
    broken.write_text(json.dumps({"format": "intake-case/1", "appliances": [{"type": "crown"}]}), encoding="utf-8")
    (taken,) = take_in(desk, [broken])
    (line,) = waiting(desk)
    assert line.state == "unreadable"
    assert line.problem == taken.problem
    assert "This lab makes no “crown”" in line.problem
    assert set(arrival_form(desk, line.arrival_id).typed) <= {"arrived"}


def test_a_file_that_cannot_be_opened_is_no_arrival(desk, tmp_path):
    taken = take_in(desk, [tmp_path / "missing.json", tmp_path])
    assert [each.arrival_id for each in taken] == [None, None]
    assert taken[0].problem == "There is no such file."
    assert "cannot be opened" in taken[1].problem
    assert waiting(desk) == ()


def test_what_presses_most_comes_first_and_says_why(desk):
    take_in(desk, WHOLE_DAY)
    lines = waiting(desk)
    assert len(lines) == len(WHOLE_DAY)
    assert [line.urgency for line in lines] == sorted(line.urgency for line in lines)
    assert lines[0].source.startswith("08-alginate-three-days")
    assert lines[0].why == "First: the impression should have been poured by Mon 23 Nov 2026, 11:00."
    assert all(line.why.endswith(".") for line in lines)


def test_a_half_typed_form_that_is_set_down_waits_as_it_was_typed(desk):
    typed = {"practice": "MARLOW1", "patient.label": "J.T.", "appliances[0]": "hard splint upper", "notes": "a  note"}
    arrival = set_down(desk, HalfTyped(typed=typed))
    (line,) = waiting(desk)
    assert (line.arrival_id, line.practice) == (arrival, "Marlowe House Dental Practice")
    assert line.appliances == "Upper hard occlusal splint"
    assert line.arrived == NOW
    opened = arrival_form(desk, arrival)
    assert typed.items() <= opened.typed.items()
    assert opened.arrival_id == arrival


def test_a_form_with_a_practice_nobody_knows_is_set_down_with_what_was_typed(desk):
    set_down(desk, HalfTyped(typed={"practice": "some surgery in the hills"}))
    assert waiting(desk)[0].practice == "some surgery in the hills"


def test_setting_an_opened_arrival_down_keeps_it_the_one_arrival(desk):
    (taken,) = take_in(desk, [day_file("02")])
    opened = arrival_form(desk, taken.arrival_id)
    changed = replace(opened, typed=opened.typed | {"notes": "bite to follow"})
    assert set_down(desk, changed) == taken.arrival_id
    assert len(waiting(desk)) == 1
    assert arrival_form(desk, taken.arrival_id).typed["notes"] == "bite to follow"


def test_what_is_dismissed_is_off_the_list_until_it_is_brought_back(desk):
    (taken,) = take_in(desk, [day_file("02")])
    dismiss(desk, taken.arrival_id)
    assert waiting(desk) == ()
    bring_back(desk, taken.arrival_id)
    assert [line.arrival_id for line in waiting(desk)] == [taken.arrival_id]


def test_a_dismissed_arrival_that_is_set_down_again_waits_again(desk):
    (taken,) = take_in(desk, [day_file("02")])
    dismiss(desk, taken.arrival_id)
    set_down(desk, HalfTyped(typed={"notes": "it is work after all"}, arrival_id=taken.arrival_id))
    assert [line.arrival_id for line in waiting(desk)] == [taken.arrival_id]


def set_down_late(desk, arrival_id):
    set_down(desk, HalfTyped(typed={"notes": "late"}, arrival_id=arrival_id))


@pytest.mark.parametrize("act", [dismiss, bring_back, set_down_late])
def test_what_another_desk_booked_is_left_alone(desk, tmp_path, act):
    (taken,) = take_in(desk, [day_file("02")])
    booked = book_arrival(open_desk(desk.store, tmp_path, person="CD"), taken.arrival_id)
    with pytest.raises(NotWaiting, match="booked in meanwhile"):
        act(desk, taken.arrival_id)
    row = desk.store.read.arrival(taken.arrival_id)
    assert (row.state, row.case_id) == ("booked", booked.case_id)


def test_an_arrival_that_was_never_there_is_told(desk):
    with pytest.raises(NotWaiting, match="no arrival 999"):
        dismiss(desk, 999)


def test_an_arrival_without_a_time_came_when_it_was_taken_in(store, tmp_path):
    desk = open_desk(store, tmp_path, now=datetime(2026, 11, 25, 10, 30, 12, 345))
    undated = json.loads(day_file("01").read_text(encoding="utf-8"))
    del undated["arrived"]
    file = tmp_path / "undated.json"
    file.write_text(json.dumps(undated), encoding="utf-8")
    take_in(desk, [file])
    assert waiting(desk)[0].arrived == datetime(2026, 11, 25, 10, 30)


@pytest.mark.parametrize(
    "typed",
    [
        {"practice": "Quayside", "patient.label": "J.T."},
        {"practice": "Quayside", "appliances[0]": "Dr Ashdown"},
        {"appliances[0]": "hard splint upper 3", "appointment": "32 dec"},
    ],
    ids=["no appliance", "no appliance of the setup", "a day that does not exist"],
)
def test_a_form_that_could_not_be_booked_as_it_stands_is_never_called_clear(desk, typed):
    set_down(desk, HalfTyped(typed=typed))
    (line,) = waiting(desk)
    assert line.state == "unfinished"
