"""Practices that come into the directory: with a first bag, and from the file beside the setup."""

from dataclasses import replace

import pytest

from intake.desk.book_in import amend, book, save_form
from intake.desk.directory import CodeTaken, take_up
from intake.desk.history import told
from intake.domain.case import NewPractice
from intake.domain.form import read_form
from intake.domain.half_typed import HalfTyped
from intake.domain.practice import Practice
from intake.resources import demo
from tests.desk.desks import NOW, day_case, demo_practices, open_desk

FERN = Practice(
    code="FERNHA1",
    name="Fernhagen Row Surgery",
    address=("1 Mill Row", "Fernhagen"),
    telephone="01632 960158",
    prescribers=("Dr N. Else",),
)
TYPED = {
    "practice": FERN.name,
    "practice.address": "1 Mill Row, Fernhagen",
    "practice.telephone": FERN.telephone,
    "practice.code": "+",
    "prescriber": "Dr N. Else",
    "appliances[0]": "hs u 3",
}
FILE = """
[[practices]]
code = "MARLOW1"
name = "Another name that must not win"

[[practices]]
code = "HARBOUR"
name = "Harbour Street Practice"
address = ["4 Harbour Street", "Ellerquay"]
prescribers = ["Dr N. Else"]
"""


def first_bag():
    return day_case("01").model_copy(update={"practice": FERN.code, "prescriber": "Dr N. Else"})


def other_practice(code="FERNHA1"):
    return Practice(code=code, name="Fernbank Surgery", address=("Oxmere",))


def enter(desk, practice):
    with desk.work() as work:
        work.practices.save(practice)
        work.commit()


@pytest.fixture
def file(tmp_path):
    written = tmp_path / "practices.toml"
    written.write_text(FILE, encoding="utf-8")
    return written


def test_a_form_with_a_code_puts_its_practice_in_the_directory_with_the_case(desk):
    form = read_form(TYPED, desk.lab, desk.practices(), NOW)
    booked = save_form(desk, HalfTyped(typed=TYPED), form)
    assert desk.store.read.practice("FERNHA1").practice == FERN
    assert booked.entered.practice == FERN
    row = desk.store.read.case(booked.case_id)
    assert (row.practice_code, row.practice_name) == ("FERNHA1", FERN.name)
    assert "practice" not in {query.requirement for query in desk.store.read.queries_of(booked.case_id)}


def test_the_history_of_the_practice_tells_who_entered_it_and_what(desk):
    book(desk, first_bag(), "form-1", new_practice=FERN)
    (said,) = told(desk.store.read.history_of_practice("FERNHA1"))
    assert (said.who, said.at) == ("AB", NOW)
    assert said.what == (
        "Entered in the directory: address “1 Mill Row, Fernhagen”; code “FERNHA1”; name “Fernhagen Row Surgery”; "
        "open weekdays Monday, Tuesday, Wednesday, Thursday and Friday; prescribers Dr N. Else; "
        "telephone “01632 960158”."
    )


def test_a_code_that_is_taken_meanwhile_is_refused_and_nothing_at_all_is_saved(desk):
    enter(desk, other_practice())
    with pytest.raises(CodeTaken, match="The code FERNHA1 is Fernbank Surgery’s now; choose another for Fernhagen"):
        book(desk, first_bag(), "form-1", new_practice=FERN)
    assert desk.store.read.counts(NOW.date()).booked == 0
    assert desk.store.read.practice("FERNHA1").practice == other_practice()
    assert book(desk, day_case("01"), "next").jobs[0].number[2:8] == "000001", "the refused one took no number"


def test_a_code_is_taken_in_whatever_case_of_letters_it_was_written(desk):
    enter(desk, other_practice("Fernha1"))
    with pytest.raises(CodeTaken):
        book(desk, first_bag(), "form-1", new_practice=FERN)


def test_a_case_that_is_refused_leaves_no_practice_behind(desk, tmp_path):
    other = open_desk(desk.store, tmp_path, person="CD", name="second")
    booked = book(desk, day_case("01"), "form-1")
    amend(other, booked.case_id, booked.version, day_case("02"))
    with pytest.raises(Exception, match="changed"):
        amend(desk, booked.case_id, booked.version, first_bag(), new_practice=FERN)
    assert desk.store.read.practice("FERNHA1") is None


