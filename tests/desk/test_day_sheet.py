"""The day sheet: its numbers are those of the events, and what has to leave says where it is and why."""

import shutil
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from intake.desk.book_in import book
from intake.desk.day_sheet import day_sheet, day_sheet_pdf, next_working_day, print_day_sheet
from intake.desk.day_sheet_words import bars, day_sheet_words, figures, open_words
from intake.desk.hand_over import hand_over
from intake.desk.hygiene import disinfect
from intake.desk.issue import issue, issue_all
from intake.desk.letters import write_to
from intake.desk.split import split_off
from intake.store.opening import Store
from tests.desk.desks import NOW, day_case, demo_lab, enter_practices, printed
from tests.desk.evenings import MORNING, a_day, clocked_desk, counts_agree, first_bench, scan
from tests.desk.opened import CASE, parcel
from tests.documents.reading import text_of

TODAY = NOW.date()


@pytest.fixture(scope="module")
def worked(empty_file, tmp_path_factory):
    """A desk at the end of a day of sixty cases; the tests only look at it."""
    folder = tmp_path_factory.mktemp("worked")
    store = Store.open(shutil.copy(empty_file, folder / "intake.sqlite"))
    enter_practices(store)
    desk, clock = clocked_desk(store, folder)
    a_day(desk, clock)
    clock.at = datetime(2026, 11, 25, 17, 30)
    yield desk
    store.close()


def test_the_numbers_of_a_whole_day_are_those_that_the_events_give(worked):
    counts = counts_agree(worked)
    whole, standing = counts.whole, counts.standing
    assert whole.booked >= 58
    assert whole.handed_over > 5
    assert whole.jobs == whole.clear + whole.held + whole.gone
    assert standing.arrivals
    assert standing.parcels == 1
    assert standing.tickets
    assert counts.hours[8].booked
    assert {name for name, share in counts.streams if share.booked} == {"post", "scan"}
    for day in (TODAY - timedelta(days=1), TODAY + timedelta(days=1)):
        counts_agree(worked, day)


def test_the_sheet_lists_what_is_open_in_the_same_numbers(worked):
    sheet = day_sheet(worked)
    assert sheet.is_today
    assert len(sheet.parcels) == sheet.counts.standing.parcels
    assert len(sheet.tickets) == sheet.counts.standing.tickets
    assert sheet.queries == len(worked.store.read.open_queries())
    assert sum(line.share.jobs for line in sheet.categories) == sheet.counts.whole.jobs
    colours = {category.name: category.box.hex for category in demo_lab().categories}
    assert all(line.hex == colours[line.name] for line in sheet.categories)


def test_the_words_of_the_sheet_say_its_numbers(worked):
    sheet = day_sheet(worked)
    words = day_sheet_words(sheet, worked.lab.name, "AB")
    whole, standing = sheet.counts.whole, sheet.counts.standing
    numbers = [whole.arrived, whole.booked, whole.clear, whole.held, whole.handed_over]
    assert [int(number) for number, _ in figures(sheet)] == [*numbers, standing.arrivals + standing.parcels]
    assert f"{standing.held} jobs held in all" in open_words(sheet)
    assert sum(bar.arrived for bar in bars(sheet.counts.hours)) == whole.arrived
    assert words.hours[0].hour in (7, 8)
    assert sheet.head.hash in words.head


def test_no_patient_stands_on_the_sheet(worked):
    """Numbers and practices only: the sheet lies about."""
    pages = " ".join(text_of(day_sheet_pdf(worked, TODAY)))
    cases = worked.store.read.cases(range(1, 70))
    labels = {case.case.patient.label for case in cases.values()} - {None}
    longest = {label for label in labels if len(label) > 4}
    assert longest
    assert [label for label in longest if label in pages] == []


def clear_job(desk, name="36", at=None):
    made = book(desk, day_case(name), f"form-{name}")
    issue_all(desk, made.tickets)
    return made


def on_the_day(desk, when):
    return replace(desk, now=lambda: when)


