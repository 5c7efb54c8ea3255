"""Two cases that are the same: one stands, with what only the other had."""

import pytest

from intake.desk.answering import take_answer
from intake.desk.book_in import amend, book
from intake.desk.case_scans import panel_of_case
from intake.desk.history import told
from intake.desk.issue import issue_all
from intake.desk.letters import write_due
from intake.desk.linked import AtTheBenches
from intake.desk.look_up import card
from intake.desk.merge import CannotMerge, look_at_merge, merge, take_apart
from intake.desk.withdraw import withdraw
from intake.domain.case import Item, Options, Patient
from intake.domain.job_number import read_number
from intake.store.meanwhile import ChangedMeanwhile, NotNow
from tests.desk.desks import day_case
from tests.desk.scan_mails import came
from tests.desk.standing import handed_over, stands
from tests.desk.waiting import RECEPTION, said

WHY = "booked in twice"
SCANS = (Item(item="scan", arch="upper"), Item(item="scan", arch="lower"))


def same(**changes):
    """The splint of the day's second case, which lacks its bite record, as it is booked once more."""
    return day_case("02").model_copy(update=changes)


def thick(millimetres):
    case = day_case("02")
    options = Options(**(case.appliances[0].options.model_dump() | {"thickness_mm": millimetres}))
    return (case.appliances[0].model_copy(update={"options": options}),)


@pytest.fixture
def first(desk):
    booked = book(desk, same(), "by-post")
    issue_all(desk, booked.tickets)
    return booked


@pytest.fixture
def second(first, desk):
    """The same once more: as scans, with another thickness, and with a note."""
    booked = book(desk, same(items=SCANS, appliances=thick(2.0), notes="ring first"), "as-scans")
    issue_all(desk, booked.tickets)
    return booked


def history(desk, case_id):
    return [each.what for each in told(desk.store.read.history(case_id), several=False)]


def test_the_one_that_stands_gets_what_only_the_other_has(desk, first, second):
    done = merge(desk, look_at_merge(desk, first.case_id, second.case_id), WHY)
    case = desk.store.read.case(first.case_id).case
    assert set(SCANS) < set(case.items)
    assert set(day_case("02").items) <= set(case.items)
    assert case.notes == "ring first"
    assert case.appliances[0].options.thickness_mm == 2.0
    assert desk.store.read.document(done.stands.tickets[0]).reason == "merged with another case that is the same"


def test_the_other_is_withdrawn_and_its_ticket_says_where_to_go(desk, first, second):
    merge(desk, look_at_merge(desk, first.case_id, second.case_id), WHY)
    shown = read_number(first.jobs[0].number).shown
    found = card(desk, second.jobs[0].number, 1)
    assert found.job.state == "withdrawn"
    assert found.replaced == (
        f"It is the same as {shown}, which stands. Go on with that one. Nothing of it goes to a bench."
    )
    assert found.sentence.endswith(f"and is made as {shown}.")
    assert {fact.words: fact.lines for fact in found.facts}["Belongs to"] == (
        f"The same as {shown}, which stands: {WHY}",
    )


def test_what_both_say_otherwise_is_shown_and_stands_in_the_history(desk, first):
    other = book(desk, same(appliances=thick(3.0), patient=Patient(label="Dora Wexcombe")), "again")
    amend(desk, first.case_id, first.version, same(appliances=thick(2.0)))
    look = look_at_merge(desk, first.case_id, other.case_id)
    assert [each.said for each in look.differs] == [
        "Thickness of appliance 1: 2 mm stays, the other said 3 mm.",
        "Patient’s label: “D.W.” stays, the other said “Dora Wexcombe”.",
    ]
    merge(desk, look, WHY)
    said_so = next(what for what in history(desk, first.case_id) if what.startswith("Merged"))
    assert "hickness stays 2 mm, the other said 3 mm" in said_so
    assert "patient’s label stays “D.W.”, the other said “Dora Wexcombe”" in said_so
    assert desk.store.read.case(first.case_id).case.patient.label == "D.W."


def test_the_practice_is_asked_about_what_differs_where_the_desk_wants_it(desk, first):
    other = book(desk, same(appliances=thick(3.0), patient=Patient(label="Dora Wexcombe")), "again")
    amend(desk, first.case_id, first.version, same(appliances=thick(2.0)))
    before = stands(desk, first.case_id)
    done = merge(desk, look_at_merge(desk, first.case_id, other.case_id), WHY, asks=True)
    (raised,) = desk.store.read.case(first.case_id).case.raised
    assert "thickness of appliance 1 (2 mm or 3 mm)" in raised.question
    assert "Wexcombe" not in raised.question
    assert any(query.question == raised.question for query in desk.store.read.queries_of(first.case_id))
    take_apart(desk, done)
    assert stands(desk, first.case_id) == before


def test_undoing_brings_both_back_as_they_were(desk, first, second):
    before = stands(desk, first.case_id), stands(desk, second.case_id)
    done = merge(desk, look_at_merge(desk, first.case_id, second.case_id), WHY)
    assert (stands(desk, first.case_id), stands(desk, second.case_id)) != before
    stood, _ = take_apart(desk, done)
    assert (stands(desk, first.case_id), stands(desk, second.case_id)) == before
    assert stood.version == desk.store.read.case(first.case_id).version
    assert desk.store.verify_chain().count
    merge(desk, look_at_merge(desk, first.case_id, second.case_id), WHY)


