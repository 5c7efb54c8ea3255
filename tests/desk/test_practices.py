"""The entry of one practice: what cannot stand is told field by field, and what is kept has its consequences."""

import pytest

from intake.desk.book_in import book
from intake.desk.practices import problems, save_practice
from intake.domain.practice import OpeningHours, Practice
from intake.domain.reading import find_practice
from intake.store.meanwhile import NotNow
from tests.desk.desks import day_case

QUAY = Practice(code="QUAY1", name="Quayside Dental")


def entry(desk, code="MARLOW1"):
    return desk.store.read.practice(code)


def wrong(desk, **said):
    return dict(problems(QUAY.model_copy(update=said), desk))


def test_an_entry_is_told_field_by_field_what_cannot_stand(desk):
    assert wrong(desk) == {}
    overlapping = (OpeningHours(weekdays=(0,), open=("09:00-13:00", "12:00-14:00")),)
    found = wrong(
        desk,
        code="quay-1",
        telephone="12",
        email="desk",
        open_weekdays=(),
        hours=overlapping,
        zone="Europe/Tarnbeck",
        country="XX",
        service="Pigeon",
        language="xx",
        former=("MARLOW1",),
    )
    assert found["code"].startswith("A code is 2 to 12 letters and digits")
    assert found["telephone"].startswith("“12” cannot be dialled in XX")
    assert found["hours"] == "On Monday two stretches overlap at 12:00."
    assert found["zone"] == "There is no time zone “Europe/Tarnbeck”; it is written as Europe/Dublin."
    assert found["former"] == "MARLOW1 is a code of Marlowe House Dental Practice (MARLOW1)."
    assert {"email", "open_weekdays", "country", "service", "language"} <= found.keys()
    assert "subdivision" in wrong(desk, country="GB", subdivision="Tarnshire")
    abroad = {"telephone": "+353 1 555 0123", "country": "IE", "zone": "Europe/Dublin"}
    assert wrong(desk, email="a.b+c@lab.example.com", **abroad) == {}


def test_a_code_that_another_practice_has_or_had_is_refused(desk):
    assert wrong(desk, code="MARLOW1") == {}, "this is its own entry"
    row = entry(desk)
    save_practice(desk, row.practice.model_copy(update={"former": ("QUAY1",)}), row.version)
    assert wrong(desk) == {"code": "QUAY1 was Marlowe House Dental Practice’s code. Choose another."}
    assert wrong(desk, code="oxmere") == {"code": "oxmere is Oxmere Orthodontics’s code. Choose another."}
    with pytest.raises(NotNow):
        save_practice(desk, Practice(code="MARLOW1", name="Another"), None)


def test_a_case_that_names_a_former_code_is_the_practice_s_that_had_it(desk):
    row = entry(desk)
    save_practice(desk, row.practice.model_copy(update={"former": ("MHDP",)}), row.version)
    booked = book(desk, day_case("01").model_copy(update={"practice": "mhdp"}), "form-1")
    stands = desk.store.read.case(booked.case_id)
    assert (stands.practice_code, stands.case.practice) == ("MARLOW1", "MARLOW1")
    assert [job.case_id for job in desk.store.read.find("mhdp")] == [booked.case_id]
    twin = Practice(code="MHDP", name="A new practice that was given the code")
    assert find_practice("MHDP", (row.practice, twin)) == twin, "a code that stands goes before a former one"


def test_another_way_to_a_practice_counts_the_dates_of_its_open_jobs_anew(desk):
    booked = book(desk, day_case("01"), "form-1")
    number = booked.jobs[0].number
    before = desk.store.read.job(number).must_leave
    row = entry(desk, desk.store.read.case(booked.case_id).practice_code)
    assert save_practice(desk, row.practice.model_copy(update={"transit_days": 4}), row.version).version == 2
    assert desk.store.read.job(number).must_leave < before
