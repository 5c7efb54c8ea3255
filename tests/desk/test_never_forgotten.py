"""Whatever is answered, promised, taken back or written, in any order: nothing held is ever without its question."""

import random
from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.answering import NoLongerAsked, confirm, take_answer, take_back
from intake.desk.book_in import book
from intake.desk.call_card import call_card
from intake.desk.letters import letters_due, write_due
from intake.desk.ring_list import ring_list
from intake.desk.tries import note_try
from intake.domain.answering import read_answer
from intake.store.meanwhile import ChangedMeanwhile
from tests.desk.desks import NOW, day_case
from tests.desk.waiting import NURSE, PRESCRIBER, RECEPTION

CASES = ("02", "05", "09", "24", "29", "40", "47", "61")
WORDS = (
    "post",
    "scan",
    "not needed",
    "usual",
    "2",
    "yes",
    "rings back 15.00",
    "- asked her",
    "upper",
    "always 2",
    "a2",
)


def held_without_question(desk):
    """The held jobs that no open question explains."""
    rows = desk.store.read.open_queries()
    jobs = desk.store.read.jobs_of_cases({row.case_id for row in rows} | set(range(1, len(CASES) + 1)))
    stops = [(row.case_id, row.appliance) for row in rows if row.level == "stops"]
    return [
        job.number
        for of_case in jobs.values()
        for job in of_case
        if job.state == "held"
        and not any(case == job.case_id and (one is None or one in job.appliances) for case, one in stops)
    ]


def answers_so_far(desk):
    return [row for number in range(1, len(CASES) + 1) for row in desk.store.read.answers_of(number)]


def answer_something(desk, chance, taken):
    lines = ring_list(desk)
    card = call_card(desk, chance.choice(lines).key) if lines else None
    if card is None or not card.cases:
        return
    case = chance.choice(card.cases)
    asked = chance.choice(case.questions)
    answer = read_answer(chance.choice(WORDS), asked.finding, case.case, desk.lab, card.practice, desk.now()).answer
    if answer is not None:
        taken.append(take_answer(desk, asked.query_id, answer, chance.choice((NURSE, PRESCRIBER, RECEPTION))))


def act(desk, chance, taken):
    match chance.randrange(8):
        case 0 if taken:
            try:
                take_back(desk, taken.pop())
            except (ChangedMeanwhile, NoLongerAsked):
                return
        case 1 if taken:
            spoken = desk.store.read.spoken()
            if spoken:
                confirm(desk, [chance.choice(spoken).answer_id], "by letter")
        case 2 if ring_list(desk):
            note_try(desk, chance.choice(ring_list(desk)).key, chance.choice(("no-answer", "engaged", "message-left")))
        case 3:
            write_due(desk)
        case _:
            answer_something(desk, chance, taken)


@pytest.mark.parametrize("seed", [1])
def test_no_job_is_held_without_an_open_question_and_no_answer_is_ever_lost(desk, seed):
    chance, taken = random.Random(seed), []
    for number in CASES:
        book(desk, day_case(number), f"form-{number}")
    before = answers_so_far(desk)
    for step in range(25):
        at = NOW + timedelta(hours=3 * step)
        act(replace(desk, now=lambda at=at: at), chance, taken)
        assert held_without_question(desk) == []
        now = answers_so_far(desk)
        said = {row.answer_id: (row.answer, row.speaker, row.at) for row in now}
        assert all(said[row.answer_id] == (row.answer, row.speaker, row.at) for row in before)
        before = now
    assert before
    letters = [row for line in ring_list(desk) for row in desk.store.read.letters_to(line.key)]
    for letter in letters:
        asked = [query_id for query_id, _ in desk.store.read.letter_queries(letter.document_id)]
        assert len(asked) == len(set(asked))
    days = [
        (row.practice_code, row.created.date()) for row in letters if desk.store.read.letter_queries(row.document_id)
    ]
    assert len(days) == len(set(days))
    assert all(len({q.query_id for q in due.queries}) == len(due.queries) for due in letters_due(desk))