def test_two_desks_that_enter_the_same_practice_make_one_entry(desk, tmp_path):
    other = open_desk(desk.store, tmp_path, person="CD", name="second")
    first, second = book(desk, first_bag(), "form-1", new_practice=FERN), None
    second = book(other, first_bag(), "form-2", new_practice=FERN.model_copy(update={"telephone": "0"}))
    assert (first.entered.practice, second.entered.practice) == (FERN, None)
    assert desk.store.read.practice("FERNHA1").practice == FERN
    assert desk.store.read.case(second.case_id).practice_code == "FERNHA1"


def test_the_same_form_saved_twice_enters_its_practice_once(desk):
    first, second = (book(desk, first_bag(), "form-1", new_practice=FERN) for _ in range(2))
    assert (second.case_id, second.again, second.entered.practice) == (first.case_id, True, None)
    assert len(desk.store.read.history_of_practice("FERNHA1")) == 1


def test_an_amended_case_can_bring_its_practice_too(desk):
    booked = book(desk, day_case("01").model_copy(update={"practice": NewPractice(name=FERN.name)}), "form-1")
    amended = amend(desk, booked.case_id, booked.version, first_bag(), new_practice=FERN)
    assert amended.entered.practice == FERN
    assert desk.store.read.case(booked.case_id).practice_code == "FERNHA1"


def test_a_prescriber_is_remembered_only_when_asked_for_and_once(desk):
    case = day_case("01").model_copy(update={"practice": "marlow1", "prescriber": "Dr N. Else"})
    on_file = desk.store.read.practice("MARLOW1").practice.prescribers
    assert book(desk, case, "form-1").entered.prescriber == ""
    assert desk.store.read.practice("MARLOW1").practice.prescribers == on_file
    assert book(desk, case, "form-2", remembers=True).entered.prescriber == "Dr N. Else"
    assert book(desk, case, "form-3", remembers=True).entered.prescriber == ""
    assert desk.store.read.practice("MARLOW1").practice.prescribers == (*on_file, "Dr N. Else")
    assert told(desk.store.read.history_of_practice("MARLOW1"))[-1].what.startswith("Changed in the directory")


def test_a_directory_file_adds_what_is_missing_and_overwrites_nothing(desk, file):
    opened = take_up(desk, file)
    assert desk.store.read.practice("HARBOUR").practice.prescribers == ("Dr N. Else",)
    assert len(desk.practices()) == len(demo_practices()) + 1
    assert desk.store.read.practice("MARLOW1").practice.name == "Marlowe House Dental Practice"
    assert [(notice.text, notice.trouble) for notice in opened.notices] == [
        ("1 practice of practices.toml came into the directory.", False)
    ]
    assert replace(opened, notices=()) == desk


def test_a_directory_file_is_taken_up_once(desk, file):
    take_up(desk, file)
    before = desk.store.verify_chain().count
    assert take_up(desk, file) == desk
    assert desk.store.verify_chain().count == before


def test_codes_are_compared_in_any_case_of_letters(desk, file):
    file.write_text(FILE.replace("MARLOW1", "marlow1"), encoding="utf-8")
    take_up(desk, file)
    assert desk.store.read.practice("marlow1") is None


def test_the_demo_s_directory_is_such_a_file(store, tmp_path):
    desk = open_desk(store, tmp_path)
    assert take_up(desk, demo("practices.toml")).notices[0].text.startswith("16 practices of practices.toml")
    assert set(desk.practices()) == set(demo_practices())


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("[[practices]", "is not TOML"),
        ('[[practices]]\nname = "Harbour"', "practices[0].code (“Harbour”): this is missing"),
        ('[[practices]]\ncode = " "\nname = "Harbour"', "practices[0].code"),
        (FILE + '[[practices]]\ncode = "harbour"\nname = "B"', "share the code “harbour”"),
        (FILE + 'fax = "1"', "this is no part of the file"),
    ],
    ids=["no TOML", "no code", "blank code", "code twice", "unknown key"],
)
def test_a_directory_file_that_cannot_be_used_is_told_and_stops_nothing(desk, file, text, why):
    file.write_text(text, encoding="utf-8")
    (notice,) = take_up(desk, file).notices
    assert notice.trouble
    assert str(file) in notice.text
    assert why in notice.text
    assert notice.text.endswith("No practice was taken from it.")
    assert set(desk.practices()) == set(demo_practices())


def test_where_there_is_no_directory_file_nothing_is_told(desk, tmp_path):
    assert take_up(desk, tmp_path / "practices.toml") == desk
