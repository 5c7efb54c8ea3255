"""Have you got it, and when will we have it back?"""

from dataclasses import replace
from datetime import datetime

import pytest

from intake.desk.book_in import book
from intake.desk.hand_over import hand_over
from intake.desk.issue import issue_all
from intake.desk.look_up import NoSuchJob, card, find, look
from intake.desk.reprint import reprint
from intake.desk.withdraw import withdraw
from intake.domain.job_number import JobNumber, read_barcode, read_number
from intake.domain.scan_codes import ScanCode
from tests.desk.desks import NOW, day_case


def booked(desk, name):
    return book(desk, day_case(name), f"form-{name}")


def scanned(desk, barcode):
    read = read_barcode(barcode)
    return card(desk, read.number.digits, read.copy)


def fact(shown, heading):
    return next((each.lines for each in shown.facts if each.words == heading), ())


@pytest.mark.parametrize(
    "typed",
    ["26 000001 26", "26 0000", "2600000126", "126", "quillbury", "qui lb", "QS 881", "d.w.", "quill 881"],
    ids=[
        "number",
        "half a number",
        "number without spaces",
        "its last digits",
        "practice",
        "two words",
        "reference",
        "patient",
        "both",
    ],
)
def test_a_job_is_found_by_whatever_the_caller_says(desk, typed):
    number = booked(desk, "02").jobs[0].number
    typed = {"26 000001 26": JobNumber(number).shown, "2600000126": number, "126": number[-3:]}.get(typed, typed)
    typed = "quillb str" if typed == "qui lb" else typed
    assert [each.number for each in look(desk, typed).found] == [number]


def test_the_newest_jobs_come_first(desk):
    numbers = [booked(desk, name).jobs[0].number for name in ("01", "02", "12")]
    assert [each.number for each in find(desk, "26")] == numbers[::-1]


def test_a_list_tells_the_late_jobs_from_those_that_will_be_there_in_time(desk):
    in_time, late = day_case("01"), day_case("02").model_copy(update={"appointment": NOW})
    book(desk, in_time, "in time")
    book(desk, late, "late")
    assert [each.late for each in find(desk, "26")] == [True, False]


def test_a_mistyped_number_is_refused_with_its_reason(desk):
    number = booked(desk, "02").jobs[0].number
    wrong = f"{number[:-1]}{(int(number[-1]) + 1) % 10}"
    looked = look(desk, wrong)
    assert looked.found == ()
    assert "one digit is wrong or two are swapped" in looked.said
    assert "not found" not in looked.said.lower()


def test_a_number_that_lacks_a_digit_says_how_many_it_needs(desk):
    assert "a job number has 10 digits" in look(desk, "26 004123 7").said


def test_the_nearest_number_that_a_job_has_is_offered_for_a_mistyped_one(desk):
    numbers = [booked(desk, name).jobs[0].number for name in ("02", "01", "12")]
    number = numbers[1]
    swapped = number[:-2] + number[-1] + number[-2]
    for wrong in (swapped, number[:4] + number[5:], f"{number[:3]}7{number[4:]}", JobNumber(swapped).shown):
        looked = look(desk, wrong)
        assert (looked.found, [each.number for each in looked.near]) == ((), [number])
        assert looked.near[0].near == f"one slip from “{wrong}”"


@pytest.mark.parametrize(
    ("typed", "found", "line"),
    [
        ("held", ["02"], "Held"),
        ("held splints from quillbury", ["02"], "Splints, held, from Quillbury Street Surgery"),
        ("splint today", ["02"], "Splint, arrived Wed 25 Nov 2026"),
        ("clear", ["52"], "Clear or vacuum-formed retainer"),
        ("at reception d.w.", ["02"], "At reception, “d.w.”"),
        ("d.w.", ["02"], ""),
        ("finished", [], ""),
    ],
)
def test_what_was_typed_is_understood_as_it_comes(desk, typed, found, line):
    jobs = {name: {job.number for job in booked(desk, name).jobs} for name in ("02", "52")}
    looked = look(desk, typed)
    wanted = set().union(*(jobs[name] for name in found)) if found else set()
    assert {each.number for each in looked.found} <= wanted
    assert bool(looked.found) is bool(found)
    assert looked.understood == line


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("quilbury", "Quillbury for “quilbury”"),
        ("QS 818", "881 for “818”"),
        ("hedl quillbury", "held for “hedl”"),
        ("splnit 881", "splint for “splnit”"),
        ("24 nov 881", "Wed 25 Nov for “24 nov”"),
    ],
)
def test_a_slip_does_no_harm_and_what_was_read_is_said(desk, typed, near):
    number = booked(desk, "02").jobs[0].number
    looked = look(desk, typed)
    assert (looked.found, looked.said) == ((), "")
    assert [(each.number, each.near) for each in looked.near][:1] == [(number, near)]
    assert looked.understood == "Nothing fits just so. These are near."


