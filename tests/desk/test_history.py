"""The history of a case, as it is read aloud."""

import re
from pathlib import Path

import pytest

from intake.desk.book_in import amend, book
from intake.desk.field_words import field_words, value_words
from intake.desk.history import _SENTENCES, sentence, told
from intake.desk.issue import issue_all
from intake.desk.letters import write_due
from intake.desk.reprint import reprint
from intake.desk.withdraw import take_up_again, withdraw
from intake.domain.job_number import read_number
from intake.store.words import ARRIVAL_STATES, DOCUMENT_KINDS, DOCUMENT_STATES
from tests.desk.desks import day_case

STORE = Path(__file__).resolve().parents[2] / "intake" / "store"


def kinds_written():
    """Every kind of event that the store's code records: the literal ones, and those made of a state."""
    source = "\n".join(file.read_text(encoding="utf-8") for file in STORE.glob("*.py"))
    literal = set(re.findall(r'"((?:case|ticket|letter|practice|arrival)-[a-z-]+)"', source)) - {"case-", "arrival-"}
    made = {f"{kind}-{state}" for kind in DOCUMENT_KINDS for state in set(DOCUMENT_STATES) - {"waiting", "cancelled"}}
    return literal | made | {f"arrival-{state}" for state in ARRIVAL_STATES}


def history(desk, case_id):
    return [said.what for said in told(desk.store.read.history(case_id), several=False)]


def with_thickness(case, millimetres):
    options = case.appliances[0].options.model_copy(update={"thickness_mm": millimetres})
    return case.model_copy(update={"appliances": (case.appliances[0].model_copy(update={"options": options}),)})


def test_every_kind_of_event_that_the_store_writes_has_a_sentence():
    assert kinds_written() <= set(_SENTENCES)


def test_a_day_of_a_case_reads_as_sentences(desk):
    booked = book(desk, day_case("02"), "form")
    number = read_number(booked.jobs[0].number)
    issue_all(desk, booked.tickets)
    write_due(desk)
    amended = amend(desk, booked.case_id, booked.version, with_thickness(day_case("02"), 2.0))
    reprint(desk, number, "lost in the post room")
    version = withdraw(desk, booked.case_id, amended.version, "cancelled by the practice")
    take_up_again(desk, booked.case_id, version, "not cancelled after all")
    shown = number.shown
    assert history(desk, booked.case_id) == [
        f"Booked in. Job {shown}, Splints, held. To ask: bite record, bite opening and thickness.",
        f"Ticket {shown} drawn.",
        f"Ticket {shown} accepted by files as job 1.",
        "Asked in query letter 2.",
        "Prescription changed: thickness 2 mm. No longer to ask: thickness.",
        f"Copy 2 of ticket {shown} asked for: prescription changed.",
        f"Copy 3 of ticket {shown} asked for: lost in the post room.",
        f"Ticket {shown}, copy 3, drawn.",
        f"Ticket {shown}, copy 3, accepted by files as job 3.",
        f"Withdrawn: cancelled by the practice. Job {shown}.",
        f"Taken up again: not cancelled after all. Job {shown}.",
    ]


def test_of_several_appliances_the_history_says_which(desk):
    booked = book(desk, day_case("64"), "form")
    told_of_two = told(desk.store.read.history(booked.case_id))[0].what
    assert "of appliance" in told_of_two or "To ask" not in told_of_two


def test_a_change_of_state_is_told_with_what_it_was(desk):
    booked = book(desk, day_case("02"), "form")
    case = day_case("02").model_copy(update={"items": day_case("36").items})
    amend(desk, booked.case_id, booked.version, case)
    assert f"Job {booked.jobs[0].shown} is clear, was held." in history(desk, booked.case_id)[-1]


def test_what_was_erased_by_law_is_not_told(desk):
    booked = book(desk, day_case("02"), "form")
    withdraw(desk, booked.case_id, booked.version, "the patient asked")
    event = desk.store.read.history(booked.case_id)[-1]
    erased = type(event)(**{**vars(event), "personal": None})
    assert sentence(erased).startswith("Withdrawn. Job")


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("appliances[0].options.thickness_mm", "thickness of appliance 1"),
        ("appliances[1].type", "kind of appliance 2"),
        ("items[2].taken", "day of taking of item 3"),
        ("patient.label", "patient’s label"),
        ("appointment", "appointment date"),
    ],
)
def test_a_field_is_named_as_a_person_calls_it(path, words):
    assert field_words(path) == words


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("appointment", "2026-12-10T09:30:00", "Thu 10 Dec 2026, 09:30"),
        ("appointment", "2026-12-10", "Thu 10 Dec 2026"),
        ("appliances[0].teeth", ["13", "12", "11"], "13–11"),
        ("appliances[0].options.thickness_mm", 1.5, "1.5 mm"),
        ("patient.under_18", True, "yes"),
        ("patient.allergies", ["nickel", "latex"], "nickel and latex"),
        ("appliances[0].options.shade", None, "nothing"),
        ("appliances[0].options.shade", "A2", "“A2”"),
    ],
)
def test_a_value_is_told_as_it_is_read_aloud(path, value, words):
    assert value_words(path, value) == words
