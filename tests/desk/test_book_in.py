"""Booking in: saved once, with its numbers, changed and taken back without losing anything."""

import pytest

from intake.desk.arrivals import bring_back, set_down, take_in, waiting
from intake.desk.book_in import (
    BookedElsewhere,
    NothingToMake,
    amend,
    book,
    book_arrival,
    book_checked,
    save_form,
    take_back,
)
from intake.desk.check import check_file
from intake.desk.issue import issue_all
from intake.desk.open_form import NotHere, arrival_form
from intake.domain.case import Case
from intake.domain.form import read_form
from intake.domain.half_typed import HalfTyped
from intake.domain.job_number import read_number
from intake.errors import IntakeError
from intake.store.meanwhile import ChangedMeanwhile
from tests.desk.desks import NOW, day_case, day_file, demo_practices, open_desk


def with_thickness(case, millimetres):
    first = case.appliances[0]
    options = first.options.model_copy(update={"thickness_mm": millimetres})
    return case.model_copy(update={"appliances": (first.model_copy(update={"options": options}), *case.appliances[1:])})


def tickets_of(desk, booked):
    return [(row.copy, row.state) for row in desk.store.read.documents_of(booked.jobs[0].number)]


def test_a_booked_case_is_there_with_its_number_box_and_ticket(desk):
    booked = book(desk, day_case("01"), "form-1")
    (job,) = booked.jobs
    assert (job.category_name, job.box_colour, job.state) == ("Splints", "Blue", "clear")
    assert read_number(job.number).running == 1
    assert job.shown.startswith("26 000001 ")
    assert booked.tickets == (job.document_id,)
    assert desk.store.read.case(booked.case_id).case.appliances == day_case("01").appliances


def test_a_case_of_two_categories_gets_two_jobs_that_share_the_case(desk):
    booked = book(desk, day_case("18"), "form-1")
    assert [job.category_name for job in booked.jobs] == ["Splints", "Retainers"]
    assert [read_number(job.number).running for job in booked.jobs] == [1, 2]
    assert {row.case_id for row in desk.store.read.jobs_of(booked.case_id)} == {booked.case_id}


def test_what_is_missing_does_not_keep_a_case_from_being_booked(desk):
    booked = book(desk, day_case("07"), "form-1")
    assert booked.verdict.state == "held"
    asked = [query.requirement for query in desk.store.read.open_queries()]
    assert asked == ["practice", "prescriber", "patient"]


def test_the_same_form_saved_twice_is_one_case(desk):
    first, second = (book(desk, day_case("01"), "form-1") for _ in range(2))
    assert (second.case_id, second.jobs, second.again) == (first.case_id, first.jobs, True)
    assert second.tickets == first.tickets  # not printed yet: it still waits


def test_the_same_form_saved_again_after_printing_prints_nothing_again(desk):
    issue_all(desk, book(desk, day_case("01"), "form-1").tickets)
    assert book(desk, day_case("01"), "form-1").tickets == ()


def test_the_same_file_booked_twice_is_one_case(desk):
    checked = check_file(day_file("01"), desk.lab, demo_practices(), NOW)
    first, second = (book_checked(desk, checked) for _ in range(2))
    assert (first.again, second.again) == (False, True)
    assert second.case_id == first.case_id


def test_a_case_without_an_appliance_is_refused_in_words(desk):
    with pytest.raises(NothingToMake, match="Enter at least one appliance"):
        book(desk, Case(practice="MARLOW1"), "form-1")
    assert desk.store.read.counts(NOW.date()).booked == 0


@pytest.mark.parametrize("typed", ["marlow1", " MARLOW1 ", "Marlow1"])
def test_a_practice_code_is_kept_as_the_directory_writes_it(desk, typed):
    booked = book(desk, day_case("01").model_copy(update={"practice": typed}), "form-1")
    row = desk.store.read.case(booked.case_id)
    assert (row.case.practice, row.practice_code) == ("MARLOW1", "MARLOW1")


def test_a_case_without_a_time_of_arrival_arrived_now(desk):
    booked = book(desk, day_case("01").model_copy(update={"arrived": None}), "form-1")
    assert desk.store.read.case(booked.case_id).arrived == NOW


def test_an_arrival_that_is_booked_waits_no_longer(desk):
    (taken,) = take_in(desk, [day_file("01")])
    booked = book_arrival(desk, taken.arrival_id)
    assert waiting(desk) == ()
    assert desk.store.read.arrival(taken.arrival_id).case_id == booked.case_id


