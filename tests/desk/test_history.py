"""The history of a case, as it is read aloud."""

import re
from datetime import datetime
from pathlib import Path

import pytest

from intake.desk.book_in import amend, book
from intake.desk.field_words import field_words, value_words
from intake.desk.history import _SENTENCES, MORE, sentence, told
from intake.desk.issue import issue_all
from intake.desk.letters import write_due
from intake.desk.reprint import reprint
from intake.desk.withdraw import take_up_again, withdraw
from intake.domain.job_number import read_number
from intake.store.rows import EventRow
from intake.store.words import (
    ARRIVAL_STATES,
    CALL_OUTCOMES,
    DOCUMENT_KINDS,
    DOCUMENT_STATES,
    REPLY_KINDS,
    REPLY_STATES,
)
from tests.desk.desks import day_case

STORE = Path(__file__).resolve().parents[2] / "intake" / "store"


def kinds_written():
    """Every kind of event that the store's code records: the literal ones, and those made of a state."""
    source = "\n".join(file.read_text(encoding="utf-8") for file in STORE.glob("*.py"))
    subjects = "case|ticket|letter|blank|practice|arrival|query|answer|reply"
    literal = set(re.findall(rf'"((?:{subjects})-[a-z-]+)"', source)) - {"case-", "arrival-", "practice-", "reply-form"}
    made = {f"{kind}-{state}" for kind in DOCUMENT_KINDS for state in set(DOCUMENT_STATES) - {"waiting", "cancelled"}}
    made |= {f"arrival-{state}" for state in ARRIVAL_STATES} | {f"reply-{state}" for state in REPLY_STATES}
    return literal | made | {"letter-cancelled"}


def history(desk, case_id):
    return [said.what for said in told(desk.store.read.history(case_id), several=False)]


def with_thickness(case, millimetres):
    options = case.appliances[0].options.model_copy(update={"thickness_mm": millimetres})
    return case.model_copy(update={"appliances": (case.appliances[0].model_copy(update={"options": options}),)})


def test_every_kind_of_event_that_the_store_writes_has_a_sentence():
    assert kinds_written() <= set(_SENTENCES) | set(MORE)


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
        "Query letter 2 accepted by files as job 2.",
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
        ("waived[0].requirement", "what is waived of waiver 1"),
        ("standing[0].source", "who said it of standing instruction 1"),
        ("standing[1].review", "day to go through it again of standing instruction 2"),
        ("hours[0].weekdays", "days of opening hours 1"),
        ("zone", "time zone"),
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
        ("hours[0].weekdays", [0, 4], "Monday and Friday"),
        ("hours[0].open", ["09:00-13:00", "14:00-17:00"], "09:00-13:00 and 14:00-17:00"),
    ],
)
def test_a_value_is_told_as_it_is_read_aloud(path, value, words):
    assert value_words(path, value) == words


def event(kind, details=None, personal=None, job=None):
    """An event of a case, as the store gives it."""
    at = datetime(2026, 11, 25, 14, 5)
    return EventRow(7, at, "AB", kind, 1, job, "MILL", None, details or {}, personal)


SAID = {"query": "thickness[0]", "by": "Ms Osterby", "authority": "on-behalf", "route": "telephone"}
RUNG = {"telephone": "01632 960123"}
MAIL = {"document": 12, "way": "mail", "address": "desk@mill.example.com"}


