"""What stands on a ticket, in words."""

from intake.desk.book_in import book
from intake.desk.ticket_words import ticket_words
from intake.domain.half_typed import new_token
from tests.desk.desks import day_case


def ticket(desk, case):
    made = book(desk, case, new_token())
    job, row = desk.store.read.job(made.jobs[0].number), desk.store.read.case(made.case_id)
    return ticket_words(job, row, (), desk.judge(row.case), None, desk.lab, 1, "")


def test_teeth_are_drawn_where_the_setup_says_that_they_matter_and_written_everywhere(desk):
    retainer, splint = day_case("49"), day_case("36")
    assert ticket(desk, retainer).teeth == retainer.appliances[0].teeth
    named = splint.appliances[0].model_copy(update={"teeth": ("16", "26")})
    shown = ticket(desk, splint.model_copy(update={"appliances": (named,)}))
    assert (shown.teeth, shown.appliances[0].teeth) == ((), "16, 26")


def test_what_several_appliances_wait_for_stands_once(desk):
    splint = day_case("02").appliances[0]
    thicker = splint.model_copy(update={"options": splint.options.model_copy(update={"thickness_mm": 5.0})})
    case = day_case("02").model_copy(update={"appliances": (splint, thicker), "items": ()})
    missing = ticket(desk, case).missing
    assert "Please send an impression, model or scan of the upper arch." in missing
    assert len(missing) == len(set(missing))
