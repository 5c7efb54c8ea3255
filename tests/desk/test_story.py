"""The whole story of a held case, in order: what was missing, who was asked and how, who answered, what was printed."""

from dataclasses import replace
from datetime import timedelta

from intake.desk.answering import confirm, take_answer
from intake.desk.issue import issue_all
from intake.desk.letters import write_due
from intake.desk.look_up import card
from intake.desk.tries import note_try
from tests.desk.desks import NOW
from tests.desk.waiting import NURSE, booked, said


def at(desk, hours):
    return replace(desk, now=lambda: NOW + timedelta(hours=hours), person=f"P{hours}")


def test_from_a_held_case_one_sees_its_whole_story_in_order(desk):
    made = booked(desk, "40")
    issue_all(desk, made.tickets)
    key = desk.store.read.case(made.case_id).practice_code
    note_try(at(desk, 1), key, "no-answer")
    write_due(at(desk, 2))
    answered = take_answer(at(desk, 3), *said(desk, key, "thickness", "3"), NURSE)
    issue_all(at(desk, 3), answered.tickets)
    write_due(at(desk, 4))
    confirm(at(desk, 26), answered.answer_ids, "by letter")
    story = [(each.at - NOW, each.who, each.what) for each in card(desk, made.jobs[0].number).history]
    assert [when for when, _, _ in story] == sorted(when for when, _, _ in story)
    told = [f"{who}: {what}" for _, who, what in story]
    steps = (
        ("AB: Booked in.", "To ask: thickness"),
        ("AB: Ticket", "accepted by files as job"),
        ("P1: The practice was rung on", "nobody answered"),
        ("P2: Asked in query letter",),
        ("P2: Query letter", "accepted by"),
        ("P3: Thickness: 3 mm", "Ms Osterby", "for the prescriber", "by telephone"),
        ("P3: Copy 2 of ticket",),
        ("P4:", "letter", "confirm"),
        ("P26: Confirmed in writing, by letter", "Thickness: 3 mm"),
    )
    assert not any("copy 3" in line.casefold() for line in told)  # a confirmation makes no other ticket
    found = -1
    for words in steps:
        found = next((i for i, line in enumerate(told) if i > found and all(word in line for word in words)), -2)
        assert found >= 0, f"{words} is not told in its place:\n" + "\n".join(told)