@pytest.mark.parametrize(
    ("event", "words"),
    [
        (
            event("practice-rung", RUNG | {"outcome": "no-answer"}),
            "The practice was rung on 01632 960123: nobody answered.",
        ),
        (
            event("practice-rung", RUNG | {"outcome": "ring-back", "ring_back": "2026-11-26T09:00:00"}),
            "The practice was rung on 01632 960123: it is to be rung back on Thu 26 Nov 2026, 09:00.",
        ),
        (
            event("practice-rung", {"outcome": "spoke", "telephone": ""}, {"note": "ask for Kim."}),
            "The practice was rung: spoken to. Noted: ask for Kim.",
        ),
        (
            event("query-answered", SAID | {"counts": True, "spoken": True}, {"says": "1.5 mm"}),
            "Thickness: 1.5 mm, said Ms Osterby, for the prescriber, by telephone. To be confirmed in writing.",
        ),
        (
            event("query-answered", SAID | {"authority": "team", "counts": False}, {"says": "1.5 mm"}),
            "Thickness: 1.5 mm, said Ms Osterby, of the practice’s team, by telephone. "
            "Kept as a note; the question stays open.",
        ),
        (
            event("query-answered", SAID | {"counts": True, "query": "bite-record"}, {"says": "in tonight’s post"}),
            "Bite record: in tonight’s post, said Ms Osterby, for the prescriber, by telephone.",
        ),
        (
            event("query-answered", SAID | {"counts": True}),
            "Thickness: answered, said Ms Osterby, for the prescriber, by telephone.",
        ),
        (
            event("answer-taken-back", {"query": "thickness[0]", "reopened": True}, {"says": "1.5 mm"}),
            "Answer taken back. Thickness: 1.5 mm. It is asked again.",
        ),
        (
            event("answer-confirmed", {"query": "thickness[0]", "how": "by letter"}, {"says": "1.5 mm"}),
            "Confirmed in writing, by letter. Thickness: 1.5 mm.",
        ),
        (event("letter-added", {"document": 12, "queries": [1]}), "Asked in query letter 12."),
        (event("letter-added", MAIL | {"queries": [1]}), "Asked in query letter 12, by e-mail."),
        (
            event("letter-added", {"document": 14, "queries": [1], "reminder": 2, "answers": [3]}),
            "Asked again in query letter 14, reminder 2. It also asks to confirm what was agreed.",
        ),
        (
            event("letter-added", MAIL | {"queries": [], "answers": [3]}),
            "Asked to confirm what was agreed, in query letter 12, by e-mail.",
        ),
        (event("letter-sent", MAIL), "Query letter 12 sent by e-mail to desk@mill.example.com."),
        (
            event("letter-failed", MAIL | {"problem": "The mail server does not answer."}),
            "Query letter 12 not sent: The mail server does not answer.",
        ),
        (event("letter-failed", {"document": 12, "problem": "No paper."}), "Query letter 12 not printed: No paper."),
        (event("letter-done", {"document": 12}), "Query letter 12 printed."),
        (event("letter-cancelled", {"document": 12}), "Query letter 12 was not sent and is cancelled."),
        (event("blank-added", {"document": 9, "way": "mail"}), "Blank prescription form 9 asked for, by e-mail."),
        (event("blank-done", {"document": 9}), "Blank prescription form 9 printed."),
        (
            event("reply-added", {"reply": 1, "letter": 12, "kind": "form"}),
            "The reply form of query letter 12 came back filled in.",
        ),
        (
            event("reply-added", {"kind": "altered"}, {"problem": "a question was changed"}),
            "The reply form came back altered, so nothing was taken from it. A question was changed.",
        ),
        (event("reply-taken", {"letter": 12}), "The answers of the returned form were taken."),
        (
            event("case-amended", {"queries": {"answered": ["thickness[0]"]}}),
            "Judged anew. Answered: thickness.",
        ),
        (
            event("case-amended", {"changes": {"spoken[0].says": [None, "2 mm"], "spoken[0].by": [None, "Dr X"]}}),
            "Judged anew.",
        ),
    ],
)
def test_what_waits_on_the_practice_is_told_in_sentences(event, words):
    assert sentence(event, several=False) == words


@pytest.mark.parametrize("outcome", CALL_OUTCOMES)
def test_every_outcome_of_a_call_has_words(outcome):
    assert not sentence(event("practice-rung", {"outcome": outcome})).endswith(": .")


@pytest.mark.parametrize("kind", REPLY_KINDS)
def test_every_kind_of_returned_form_has_words_of_its_own(kind):
    told = [sentence(event("reply-added", {"kind": each})) for each in REPLY_KINDS]
    assert told.count(sentence(event("reply-added", {"kind": kind}))) == 1
