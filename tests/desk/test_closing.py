"""Closing the day: nothing is open without a reason, and it is kept who closed it."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from intake.desk.answering import take_answer
from intake.desk.arrivals import dismiss, take_in
from intake.desk.book_in import book
from intake.desk.closing import NotClosed, close_day, closed_words, keep_reasons, kept_reasons, left_over
from intake.desk.day_sheet import day_sheet
from intake.desk.day_sheet_words import day_sheet_words
from intake.desk.evening import USUAL, Settled, evening
from intake.desk.hand_over import hand_over, send_on
from intake.desk.hand_over import take_in as take_in_at
from intake.desk.history import sentence
from intake.desk.hygiene import disinfect
from intake.desk.incidents import stop
from intake.desk.issue import issue_all
from intake.desk.letters import write_to
from intake.desk.pour_list import mark_poured
from intake.desk.tries import note_try
from tests.desk.desks import NOW, day_case, day_file, enter_practices
from tests.desk.evenings import a_day, clocked_desk, counts_agree, first_bench, history, scan
from tests.desk.opened import CASE, booked, parcel
from tests.desk.waiting import PRESCRIBER, RECEPTION, said

TODAY = NOW.date()


def at(desk, when):
    return replace(desk, now=lambda: when)


def start_of(desk, made):
    """The desk on the evening of the latest start of a case's first job."""
    job = desk.store.read.job(made.jobs[0].number)
    return at(desk, datetime.combine(job.latest_start, NOW.time()))


def kinds(desk):
    return [thing.kind for thing in left_over(desk)]


def reasons(desk, reason="Comes to it tomorrow"):
    return {thing.key: reason for thing in left_over(desk)}


def a_clear_job(desk, name="36"):
    made = book(desk, day_case(name), f"form-{name}")
    issue_all(desk, made.tickets)
    return made


def test_an_empty_day_closes_with_nothing_left_over(desk):
    assert left_over(desk) == ()
    closed = close_day(desk, {})
    assert closed.says == "Wed 25 Nov 2026 was closed by AB at 10:30, with nothing left over."
    assert desk.store.read.closing_of(TODAY).left == ()


def test_what_waits_to_be_booked_in_needs_a_reason(desk):
    take_in(desk, [day_file("36")])
    (thing,) = left_over(desk)
    assert (thing.kind, thing.what, thing.go.place) == ("arrival", "Not booked in", "arrivals")
    assert thing.about.startswith("Arrival 1 from ")
    with pytest.raises(NotClosed, match="1 thing still needs a reason: Arrival 1 from"):
        close_day(desk, {})
    close_day(desk, {thing.key: "Comes to it tomorrow"})
    (left,) = desk.store.read.closing_of(TODAY).left
    assert left == {"what": "arrival", "about": thing.about, "reason": "Comes to it tomorrow"}


def test_a_blank_reason_is_none(desk):
    take_in(desk, [day_file("36")])
    with pytest.raises(NotClosed):
        close_day(desk, dict.fromkeys(reasons(desk), "  "))


def test_what_was_done_meanwhile_needs_its_reason_no_more_and_is_not_kept(desk):
    take_in(desk, [day_file("36")])
    given = reasons(desk)
    dismiss(desk, 1)
    close_day(desk, given)
    assert desk.store.read.closing_of(TODAY).left == ()


def test_the_refusal_names_three_things_and_counts_the_others(desk):
    take_in(desk, [day_file(name) for name in ("01", "02", "36", "52", "66")])
    with pytest.raises(NotClosed, match=r"5 things still need a reason: (Arrival .*){3} and 2 more\."):
        close_day(desk, {})


def test_what_lies_in_a_parcel_is_left_over_with_its_parcel(desk):
    opened = parcel(desk, CASE, CASE)
    (thing,) = left_over(desk)
    assert (thing.kind, thing.go.place, thing.go.about) == ("parcel", "parcels", str(opened.parcel_id))
    for number, arrival_id in enumerate(opened.arrivals):
        booked(desk, arrival_id, **{"patient.reference": str(30_000 + number)})
    assert "parcel" not in kinds(desk)


def test_a_stopped_parcel_and_its_incident_are_both_left_over(desk):
    opened = parcel(desk, CASE)
    stop(desk, opened.parcel_id, "sharps", "a needle in the bag")
    assert kinds(desk) == ["parcel", "incident"]
    assert left_over(desk)[1].go.about == str(opened.parcel_id)