def test_an_arrival_that_cannot_be_read_is_not_booked_by_itself(desk, tmp_path):
    broken = tmp_path / "broken.json"
    broken.write_text("{", encoding="utf-8")
    (taken,) = take_in(desk, [broken])
    with pytest.raises(NothingToMake, match="type what stands on the paper"):
        book_arrival(desk, taken.arrival_id)


def test_two_desks_that_open_the_same_arrival_book_one_case(desk, tmp_path):
    (taken,) = take_in(desk, [day_file("01")])
    other = open_desk(desk.store, tmp_path, person="CD", name="second")
    first = book(desk, day_case("01"), "form-at-first-desk", taken.arrival_id)
    with pytest.raises(BookedElsewhere, match=f"booked in meanwhile, as {first.jobs[0].shown}"):
        book(other, day_case("01"), "form-at-second-desk", taken.arrival_id)
    assert desk.store.read.counts(NOW.date()).booked == 1
    assert book(desk, day_case("02"), "next").jobs[0].number[2:8] == "000002"  # the refused one took no number


def test_a_case_is_not_put_in_the_place_of_an_arrival_of_another(desk):
    (taken,) = take_in(desk, [day_file("01")])
    book(desk, day_case("01"), "form-1", taken.arrival_id)
    other = book(desk, day_case("02"), "form-2")
    with pytest.raises(BookedElsewhere):
        amend(desk, other.case_id, other.version, day_case("02"), taken.arrival_id)


def test_an_amended_case_keeps_its_number(desk):
    booked = book(desk, day_case("02"), "form-1")
    amended = amend(desk, booked.case_id, booked.version, with_thickness(day_case("02"), 2))
    assert [job.number for job in amended.jobs] == [job.number for job in booked.jobs]
    assert "thickness" not in {query.requirement for query in desk.store.read.open_queries()}


def test_a_ticket_that_is_out_is_replaced_by_its_next_copy_when_the_case_changes(desk):
    booked = book(desk, day_case("02"), "form-1")
    issue_all(desk, booked.tickets)
    amended = amend(desk, booked.case_id, booked.version, with_thickness(day_case("02"), 2))
    assert [copy for copy, _ in tickets_of(desk, booked)] == [1, 2]
    issue_all(desk, amended.tickets)
    assert tickets_of(desk, booked)[1] == (2, "sent")
    assert desk.store.read.documents_of(booked.jobs[0].number)[1].reason == "prescription changed"


def test_a_ticket_that_is_not_printed_yet_needs_no_second_copy(desk):
    booked = book(desk, day_case("02"), "form-1")
    amended = amend(desk, booked.case_id, booked.version, with_thickness(day_case("02"), 2))
    assert amended.tickets == booked.tickets
    assert [copy for copy, _ in tickets_of(desk, booked)] == [1]


def test_nothing_is_printed_when_nothing_changed(desk):
    booked = book(desk, day_case("02"), "form-1")
    issue_all(desk, booked.tickets)
    assert amend(desk, booked.case_id, booked.version, day_case("02")).tickets == ()


def test_a_stale_change_is_refused_and_told(desk):
    booked = book(desk, day_case("02"), "form-1")
    amend(desk, booked.case_id, booked.version, with_thickness(day_case("02"), 2))
    with pytest.raises(ChangedMeanwhile):
        amend(desk, booked.case_id, booked.version, with_thickness(day_case("02"), 3))
    assert desk.store.read.case(booked.case_id).case.appliances[0].options.thickness_mm == 2


def test_what_was_taken_back_waits_again_and_its_number_is_not_given_twice(desk):
    (taken,) = take_in(desk, [day_file("01")])
    booked = book(desk, day_case("01"), "form-1", taken.arrival_id)
    take_back(desk, booked)
    assert [line.arrival_id for line in waiting(desk)] == [taken.arrival_id]
    assert desk.store.read.job(booked.jobs[0].number).state == "withdrawn"
    assert tickets_of(desk, booked) == [(1, "cancelled")]
    assert book(desk, day_case("02"), "form-2").jobs[0].number[2:8] == "000002"


def test_what_was_taken_back_and_corrected_keeps_its_number_and_is_printed_once(desk):
    (taken,) = take_in(desk, [day_file("02")])
    booked = book(desk, day_case("02"), "form-1", taken.arrival_id)
    version = take_back(desk, booked)
    again = amend(desk, booked.case_id, version, with_thickness(day_case("02"), 2), taken.arrival_id)
    assert [job.number for job in again.jobs] == [job.number for job in booked.jobs]
    assert again.tickets == booked.tickets
    assert waiting(desk) == ()


