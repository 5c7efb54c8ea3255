"""What stands on a ticket, in words."""

from intake.desk.book_in import book
from intake.desk.ticket_words import ticket_words
from intake.domain.case import Spoken
from intake.domain.half_typed import new_token
from intake.domain.written_dates import short_day
from tests.desk.desks import NOW, day_case


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


def said_only(index):
    return Spoken(requirement="thickness", appliance=index, says="2 mm", by="Dr L. Marsh", on=NOW.date())


def test_what_was_only_said_stands_on_the_ticket_until_it_is_confirmed(desk):
    case = day_case("36")
    said = case.model_copy(update={"spoken": (said_only(0),)})
    told = f"Thickness: 2 mm, by word of mouth from Dr L. Marsh, {short_day(NOW)}, not confirmed in writing."
    assert told in ticket(desk, said).cautions
    assert not any("word of mouth" in each for each in ticket(desk, case).cautions)


def test_of_several_appliances_the_one_that_was_spoken_of_is_named_on_its_own_ticket(desk):
    case = day_case("64")  # a splint and a retainer, in two boxes
    row = book(desk, case.model_copy(update={"spoken": (said_only(0), said_only(1))}), new_token())
    first, second = (desk.store.read.job(job.number) for job in row.jobs)
    shown = desk.store.read.case(row.case_id)
    verdict = desk.judge(shown.case)
    cautions = [ticket_words(job, shown, (), verdict, None, desk.lab, 1, "").cautions for job in (first, second)]
    told = [[each for each in some if "word of mouth" in each] for some in cautions]
    assert [len(each) for each in told] == [1, 1]
    assert told[0][0].startswith("Upper hard occlusal splint, thickness: 2 mm")
    assert told[1][0].startswith("Lower vacuum-formed retainer, thickness: 2 mm")


def test_what_was_said_of_the_case_as_a_whole_stands_on_each_of_its_tickets(desk):
    case = day_case("64")
    row = book(desk, case.model_copy(update={"spoken": (said_only(None),)}), new_token())
    shown = desk.store.read.case(row.case_id)
    for job in row.jobs:
        made = ticket_words(desk.store.read.job(job.number), shown, (), desk.judge(shown.case), None, desk.lab, 1, "")
        assert sum("word of mouth" in each for each in made.cautions) == 1
