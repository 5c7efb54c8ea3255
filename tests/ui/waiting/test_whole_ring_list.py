"""The demo's whole ring list, worked in the window by keyboard alone."""

from datetime import timedelta

import pytest

from intake.resources import demo

TYPED = {"moved to ": "21 dec 9.30", "taken ": "24 nov 15.30"}
"""What is typed behind a usual answer that wants a day."""


@pytest.mark.timeout(240)
def test_the_demos_whole_ring_list_is_worked_by_keyboard_alone(booked, open_person, desk, clock):
    clock.now += timedelta(days=1)  # Thursday, when nearly every practice is open
    booked(*(path.name[:2] for path in sorted(demo("day").glob("*.json"))))
    asked = {row.query_id: row.practice_code for row in desk.store.read.ring_rows()}
    person = open_person(desk)
    rung = []
    while person.place.ring.current is not None and person.place.ring.current.can_ring:
        rung.append(person.place.ring.current.key)
        person.press("Enter").type("Dr L").press("F12", "F12", "Enter")
        before = None
        while person.at == "answer" and (person.place.card.to_say.asking.id, person.text) != before:
            before = person.place.card.to_say.asking.id, person.text
            if person.place.card.to_say.asking.offers:
                person.press("Ctrl+1")
            person.type(TYPED.get(person.text, ""))
            if person.text or not person.place.card.to_say.asking.offers:
                person.press("Enter")
        assert person.at == "list", f"“{person.asked}” takes no answer: {person.news}"
    assert len(rung) == len(set(rung)) >= 12
    left = [query_id for query_id, code in asked.items() if code in rung and not desk.store.read.answers_to(query_id)]
    assert [query.question for query in map(desk.store.read.query, left) if query.state == "open"] == []