def test_a_question_that_the_other_has_asked_is_not_asked_again(desk, first):
    second = book(desk, same(notes="ring first"), "again")
    query_id, answer = said(desk, "QUILLB2", "bite-record", "post", second.case_id)
    take_answer(desk, query_id, answer, RECEPTION)
    before = stands(desk, first.case_id), stands(desk, second.case_id)
    done = merge(desk, look_at_merge(desk, first.case_id, second.case_id), WHY)
    assert [row.case_id for row in desk.store.read.expected("QUILLB2")] == [first.case_id]
    asked = [q for q in desk.store.read.queries_of(first.case_id) if q.state == "open"]
    assert query_id in {query.query_id for query in asked}
    assert len({(query.requirement, query.appliance) for query in asked}) == len(asked)
    take_apart(desk, done)
    assert (stands(desk, first.case_id), stands(desk, second.case_id)) == before


def test_letters_go_with_the_question_and_the_practice_is_asked_once(desk, first, second):
    write_due(desk)
    merge(desk, look_at_merge(desk, first.case_id, second.case_id), WHY)
    open_now = desk.store.read.open_queries("QUILLB2")
    assert {query.case_id for query in open_now} == {first.case_id}
    assert all(query.letters == 1 for query in open_now)


def test_its_arrivals_and_scans_belong_to_the_one_that_stands(desk, first, tmp_path):
    arrival_id = came(desk, tmp_path, "scans", "Practice: QUILLB2\nPatient: D.W.\n", upper="upper", lower="lower")
    case = same(items=SCANS)
    second = book(desk, case, "as-scans", arrival_id)
    done = merge(desk, look_at_merge(desk, first.case_id, second.case_id), WHY)
    assert [row.arrival_id for row in desk.store.read.arrivals_of_case(first.case_id)] == [arrival_id]
    assert panel_of_case(desk, first.case_id) is not None
    take_apart(desk, done)
    assert [row.arrival_id for row in desk.store.read.arrivals_of_case(second.case_id)] == [arrival_id]
    assert desk.store.read.arrivals_of_case(first.case_id) == ()


def test_the_scans_of_both_lie_together_and_come_apart_again(desk, tmp_path):
    words = "Practice: QUILLB2\nPatient: D.W.\n"
    arrivals = [came(desk, tmp_path, name, words, **{name: name}) for name in ("upper", "lower")]
    made = [book(desk, same(items=()), f"scan-{each}", each) for each in arrivals]
    before = [stands(desk, each.case_id) for each in made]
    done = merge(desk, look_at_merge(desk, *(each.case_id for each in made)), WHY)
    files = desk.store.read.files_of(arrivals)
    assert [len(files.get(each, ())) for each in arrivals] == [sum(map(len, files.values())), 0]
    assert {scan.shows for scan in desk.store.read.case(made[0].case_id).case.scans} == {"upper", "lower"}
    take_apart(desk, done)
    assert [stands(desk, each.case_id) for each in made] == before
    assert all(desk.store.read.files_of([each]) for each in arrivals)


def test_what_was_changed_since_is_not_taken_apart(desk, first, second):
    done = merge(desk, look_at_merge(desk, first.case_id, second.case_id), WHY)
    case = desk.store.read.case(first.case_id)
    amend(desk, first.case_id, case.version, case.case.model_copy(update={"notes": "rung"}))
    with pytest.raises(ChangedMeanwhile):
        take_apart(desk, done)
    assert desk.store.read.case(second.case_id).state == "withdrawn"


def test_what_was_changed_since_it_was_looked_at_is_not_merged(desk, first, second):
    look = look_at_merge(desk, first.case_id, second.case_id)
    amend(desk, second.case_id, second.version, same(notes="another"))
    with pytest.raises(ChangedMeanwhile):
        merge(desk, look, WHY)
    assert desk.store.read.case(second.case_id).state == "open"


def test_a_case_is_not_merged_with_itself_nor_without_a_reason_nor_with_one_that_is_withdrawn(desk, first, second):
    with pytest.raises(CannotMerge, match="same case"):
        look_at_merge(desk, first.case_id, first.case_id)
    with pytest.raises(CannotMerge, match="Say why"):
        merge(desk, look_at_merge(desk, first.case_id, second.case_id), " ")
    withdraw(desk, second.case_id, second.version, "cancelled")
    with pytest.raises(NotNow):
        look_at_merge(desk, first.case_id, second.case_id)


def test_of_two_the_one_that_is_at_the_benches_stands(desk, first):
    whole = day_case("36")
    second, here = book(desk, whole, "whole"), book(desk, whole, "again")
    handed_over(desk, second.jobs[0].number)
    with pytest.raises(AtTheBenches, match="back at reception"):
        look_at_merge(desk, here.case_id, second.case_id)
    merge(desk, look_at_merge(desk, second.case_id, here.case_id), WHY)
    assert desk.store.read.job(second.jobs[0].number).state == "gone"
    assert desk.store.read.case(here.case_id).state == "withdrawn"
