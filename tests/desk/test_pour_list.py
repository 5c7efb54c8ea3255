"""What to pour first, at a desk with the demo's lab."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from intake.desk.arrivals import set_down, take_in
from intake.desk.book_in import book
from intake.desk.history import told
from intake.desk.issue import issue
from intake.desk.pour_list import (
    how_many_to_pour,
    mark_poured,
    pour_list,
    print_pour_list,
    take_poured_back,
    unopened,
)
from intake.desk.pour_list_words import sheet_of, unopened_words
from intake.domain.case import Item
from intake.domain.half_typed import HalfTyped
from intake.store.meanwhile import NotNow
from intake.store.move_rows import StandsAt
from tests.desk.desks import NOW, day_case, day_file, printed
from tests.documents.reading import text_of


def booked(desk, *items, name="01", **said):
    items = items or (impression("addition-silicone"),)
    case = day_case(name).model_copy(update={"items": items, "arrived": NOW} | said)
    return book(desk, case, f"t-{name}-{items}-{said}")


def impression(material="alginate", taken=NOW - timedelta(hours=1), arch="upper"):
    return Item(item="impression", arch=arch, material=material, taken=taken)


def at(desk, moment):
    return replace(desk, now=lambda: moment)


def move(desk, made, kind, bench, to):
    job = desk.store.read.job(made.jobs[0].number)
    with desk.work() as work:
        work.moves.move(job.job_id, job.version, kind, bench, to)
        work.commit()


def test_what_keeps_least_stands_first(desk):
    silicone = booked(desk)
    alginate = booked(desk, impression())
    putty = booked(desk, impression("condensation-silicone"))
    assert [line.case_id for line in pour_list(desk)] == [putty.case_id, alginate.case_id, silicone.case_id]


def test_a_line_says_what_it_is_until_when_and_where_its_box_is(desk):
    booked(desk, impression("alginate"), impression("alginate", arch="lower"))
    (line,) = pour_list(desk)
    assert [(each.words, each.when) for each in line.impressions] == [
        ("upper and lower, Alginate", "by Thu 26 Nov, 09:30, past its usual time since 10:00")
    ]
    assert (line.first.standing, line.left) == ("past-usual", "23 h left")
    assert (line.practice, line.patient) == ("Fernhallow Dental Care", "M.K. · F-3316")
    (job,) = line.jobs
    assert (job.category, job.colour, job.held, job.where) == ("Splints", "Blue", False, "reception")


def test_impressions_of_two_materials_are_told_apart_the_pressing_one_first(desk):
    booked(desk, impression("addition-silicone"), impression("alginate", arch="lower"))
    (line,) = pour_list(desk)
    assert [each.words for each in line.impressions] == ["lower, Alginate", "upper, Addition silicone"]


@pytest.mark.parametrize(
    ("taken", "now", "standing", "left"),
    [
        (NOW - timedelta(minutes=20), NOW, "wait", "13 days left"),
        (NOW - timedelta(minutes=20), NOW + timedelta(minutes=41), "fresh", "13 days left"),
        (NOW - timedelta(hours=330), NOW, "past-usual", "6 h left"),
        (NOW - timedelta(hours=337, minutes=30), NOW, "past-limit", "over by 1 h 30 min"),
        (NOW - timedelta(days=17), NOW, "past-limit", "over by 3 days"),
        (NOW - timedelta(hours=335, minutes=15), NOW, "past-usual", "45 min left"),
    ],
)
@pytest.mark.sampled(3)
def test_a_list_that_is_read_again_follows_the_clock(desk, taken, now, standing, left):
    booked(desk, impression("addition-silicone", taken))
    (line,) = pour_list(at(desk, now))
    assert (line.first.standing, line.left) == (standing, left)


def test_a_time_that_nobody_said_is_called_estimated(desk):
    booked(desk, impression("alginate", None))
    (line,) = pour_list(desk)
    assert (line.first.estimated, line.first.when.endswith(", estimated")) == (True, True)


def test_a_material_that_nobody_knows_is_never_called_in_time(desk):
    booked(desk, impression(None))
    (line,) = pour_list(desk)
    assert (line.first.standing, line.first.when, line.left) == ("unknown", "not known: ask, or pour at once", "")


def test_what_is_poured_is_off_the_list_and_can_be_taken_back(desk):
    made = booked(desk)
    poured = mark_poured(desk, made.case_id)
    assert poured.said.startswith("The impressions of 26 ")
    assert (pour_list(desk), how_many_to_pour(desk)) == ((), 0)
    with pytest.raises(NotNow, match="poured already, by AB"):
        mark_poured(desk, made.case_id)
    take_poured_back(desk, poured)
    assert [line.case_id for line in pour_list(desk)] == [made.case_id]
    said = [each.what for each in told(desk.store.read.history(made.case_id))][-2:]
    assert said == [
        "Its impressions were poured.",
        "Noted as poured by mistake: its impressions are still to be poured.",
    ]


def test_a_box_that_came_out_of_the_bench_that_pours_is_off_the_list(desk):
    made = booked(desk)
    move(desk, made, "handed-over", "Casting", StandsAt("gone", "Casting"))
    (line,) = pour_list(desk)
    assert line.jobs[0].where == "Casting"
    move(desk, made, "out", "Casting", StandsAt("gone", "Splints"))
    assert pour_list(desk) == ()


def test_a_box_that_came_in_at_a_later_bench_is_off_the_list_though_nobody_scanned_it_out(desk):
    made = booked(desk)
    move(desk, made, "in", "Splints", StandsAt("gone", "Splints"))
    assert pour_list(desk) == ()


def test_no_more_are_listed_than_are_asked_for_and_what_keeps_least_is_among_them(desk):
    booked(desk)
    soon = booked(desk, impression())
    assert [line.case_id for line in pour_list(desk, most=1)] == [soon.case_id]
    assert how_many_to_pour(desk) == 2


def test_post_that_waits_with_an_impression_is_counted_and_so_is_what_nobody_knows_of(desk):
    assert unopened_words(unopened(desk)) == ""
    take_in(desk, [day_file("01"), day_file("02")])
    set_down(desk, HalfTyped("a", {"practice": "MARLOW1", "items": "u alg, l alg"}))
    set_down(desk, HalfTyped("b", {"practice": "MARLOW1"}))
    set_down(desk, HalfTyped("c", {"practice": "MARLOW1", "items": "u model"}))
    waits = unopened(desk)
    assert (waits.with_impression, waits.not_known) == (3, 1)
    assert unopened_words(waits) == (
        "Not booked in yet: 3 arrivals with an impression and 1 arrival of which nobody knows yet; open them first."
    )


def test_the_list_is_printed_as_it_stands(desk, tmp_path):
    made = booked(desk, impression("addition-silicone", NOW - timedelta(minutes=20)))
    booked(desk, impression("alginate", datetime(2026, 11, 23, 11, 0)))
    issued = issue(desk, print_pour_list(desk))
    assert issued.sent
    (name,) = [name for name in printed(tmp_path) if "Pour" in name]
    text = " ".join(" ".join(text_of((tmp_path / "printed" / name).read_bytes())).split())
    assert "Wed 25 Nov 2026, 10:30: 2 cases to pour, what keeps least first." in text
    assert text.index("Past its limit") < text.index("Not yet")
    assert "not before 11:10, by Wed 9 Dec, 10:10" in text
    assert f"{desk.store.read.job(made.jobs[0].number).number[:2]} " in text
    assert "Where the maker gives another time for the product, that time counts." in text


def test_a_sheet_says_when_more_stand_in_the_program(desk, monkeypatch):
    booked(desk)
    booked(desk, impression())
    monkeypatch.setattr("intake.desk.pour_list_words.pour_list", lambda desk: pour_list(desk, most=1))
    assert "1 more stand in the program" in sheet_of(desk, "7", NOW).counted
