"""The lab's own list of practices: looked at, taken in whole or not at all, taken back, and written out again."""

import csv
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from intake.desk.book_in import book
from intake.desk.directory_export import export
from intake.desk.directory_import import (
    EVERY,
    CannotTakeBack,
    DirectoryMovedOn,
    Stopped,
    export_faulty,
    preview,
    take_back,
    take_in,
)
from intake.desk.history import told
from intake.desk.people import NotForYou
from intake.domain.delivery_services import Service
from intake.domain.people import Person
from intake.domain.practice import OpeningHours, Practice
from intake.store.chain import Head
from intake.store.opening import Store
from tests.desk.desks import day_case, demo_practices, open_desk
from tests.desk.labs import lab_with

HEADERS = "Code;Practice name;Street;Town;Postcode;Phone;E-mail;Dentists;Hours;Transit days;Service;Country"
MARLOW = "MARLOW1;Marlowe House Dental Practice;12 Chandler Row;Tarnbeck;XQ1 2AB;01632 960101"
NEW = "HARBOUR;Harbour Street Practice;4 Harbour Street;Ellerquay;XQ9 4AA;01632 960177"


@pytest.fixture
def written(tmp_path):
    """Writes a list of practices."""

    def write(*rows, headers=HEADERS):
        file = tmp_path / "list.csv"
        file.write_text("\n".join((headers, *rows)), encoding="utf-8")
        return file

    return write


def looked_at(desk, file):
    return {row.line: row for row in preview(desk, file).rows}


def with_services(desk, tmp_path):
    """The desk of a lab with a service of its own."""
    lab = desk.lab
    services = (Service(name="Van", transit_days=0),)
    deadlines = lab.deadlines.model_copy(update={"services": services})
    return open_desk(desk.store, tmp_path, lab=lab_with(lab, deadlines=deadlines))


def test_a_new_practice_is_read_with_all_that_its_row_says(desk, written, tmp_path):
    hours = '"Mon-Thu 09:00-13:00, 14:00-17:00; Fri 9.00-12.30"'
    file = written(f"{NEW};harbour@example.com;Dr A. Bell, Dr C. Dew;{hours};0;Van;Ireland")
    row = looked_at(with_services(desk, tmp_path), file)[2]
    assert (row.kind, row.practice) == (
        "new",
        Practice(
            code="HARBOUR",
            name="Harbour Street Practice",
            address=("4 Harbour Street", "Ellerquay"),
            postcode="XQ9 4AA",
            telephone="01632 960177",
            email="harbour@example.com",
            prescribers=("Dr A. Bell", "Dr C. Dew"),
            hours=(
                OpeningHours(weekdays=(0, 1, 2, 3), open=("09:00-13:00", "14:00-17:00")),
                OpeningHours(weekdays=(4,), open=("9.00-12.30",)),
            ),
            transit_days=0,
            service="Van",
            country="IE",
        ),
    )


def test_what_is_known_changes_field_by_field_and_an_empty_cell_changes_nothing(desk, written):
    file = written(
        "marlow1;Marlowe House;12 Chandler Row;Tarnbeck;;01632 960199",
        "OXMERE;;;;;;;;;3",
        ";Fernhallow Dental Care;;;xq71ll;;",
    )
    rows = looked_at(desk, file)
    assert (rows[2].kind, rows[2].changes) == (
        "changed",
        (
            ("name", "Marlowe House Dental Practice", "Marlowe House"),
            ("telephone", "01632 960101", "01632 960199"),
        ),
    )
    assert (rows[3].kind, rows[3].changes) == ("changed", (("transit_days", "", "3"),))
    assert (rows[4].kind, rows[4].practice.code, rows[4].changes) == (
        "changed",
        "FERNHAL",
        (("postcode", "XQ7 1LL", "xq71ll"),),
    )


def test_a_number_that_lost_its_zero_in_a_spreadsheet_is_the_number_that_is_known(desk, written):
    assert looked_at(desk, written(MARLOW.replace("01632 960101", "1632960101")))[2].kind == "same"