def test_a_word_too_many_is_named(desk):
    number = booked(desk, "02").jobs[0].number
    looked = look(desk, "urgently held quillbury")
    assert [each.number for each in looked.near] == [number]
    assert looked.understood == "Nothing fits all of it. Without “urgently”: Held, from Quillbury Street Surgery"


def test_where_no_job_stands_so_that_is_said(desk):
    booked(desk, "02")
    assert look(desk, "late").said == "No job here is so: late now."
    assert look(desk, "withdrawn").said == "No job here is so: withdrawn."


def test_late_is_what_is_late_now_not_what_was_when_it_was_judged(desk):
    number = booked(desk, "02").jobs[0].number
    assert look(desk, "late").found == ()
    after_latest_start = replace(desk, now=lambda: datetime(2026, 12, 7, 9))
    (found,) = look(after_latest_start, "late").found
    assert (found.number, found.late) == (number, True)


def test_a_sound_number_that_no_job_has_says_so(desk):
    shown = JobNumber.make(2026, 4123).shown
    assert look(desk, shown).said.startswith(f"No job here has the number {shown}. The number itself is sound")


def test_a_barcode_typed_by_hand_finds_the_job_and_its_copy(desk):
    number = read_number(booked(desk, "02").jobs[0].number)
    looked = look(desk, number.barcode(1))
    assert ([each.number for each in looked.found], looked.copy) == ([number.digits], 1)


def test_words_that_fit_nothing_say_what_to_type_instead(desk):
    assert look(desk, "zzz").said == "Nothing here fits “zzz”. Type fewer letters, or the patient’s reference."
    assert "fewer letters of each word" in look(desk, "zzz yyy").said


def test_the_answer_for_a_held_job_says_until_when_an_answer_helps(desk):
    shown = card(desk, booked(desk, "02").jobs[0].number)
    assert shown.sentence == (
        "The work for D.W. · QS 881 (Splints) arrived on Wed 25 Nov 2026 and waits for your answer to 3 questions. "
        "If we have it by Thu 3 Dec 2026, 12:00, it is with you by Fri 11 Dec 2026."
    )


def test_the_answer_for_a_clear_job_says_when_it_is_back(desk):
    shown = card(desk, booked(desk, "52").jobs[0].number)
    assert "is clear to be made. It leaves us on Tue 15 Dec 2026 and is with you by Wed 16 Dec 2026." in shown.sentence


def test_once_the_appointment_is_lost_nobody_is_told_that_an_answer_saves_it(desk):
    number = booked(desk, "02").jobs[0].number
    late = replace(desk, now=lambda: datetime(2026, 12, 10, 9))
    sentence = card(late, number).sentence
    assert "The appointment on Mon 14 Dec 2026, 16:00 cannot be held. The earliest that would hold is " in sentence
    assert "If we have it" not in sentence


def test_the_answer_for_a_job_at_a_bench_says_where_it_is_and_when_it_is_back(desk):
    made = booked(desk, "52")
    number = made.jobs[0].number
    issue_all(desk, made.tickets)
    bench = desk.store.read.job(number).deadlines.route[0].bench
    answered = hand_over(desk, bench, ScanCode("ticket", number, 1))
    assert answered.yes, answered
    shown = card(desk, number)
    assert f"has been handed over and is at {bench}. It is with you by Wed 16 Dec 2026." in shown.sentence
    (where,) = next(fact for fact in shown.facts if fact.words == "Where it is").lines
    assert where.startswith(f"At {bench} since Wednesday 25 November, 10:30, handed over by AB; ")
    (found,) = look(desk, f"at {bench}").found
    assert (found.number, found.where) == (number, f"at {bench}")