def test_what_must_leave_says_where_it_is_and_why_it_is_not_finished(desk):
    made = clear_job(desk)
    job = desk.store.read.job(made.jobs[0].number)
    leaves = job.must_leave
    today = on_the_day(desk, datetime.combine(leaves, MORNING.time()))
    (line,) = day_sheet(today).leaving[0].lines
    assert (line.shown, line.where, line.why) == (made.jobs[0].shown, "Reception", "clear, not handed over")
    assert (line.colour, line.hex, line.practice) == (job.box_colour, job.box_hex, job.practice_name)
    disinfect(desk, "alcohol wipe", 1, case_id=made.case_id)
    assert hand_over(desk, first_bench(desk, job), scan(job)).yes
    (line,) = day_sheet(today).leaving[0].lines
    assert (line.where, line.state) == (first_bench(desk, job), "gone")
    assert line.why == "not finished, there since Wed 25 Nov 2026, 10:30"


def test_what_must_leave_on_the_next_working_day_stands_under_it_over_a_weekend(desk):
    made = clear_job(desk)
    leaves = desk.store.read.job(made.jobs[0].number).must_leave
    before = leaves - timedelta(days=1)
    while next_working_day(desk, before - timedelta(days=1)) != before:
        before -= timedelta(days=1)  # back to a working day
    days = day_sheet(on_the_day(desk, datetime.combine(before, MORNING.time()))).leaving
    assert [len(day.lines) for day in days] == [0, 1]
    assert days[1].words.startswith("Next working day")


def test_what_should_have_left_stands_first_while_it_is_at_reception(desk):
    made = clear_job(desk)
    leaves = desk.store.read.job(made.jobs[0].number).must_leave
    days = day_sheet(on_the_day(desk, datetime.combine(leaves + timedelta(days=3), MORNING.time()))).leaving
    assert days[0].words == "Should have left before"
    assert [line.shown for line in days[0].lines] == [made.jobs[0].shown]


def test_a_held_job_says_whether_its_practice_was_asked(desk):
    made = book(desk, day_case("02"), "form")
    job = desk.store.read.job(made.jobs[0].number)
    today = on_the_day(desk, datetime.combine(job.must_leave, MORNING.time()))
    assert day_sheet(today).leaving[0].lines[0].why == "held: the practice was not asked yet"
    assert day_sheet(desk).unwritten.questions == 3
    write_to(desk, job.practice_code)
    assert day_sheet(today).leaving[0].lines[0].why == "held: waits for the practice"
    assert (day_sheet(desk).unwritten.questions, day_sheet(desk).unwritten.practices) == (0, 0)


def test_another_day_is_counted_as_it_stands_now(desk):
    made = clear_job(desk)
    sheet = day_sheet(on_the_day(desk, NOW + timedelta(days=1)), TODAY)
    assert not sheet.is_today
    assert sheet.counts.whole.booked == 1
    assert day_sheet(desk, date(2026, 11, 23)).counts.whole.booked == 0
    assert made.jobs


def test_a_day_on_which_nothing_happened_has_a_sheet_too(desk):
    pages = text_of(day_sheet_pdf(desk, TODAY))
    assert len(pages) == 1
    assert "The day is not closed." in pages[0]


def test_the_sheet_is_printed_by_the_queue_for_letters(desk, tmp_path):
    clear_job(desk)
    issued = issue(desk, print_day_sheet(desk, TODAY))
    assert issued.sent
    assert any("Day sheet" in name for name in printed(tmp_path))


def test_a_pdf_that_is_kept_waits_for_no_printer(desk):
    assert day_sheet_pdf(desk, TODAY).startswith(b"%PDF")
    assert desk.store.read.documents_waiting() == ()


def test_a_parcel_that_is_not_finished_stands_on_the_sheet(desk):
    parcel(desk, CASE)
    (line,) = day_sheet(desk).parcels
    pages = " ".join(text_of(day_sheet_pdf(desk, TODAY)))
    assert line.label in pages
    counts_agree(desk)


def test_a_case_that_is_split_off_did_not_arrive_once_more(desk):
    """One bag, two tickets: what is counted as arrived is the bag."""
    booked = (book(desk, day_case(name), f"form-{name}") for name in ("18", "52", "62"))
    made = next(each for each in booked if len(each.jobs) > 1)
    before = counts_agree(desk)
    split_off(desk, made.case_id, made.version, [0], "for another day")
    after = counts_agree(desk)
    assert after.whole.arrived == before.whole.arrived
    assert after.whole.booked == before.whole.booked + 1
