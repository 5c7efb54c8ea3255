"""A desk with cases that wait on their practices, for the tests of asking and answering."""

from intake.desk.book_in import book
from intake.desk.call_card import call_card
from intake.domain.answer import Speaker
from intake.domain.answering import read_answer
from tests.desk.desks import day_case

NURSE = Speaker(name="Ms Osterby", authority="on-behalf", route="telephone")
PRESCRIBER = Speaker(name="Dr R. Ashdown", authority="prescriber", route="telephone")
RECEPTION = Speaker(name="Jo", authority="team", route="telephone")


def booked(desk, name, **changes):
    """A case of the demo's day, booked in."""
    return book(desk, day_case(name).model_copy(update=changes), f"form-{name}-{len(changes)}")


def question(desk, key, requirement, case_id=None):
    """The first question about a requirement on a practice's card, with its case."""
    card = call_card(desk, key)
    found = [
        (case, asked)
        for case in card.cases
        for asked in case.questions
        if asked.finding.requirement == requirement and case_id in (None, case.case_id)
    ]
    assert found, f"nothing is asked about {requirement}"
    return found[0]


def said(desk, key, requirement, text, case_id=None):
    """The answer that words are to a question, and the question's id."""
    case, asked = question(desk, key, requirement, case_id)
    read = read_answer(text, asked.finding, case.case, desk.lab, call_card(desk, key).practice, desk.now())
    assert read.answer is not None, read.said
    return asked.query_id, read.answer