def test_a_practice_is_left_over_once_until_it_is_asked(desk):
    """All its cases stand in one line: one call asks for everything."""
    for name in ("02", "52"):
        issue_all(desk, book(desk, day_case(name), f"form-{name}").tickets)
    before = [thing for thing in left_over(desk) if thing.kind == "question"]
    keys = [thing.go.about for thing in before]
    assert len(set(keys)) == len(keys) >= 1
    write_to(desk, keys[0])
    after = [thing.go.about for thing in left_over(desk) if thing.kind == "question"]
    assert after == keys[1:]
    assert Settled("wait for an answer that was asked for in writing", 1) in evening(desk).settled


def test_a_practice_that_was_rung_today_has_a_reason_by_itself(desk):
    made = book(desk, day_case("02"), "form")
    issue_all(desk, made.tickets)
    (thing,) = [each for each in left_over(desk) if each.kind == "question"]
    later = at(desk, NOW + timedelta(minutes=5))
    note_try(later, thing.go.about, "no-answer")
    assert "question" not in kinds(later)
    assert Settled("wait for a practice that was rung today", 1) in evening(later).settled
    tomorrow = at(desk, NOW + timedelta(days=1))
    assert "question" in kinds(tomorrow)


def test_a_call_before_the_question_came_up_asked_nothing(desk):
    made = book(desk, day_case("02"), "form")
    issue_all(desk, made.tickets)
    (thing,) = [each for each in left_over(desk) if each.kind == "question"]
    note_try(at(desk, NOW - timedelta(minutes=5)), thing.go.about, "spoke")
    assert "question" in kinds(desk)


def test_what_is_promised_has_a_reason_until_its_day_is_over(desk):
    made = book(desk, day_case("02"), "form")
    issue_all(desk, made.tickets)
    key = next(thing.go.about for thing in left_over(desk) if thing.kind == "question")
    take_answer(desk, *said(desk, key, "thickness", "2 mm"), PRESCRIBER)
    take_answer(desk, *said(desk, key, "bite-record", "in tonight's post"), RECEPTION)
    take_answer(desk, *said(desk, key, "bite-opening", "4 mm"), PRESCRIBER)
    assert "question" not in kinds(desk)
    assert Settled("wait for what is promised", 1) in evening(desk).settled
    late = at(desk, NOW + timedelta(days=7))
    (thing,) = [each for each in left_over(late) if each.kind == "question"]
    assert "did not come" in thing.detail


def test_a_clear_job_needs_no_reason_before_it_has_to_start(desk):
    made = a_clear_job(desk)
    assert "job" not in kinds(desk)
    assert Settled("need not start before a later day", 1) in evening(desk).settled
    evening_before = start_of(desk, made)
    assert "job" in kinds(evening_before)


def test_a_job_that_is_handed_over_is_not_left_at_reception(desk):
    made = a_clear_job(desk)
    that_day = start_of(desk, made)
    job = desk.store.read.job(made.jobs[0].number)
    disinfect(desk, "alcohol wipe", 1, case_id=made.case_id)
    assert hand_over(that_day, first_bench(desk, job), scan(job)).yes
    assert "job" not in kinds(that_day)


def test_a_ticket_that_is_not_printed_is_left_over(desk):
    book(desk, day_case("36"), "form")
    (thing,) = [each for each in left_over(desk) if each.kind == "ticket"]
    assert (thing.what, thing.go.place) == ("A ticket that is not printed", "look-up")
    assert thing.detail == "Waits for the printer."


def test_what_is_late_at_a_bench_is_left_over_where_benches_scan(desk):
    made = a_clear_job(desk)
    job = desk.store.read.job(made.jobs[0].number)
    bench = first_bench(desk, job)
    disinfect(desk, "alcohol wipe", 1, case_id=made.case_id)
    hand_over(desk, bench, scan(job))
    on_its_day = at(desk, datetime.combine(job.must_leave, NOW.time()))
    assert "bench" not in kinds(on_its_day)  # no bench of this lab scans: nobody can say what is finished
    take_in_at(on_its_day, bench, scan(job))
    (thing,) = [each for each in left_over(on_its_day) if each.kind == "bench"]
    assert bench in thing.detail
    send_on(on_its_day, bench, scan(job))
    assert "bench" in kinds(on_its_day)


def test_impressions_that_do_not_keep_overnight_are_left_over_until_they_are_poured(desk):
    made = next(
        each
        for each in (book(desk, day_case(name), f"form-{name}") for name in ("01", "02", "18", "36", "52", "62", "66"))
        if desk.store.read.case(each.case_id).pour_by is not None
    )
    pour_by = desk.store.read.case(made.case_id).pour_by
    the_evening = at(desk, pour_by - timedelta(hours=1))
    assert f"pour-{made.case_id}" in [thing.key for thing in left_over(the_evening)]
    mark_poured(the_evening, made.case_id)
    assert f"pour-{made.case_id}" not in [thing.key for thing in left_over(the_evening)]


