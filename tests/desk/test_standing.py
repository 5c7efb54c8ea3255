"""Standing instructions: made with a source and a day of review, gone through again, withdrawn with a reason."""

from datetime import date

import pytest

from intake.desk.call_card import call_card
from intake.desk.issue import draw
from intake.desk.standing import CannotStand, always_disinfected, make_standing, still_holds, withdraw_standing
from intake.domain.practice import StandingInstruction
from tests.desk.desks import NOW
from tests.desk.waiting import PRESCRIBER, booked
from tests.documents.reading import text_of

KEY = "QUILLB2"
TWO = StandingInstruction(
    requirement="thickness", types=("occlusal-splint-hard",), says="2 mm unless stated", since=NOW.date(), source="Dr X"
)


def standing(desk):
    return desk.store.read.practice(KEY).practice.standing


def open_about(desk):
    return {query.requirement for query in desk.store.read.practice_queries(KEY)}


def test_a_standing_instruction_settles_what_is_open_and_is_printed_on_the_ticket(desk):
    made = booked(desk, "02")
    told = make_standing(desk, KEY, TWO)
    assert told.said.startswith(
        "Standing for Quillbury Street Surgery: 2 mm unless stated. To go through again on Thu 25"
    )
    assert "thickness" not in open_about(desk)
    ticket = draw(desk, desk.store.read.document(made.tickets[0]))
    assert "Standing: 2 mm unless stated" in " ".join(text_of(ticket))


def test_one_that_is_withdrawn_settles_nothing_more_and_is_kept_with_its_reason(desk):
    booked(desk, "02")
    make_standing(desk, KEY, TWO)
    withdraw_standing(desk, KEY, 0, "they ask for each case now")
    (kept,) = standing(desk)
    assert (kept.withdrawn, kept.why_withdrawn) == (NOW.date(), "they ask for each case now")
    assert "thickness" in open_about(desk)
    assert call_card(desk, KEY).standing == ()
    with pytest.raises(CannotStand, match="withdrawn already"):
        withdraw_standing(desk, KEY, 0, "again")


def test_none_is_withdrawn_without_a_reason(desk):
    make_standing(desk, KEY, TWO)
    with pytest.raises(CannotStand, match="Say why"):
        withdraw_standing(desk, KEY, 0, " ")


def test_one_whose_day_of_review_has_come_is_shown_and_can_hold_on(desk):
    booked(desk, "02")
    make_standing(desk, KEY, TWO.model_copy(update={"review": date(2026, 11, 24)}))
    assert call_card(desk, KEY).standing[0].overdue
    still_holds(desk, KEY, 0)
    (line,) = call_card(desk, KEY).standing
    assert not line.overdue
    assert line.review == "to go through again on Thu 25 Nov 2027"


def test_the_statement_that_all_is_disinfected_is_one_of_them(desk):
    always_disinfected(desk, KEY, PRESCRIBER)
    (kept,) = standing(desk)
    assert kept.requirement == "hygiene-status"
    assert kept.source == "Dr R. Ashdown, the prescriber, by telephone"


def test_a_practice_that_is_not_in_the_directory_has_none(desk):
    booked(desk, "65")
    key = next(row.key for row in desk.store.read.ring_rows())
    with pytest.raises(CannotStand, match="Enter it there first"):
        make_standing(desk, key, TWO)