@pytest.mark.parametrize(
    ("row", "kind", "why"),
    [
        (MARLOW.replace("MARLOW1", "OTHER1"), "double", "the name and the place are the same"),
        (";The Marlow House Dental;;;XQ1 2AB", "double", "the postcode is the same, and the name nearly so"),
        (";Marlowe House Dental Practice", "double", "this row does not say where it is"),
        (";Chandler Orthodontics;;;XQ1 2AB", "new", ""),
        (NEW.replace("HARBOUR;", "HARBOUR ROW 771;"), "faulty", "Code “HARBOUR ROW 771”: A code is 2 to 12 letters"),
        (";;4 Harbour Street;Ellerquay", "faulty", "There is no name of a practice in this row."),
        (NEW.replace("01632 960177", "1.63296E+09"), "faulty", "Telephone: “1.63296E+09” is a number that a"),
        (NEW.replace("01632 960177", "12"), "faulty", "Telephone: “12” cannot be dialled in GB."),
        (NEW + ";harbour.example.com", "faulty", "E-mail: “harbour.example.com” is no e-mail address"),
        (NEW + ";;;Mon-Fri late", "faulty", "Telephone answered: "),
        (NEW + ";;;Mon 09:00-13:00, 12:00-14:00", "faulty", "On Monday two stretches overlap at 12:00."),
        (NEW + ";;;;soon", "faulty", "Days on the way: Type a number of days"),
        (NEW + ";;;;;Pigeon", "faulty", "Service: “Pigeon” is no service of the lab setup"),
        (NEW + ";;;;;;Atlantis", "faulty", "Country: No bank holidays are known for the country “Atlantis”"),
        (NEW.replace("Ellerquay", "#REF!"), "faulty", "Address: the cell holds an error of the spreadsheet, #REF!"),
    ],
)
def test_what_stands_there_already_or_cannot_be_is_told_with_the_reason(desk, written, row, kind, why):
    found = looked_at(desk, written(row))[2]
    assert found.kind == kind
    assert why in found.reason


def test_a_practice_that_stands_twice_in_the_file_counts_once(desk, written):
    rows = looked_at(desk, written(MARLOW, MARLOW, NEW, NEW, NEW.replace("HARBOUR;", ";")))
    assert [row.kind for row in rows.values()] == ["same", "double", "new", "double", "double"]
    assert rows[3].reason == "Line 2 is the same practice, Marlowe House Dental Practice (MARLOW1)."
    assert {rows[line].reason for line in (5, 6)} == {"Line 4 is the same practice, Harbour Street Practice (HARBOUR)."}


def test_practices_without_codes_get_codes_that_none_has_or_had(desk, written):
    rows = looked_at(desk, written(";Harbour A;;;A1", ";Harbour Bee;;;B1", "HARBOU1;Sea View;;;C1"))
    assert [row.practice.code for row in rows.values()][:2] == ["HARBOU1", "HARBOU2"]
    assert rows[4].kind == "double", "the code is taken by a row above"
    rows = looked_at(desk, written("K-10/23;Sea View;;;C1", "k1023;Sea View"))
    assert (rows[2].practice.code, rows[3].kind) == ("K1023", "double"), "what parts a number of a list is left out"


def test_an_import_is_taken_in_and_back_each_practice_with_its_events(desk, written):
    before, count = desk.practices(), desk.store.verify_chain().count
    taken = take_in(desk, preview(desk, written(NEW, MARLOW.replace("960101", "960102"), ";;x")))
    assert desk.store.read.practice("HARBOUR").practice.name == "Harbour Street Practice"
    assert desk.store.read.practice("MARLOW1").practice.telephone == "01632 960102"
    assert desk.store.verify_chain().count == count + 2
    assert told(desk.store.read.history_of_practice("MARLOW1"))[-1].what == (
        "Changed in the directory: telephone from “01632 960101” to “01632 960102”."
    )
    assert "Harbour Street Practice" in {job.practice_name for job in book_at(desk, "HARBOUR", "harbour")}
    with pytest.raises(CannotTakeBack, match="something has come from these since: Harbour Street Practice"):
        take_back(desk, taken)
    taken = take_in(desk, preview(desk, written("QUAYSID;Quayside Dental;;;XQ8 8ZZ", "OXMERE;Oxmere Braces")))
    take_back(desk, taken)
    assert desk.store.read.practice("QUAYSID") is None
    assert set(before) - set(desk.practices()) == {next(p for p in demo_practices() if p.code == "MARLOW1")}
    assert told(desk.store.read.history_of_practice("QUAYSID"))[-1].what.startswith("Taken out of the directory")
    assert isinstance(desk.store.verify_chain(), Head)


def book_at(desk, code, words):
    """Books a case of a practice, and finds it by some words."""
    book(desk, day_case("01").model_copy(update={"practice": code}), f"of-{code}")
    return desk.store.read.find(words)