def test_a_case_is_not_taken_back_after_another_desk_changed_it(desk):
    booked = book(desk, day_case("02"), "form-1")
    amend(desk, booked.case_id, booked.version, with_thickness(day_case("02"), 2))
    with pytest.raises(IntakeError):
        take_back(desk, booked)
    assert desk.store.read.case(booked.case_id).state == "open"


def test_a_booked_arrival_is_not_brought_back_by_a_second_desk(desk):
    (taken,) = take_in(desk, [day_file("01")])
    book(desk, day_case("01"), "form-1", taken.arrival_id)
    with pytest.raises(IntakeError, match="booked in meanwhile"):
        bring_back(desk, taken.arrival_id)


def checked(desk, name="01"):
    return check_file(day_file(name), desk.lab, demo_practices(), NOW)


def filled(desk, half, **typed):
    """An arrival's form with something typed to it, and how it reads."""
    texts = half.typed | typed
    return half, read_form(texts, desk.lab, desk.practices(), NOW, half.kept)


def test_a_file_booked_from_the_list_is_booked_before_when_a_command_books_it(desk):
    (taken,) = take_in(desk, [day_file("01")])
    from_list = save_form(desk, *filled(desk, arrival_form(desk, taken.arrival_id), notes="seen at the desk"))
    by_command = book_checked(desk, checked(desk))
    assert (by_command.again, by_command.case_id) == (True, from_list.case_id)
    assert desk.store.read.case(from_list.case_id).case.notes == "seen at the desk"


def test_a_file_booked_as_it_came_is_booked_before_when_a_command_books_it(desk):
    (taken,) = take_in(desk, [day_file("01")])
    from_list = book_arrival(desk, taken.arrival_id)
    assert book_checked(desk, checked(desk)).again
    assert desk.store.read.counts(NOW.date()).booked == 1
    assert from_list.again is False


def test_a_file_booked_by_a_command_waits_no_longer_and_is_not_opened(desk):
    (taken,) = take_in(desk, [day_file("01")])
    booked = book_checked(desk, checked(desk))
    assert waiting(desk) == ()
    with pytest.raises(NotHere, match=f"Booked before, as {booked.jobs[0].shown}"):
        arrival_form(desk, taken.arrival_id)


def test_a_file_booked_by_a_command_is_not_taken_in_afterwards(desk):
    book_checked(desk, checked(desk))
    (taken,) = take_in(desk, [day_file("01")])
    assert (taken.already, taken.arrival_id) == (True, None)
    assert waiting(desk) == ()


def test_a_form_whose_file_a_command_booked_meanwhile_makes_no_second_case(desk):
    (taken,) = take_in(desk, [day_file("01")])
    half = arrival_form(desk, taken.arrival_id)
    booked = book_checked(desk, checked(desk))
    again = save_form(desk, *filled(desk, half))
    assert (again.again, again.case_id) == (True, booked.case_id)


def test_what_was_typed_to_a_file_that_a_command_booked_meanwhile_is_not_lost_silently(desk):
    (taken,) = take_in(desk, [day_file("01")])
    half = arrival_form(desk, taken.arrival_id)
    booked = book_checked(desk, checked(desk))
    with pytest.raises(BookedElsewhere, match=f"booked in meanwhile, as {booked.jobs[0].shown}"):
        save_form(desk, *filled(desk, half, notes="two casts, please"))
    assert desk.store.read.case(booked.case_id).case.notes == ""


@pytest.mark.parametrize("by_command", [True, False], ids=["by a command", "from the list"])
def test_a_file_that_was_taken_back_is_booked_again_with_its_number(desk, by_command):
    (taken,) = take_in(desk, [day_file("01")])
    first = book_arrival(desk, taken.arrival_id)
    take_back(desk, first)
    if by_command:
        again = book_checked(desk, checked(desk))
    else:
        again = save_form(desk, *filled(desk, arrival_form(desk, taken.arrival_id)))
    assert (again.again, again.case_id) == (False, first.case_id)
    assert [job.number for job in again.jobs] == [job.number for job in first.jobs]
    assert desk.store.read.case(first.case_id).state == "open"
    assert waiting(desk) == ()


def test_what_came_in_no_file_gets_a_new_token_each_time(desk):
    arrival = set_down(desk, HalfTyped(typed={"notes": "later"}))
    assert arrival_form(desk, arrival).token != arrival_form(desk, arrival).token