def test_without_an_appointment_no_day_is_promised(desk):
    case = day_case("52").model_copy(update={"appointment": None})
    assert "we have promised no day" in card(desk, book(desk, case, "form").jobs[0].number).sentence


def test_a_withdrawn_job_is_said_to_be_withdrawn_and_nothing_is_asked(desk):
    made = booked(desk, "02")
    withdraw(desk, made.case_id, made.version, "cancelled by the practice")
    shown = card(desk, made.jobs[0].number)
    assert shown.sentence.endswith("and was withdrawn. Nothing is being made.")
    assert shown.open_queries == ()


def test_the_card_asks_only_what_its_own_job_needs(desk):
    made = booked(desk, "47")
    jobs = {job.category_name: card(desk, job.number) for job in made.jobs}
    assert [query.requirement for query in jobs["Repairs"].open_queries] == ["working-arch"]
    assert jobs["Whitening"].open_queries == ()
    assert len(fact(jobs["Whitening"], "Same case")) == len(made.jobs) - 1


def test_the_card_says_what_could_hurt_someone_first(desk):
    shown = card(desk, booked(desk, "62").jobs[0].number)
    assert shown.facts[0].words == "Cautions"
    assert "methyl methacrylate" in shown.facts[0].lines[0]


def test_the_card_gives_the_dates_with_their_weekdays(desk):
    shown = card(desk, booked(desk, "02").jobs[0].number)
    assert fact(shown, "Must leave")[0] == "Thu 10 Dec 2026, comfortable"
    assert fact(shown, "Benches") == ("Casting by Fri 4 Dec", "Splints by Wed 9 Dec", "Checking by Thu 10 Dec")


def test_a_practice_that_is_not_in_the_directory_is_named_as_such(desk):
    shown = card(desk, booked(desk, "66").jobs[0].number)
    assert fact(shown, "Practice") == ("MRLOW1, not in the directory",)


def test_the_card_says_until_when_to_pour_how_to_keep_it_and_that_the_maker_decides(desk):
    (told,) = fact(card(desk, booked(desk, "25").jobs[0].number), "Pour by")
    assert told.startswith("Pour by ")
    assert "(Extended-storage alginate, 120 hours" in told
    assert told.endswith("Sealed and damp. Where the maker gives another time for the product, that time counts.")


def test_every_copy_of_the_ticket_is_told_with_its_state(desk):
    made = booked(desk, "02")
    issue_all(desk, made.tickets)
    reprint(desk, read_number(made.jobs[0].number), "lost")
    first, second = fact(card(desk, made.jobs[0].number), "Ticket")
    assert first.endswith("AB: accepted by files as job 1")
    assert second == "Copy 2 (lost), Wed 25 Nov 2026, 10:30, AB: accepted by files as job 2"


def test_a_replaced_ticket_that_is_scanned_says_so_by_whom_and_why(desk):
    made = booked(desk, "02")
    issue_all(desk, made.tickets)
    number = read_number(made.jobs[0].number)
    reprint(desk, number, "coffee on it")
    assert scanned(desk, number.barcode(1)).replaced == (
        "This is copy 1 of the ticket; it no longer counts. Copy 2 replaced it on Wed 25 Nov 2026, 10:30, by AB: "
        "coffee on it."
    )
    assert scanned(desk, number.barcode(2)).replaced == ""


def test_a_ticket_with_a_copy_that_was_never_made_is_doubted(desk):
    number = read_number(booked(desk, "02").jobs[0].number)
    said = scanned(desk, number.barcode(3)).replaced
    assert said == "This ticket says copy 3, but only one was made. Look at it closely before you rely on it."


def test_a_scanned_number_that_no_job_has_is_refused(desk):
    with pytest.raises(NoSuchJob, match="No job here has the number"):
        scanned(desk, JobNumber.make(2026, 7).barcode(1))


def test_the_history_of_the_card_begins_with_the_booking(desk):
    shown = card(desk, booked(desk, "02").jobs[0].number)
    assert (shown.history[0].at, shown.history[0].who) == (NOW, "AB")
    assert shown.history[0].what.startswith("Booked in. Job 26 000001 ")