def test_what_another_desk_changed_meanwhile_is_refused_whole(desk, written):
    shown = preview(desk, written(NEW, MARLOW.replace("960101", "960102")))
    with desk.work() as work:
        work.practices.save(Practice(code="HARBOUR", name="Harbour Dental"))
        work.commit()
    with pytest.raises(DirectoryMovedOn, match="changed meanwhile: Harbour Street Practice"):
        take_in(desk, shown)
    assert desk.store.read.practice("MARLOW1").practice.telephone == "01632 960101"


def test_an_import_that_is_stopped_at_any_point_leaves_nothing(desk, written):
    many = [f"H{n};Harbour {n};{n} Row;Ellerquay;XQ{n} 4AA" for n in range(1200)]
    file, before = written(*many), desk.store.verify_chain()
    with pytest.raises(Stopped):
        preview(desk, file, stop=lambda: True)
    seen = []
    shown = preview(desk, file, progress=lambda done, of: seen.append((done, of)))
    assert seen[0] == (EVERY, 1200)
    assert seen[-1] == (1200, 1200)
    for asked in range(1, 5):
        turns = iter([False] * (asked - 1) + [True] * 9)
        with pytest.raises(Stopped, match="Nothing was taken in"):
            take_in(desk, shown, stop=lambda turns=turns: next(turns))
        assert len(desk.practices()) == len(demo_practices())
        assert desk.store.verify_chain() == before
    assert len(take_in(desk, shown).new) == 1200


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_an_export_that_is_taken_in_again_changes_nothing(desk, tmp_path, ending):
    file = tmp_path / f"directory{ending}"
    assert export(desk, file) == len(demo_practices())
    shown = preview(desk, file)
    assert shown.counts == {"same": len(demo_practices())}
    assert None not in dict(shown.columns).values()


SIGNS = st.text(st.sampled_from("=+-@\t\n\r',;\"'é ") | st.characters(codec="utf-8"), max_size=8)
LINES = st.lists(SIGNS, max_size=5).map(tuple)


@settings(max_examples=10)
@given(
    rows=st.lists(
        st.tuples(SIGNS.filter(str.strip), LINES, SIGNS, SIGNS, LINES, st.sampled_from([None, 0, 7])), max_size=4
    )
)
def test_whatever_a_directory_says_no_cell_of_its_export_is_live_and_taking_it_in_again_changes_nothing(
    rows, tmp_path_factory
):
    folder = tmp_path_factory.mktemp("export")
    store = Store.open(folder / "intake.sqlite")
    desk = open_desk(store, folder)
    with desk.work() as work:
        for number, (name, address, postcode, notes, prescribers, days) in enumerate(rows):
            said = {"address": address, "postcode": postcode, "notes": notes, "prescribers": prescribers}
            work.practices.save(Practice(code=f"P{number}", name=name, transit_days=days, **said))
        work.commit()
    for ending in (".csv", ".xlsx"):
        file = folder / f"directory{ending}"
        export(desk, file)
        assert not [cell for cell in cells_of(file) if cell.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\x00"))]
        assert set(preview(desk, file).counts) <= {"same"}
    store.close()


def cells_of(file):
    if file.suffix == ".csv":
        with file.open(encoding="utf-8-sig", newline="") as opened:
            return [cell for row in csv.reader(opened) for cell in row]
    cells = [cell for row in load_workbook(file).active for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} <= {"s"}
    return [cell.value for cell in cells]


def test_rows_that_are_not_taken_are_kept_as_they_stand_with_the_reason_behind(desk, written, tmp_path):
    shown = preview(desk, written(MARLOW, ";;=1+1;Ellerquay", NEW, NEW))
    export_faulty(shown, tmp_path / "left.csv")
    names, faulty, double = csv.reader((tmp_path / "left.csv").read_text("utf-8-sig").splitlines())
    assert names == [*HEADERS.split(";"), "Line", "Reason"]
    assert faulty[:4] == ["", "", "'=1+1", "Ellerquay"]
    assert faulty[-2:] == ["3", "There is no name of a practice in this row."]
    assert double[0] == "HARBOUR"
    assert double[-1].startswith("Line 4 is the same practice")


def test_only_a_lead_takes_a_directory_in(desk, written):
    shown = preview(desk, written(NEW))
    people = (Person(initials="AB", name="Ann Bo", role="desk", has_pin=True),)
    with pytest.raises(NotForYou):
        take_in(replace(desk, people=people, signed_in=True), shown)