def test_every_kind_has_three_usual_reasons_that_differ():
    for kind, usual in USUAL.items():
        assert len(set(usual)) == 3, kind
        assert all(len(reason) <= 40 for reason in usual)


def test_a_day_is_closed_again_and_the_newer_closing_counts(desk):
    close_day(desk, {})
    take_in(desk, [day_file("36")])
    later = replace(at(desk, NOW + timedelta(hours=7)), person="CD")
    closed = close_day(later, reasons(later))
    assert closed.says == "Wed 25 Nov 2026 was closed by CD at 17:30, with 1 thing left over."
    assert day_sheet(desk, TODAY).closed.who == "CD"
    told = [sentence(event) for event in history(desk) if event.kind == "day-closed"]
    assert told == [
        "Wed 25 Nov 2026 was closed: 0 cases booked, 0 jobs handed over, nothing left over with a reason.",
        "Wed 25 Nov 2026 was closed again: 0 cases booked, 0 jobs handed over, 1 thing left over with a reason.",
    ]


def test_yesterday_is_closed_in_the_morning_and_says_so(desk):
    morning = at(desk, NOW + timedelta(days=1))
    close_day(morning, {}, TODAY)
    closing = desk.store.read.closing_of(TODAY)
    assert closed_words(closing, morning.now().date()) == (
        "Wed 25 Nov 2026 was closed by AB on Thu 26 Nov 2026, 10:30, with nothing left over."
    )


def test_a_day_that_has_not_come_is_not_closed(desk):
    with pytest.raises(NotClosed, match="Thu 26 Nov 2026 has not come yet"):
        close_day(desk, {}, TODAY + timedelta(days=1))


def test_reasons_that_were_given_are_kept_until_the_day_is_closed(desk):
    keep_reasons(desk, TODAY, {"arrival-1": "Comes to it tomorrow"})
    assert kept_reasons(desk, TODAY) == {"arrival-1": "Comes to it tomorrow"}
    assert kept_reasons(desk, TODAY + timedelta(days=1)) == {}
    assert kept_reasons(replace(desk, name="another desk"), TODAY) == {}
    close_day(desk, {})
    assert kept_reasons(desk, TODAY) == {}


def test_reasons_do_not_get_in_the_way_of_a_half_typed_form(desk):
    keep_reasons(desk, TODAY, {"arrival-1": "Comes to it tomorrow"})
    assert desk.store.read.draft(desk.name) is None


def test_the_closing_keeps_the_counts_of_its_moment_and_where_the_history_ended(desk):
    a_clear_job(desk)
    before = desk.store.read.head()
    close_day(desk, reasons(desk))
    closing = desk.store.read.closing_of(TODAY)
    assert closing.counts["whole"]["booked"] == 1
    assert (closing.events, closing.head) == (before.count, before.hash)
    a_clear_job(desk, "66")
    assert desk.store.read.closing_of(TODAY).counts["whole"]["booked"] == 1


def test_no_patient_stands_in_what_was_left_over(desk):
    """What the closing keeps in the open names practices and numbers; a reason is kept apart in the history."""
    take_in(desk, [day_file("36")])
    patient = day_case("36").patient.label
    close_day(desk, reasons(desk, f"waits for {patient}"))
    event = history(desk)[-1]
    assert patient not in str(event.details)
    assert patient in str(event.personal)


def test_a_whole_day_is_closed_with_nothing_open_without_a_reason(store, tmp_path):
    enter_practices(store)
    desk, clock = clocked_desk(store, tmp_path)
    a_day(desk, clock)
    clock.at = datetime(2026, 11, 25, 17, 40)
    found = evening(desk)
    assert {"parcel", "arrival", "question", "ticket"} <= {thing.kind for thing in found.left}
    given = {thing.key: thing.usual[0] for thing in found.left}
    for silent in (found.left[0], found.left[-1]):
        with pytest.raises(NotClosed, match="1 thing still needs a reason"):
            close_day(desk, {key: reason for key, reason in given.items() if key != silent.key})
    closed = close_day(desk, given)
    assert f"closed by AB at 17:40, with {len(found.left)} things left over" in closed.says
    counts = counts_agree(desk)
    kept = desk.store.read.closing_of(TODAY)
    assert kept.counts["whole"]["handed_over"] == counts.whole.handed_over
    assert len(kept.left) == len(found.left)
    words = day_sheet_words(day_sheet(desk), desk.lab.name, "AB")
    assert words.tables[-1].heading == "Left over when the day was closed"
    assert len(words.tables[-1].rows) == len(found.left)
