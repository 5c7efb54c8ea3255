"""A setup put in force counts the dates of the open jobs anew, tells from what to what, and can be stopped."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from io import BytesIO

import pytest
from pypdf import PdfReader

from intake.desk import recounting
from intake.desk.book_in import amend, book
from intake.desk.history import told
from intake.desk.issue import issue, issue_all
from intake.desk.look_up import card
from intake.desk.recount_words import changes_of, recounted_words
from intake.desk.recounting import is_due, recount, tickets_anew, would_change
from intake.domain.delivery_services import Service
from intake.domain.job_number import read_number
from intake.domain.lab import Closure
from intake.store.chain import Head
from tests.desk.desks import NOW, day_case, demo_lab
from tests.desk.labs import lab_with
from tests.desk.test_hand_over import whole_route

TENTH = datetime(2026, 12, 10, 9, 30)


def lab_shut(first, last):
    """The demo's lab, shut on some more days."""
    calendar = demo_lab().calendar
    closures = (*calendar.closures, Closure(first=first, last=last, name="moving house"))
    return lab_with(demo_lab(), calendar=calendar.model_copy(update={"closures": closures}))


def moving_house():
    return lab_shut(date(2026, 12, 7), date(2026, 12, 8))


def booked(desk, count=1, **said):
    """The first jobs of some cases that are clear."""
    case = day_case("36").model_copy(update={"appointment": TENTH} | said)
    return [book(desk, case, f"form-{n}").jobs[0] for n in range(count)]


def with_lab(desk, lab, edition=2):
    return replace(desk, lab=lab, edition=edition)


def dates(desk, job):
    return desk.store.read.job(job.number).deadlines


def test_what_would_change_is_shown_before_and_nothing_is_written(desk):
    (job,) = booked(desk)
    before, head = dates(desk, job), desk.store.verify_chain()
    shown = would_change(desk, moving_house())
    (moved,) = shown.changed
    assert (moved.job.number, shown.kept) == (job.number, False)
    assert moved.dates.must_leave < before.must_leave
    assert recounted_words(shown) == "1 job would get other dates."
    assert (dates(desk, job), desk.store.verify_chain()) == (before, head)
    assert recounted_words(would_change(desk, desk.lab)) == "No date of 1 open job would change."


def test_an_open_job_gets_its_new_dates_and_its_history_says_from_what_to_what(desk):
    (job,) = booked(desk)
    before = dates(desk, job)
    changed = with_lab(desk, moving_house())
    done = recount(changed)
    after = dates(desk, job)
    row = desk.store.read.job(job.number)
    assert done.changed[0].dates == after != before
    assert (row.must_leave, row.latest_start, row.outlook) == (after.must_leave, after.latest_start, after.outlook)
    assert recounted_words(done) == "1 job has other dates."
    said = told(desk.store.read.history(row.case_id), several=False)[-1].what
    shown = read_number(job.number).shown
    assert said.startswith(f"Dates of {shown} counted anew by edition 2 of the lab setup: must leave Fri 4 Dec 2026")
    assert "instead of Tue 8 Dec 2026" in said
    assert said.endswith(f"{changes_of(done.changed[0])}.")
    assert isinstance(desk.store.verify_chain(), Head)
    assert not recount(changed).changed, "what is right is left alone"
    assert "Fri 4 Dec" in " ".join(line for fact in card(changed, job.number).facts for line in fact.lines)


def test_a_job_that_became_late_stands_first_and_is_counted(desk):
    booked(desk, 2)
    soon = book(desk, day_case("36").model_copy(update={"appointment": datetime(2026, 12, 4, 9)}), "soon").jobs[0]
    assert dates(desk, soon).outlook != "late"
    done = recount(with_lab(desk, lab_shut(date(2026, 11, 30), date(2026, 12, 2))))
    assert [each.job.number for each in done.late] == [done.changed[0].job.number] == [soon.number]
    assert done.changed[0].dates.earliest_appointment is not None
    assert recounted_words(done) == "3 jobs have other dates. 1 job has become late."


def test_finished_and_withdrawn_jobs_and_those_without_an_appointment_are_left_alone(desk):
    (finished,) = booked(desk)
    issue_all(desk, (finished.document_id,))
    whole_route(desk, finished)
    undated = book(desk, day_case("36").model_copy(update={"appointment": None}), "undated")
    withdrawn = book(desk, day_case("36"), "withdrawn")
    with desk.work() as work:
        work.cases.withdraw(withdrawn.case_id, withdrawn.version, "cancelled")
        work.commit()
    assert desk.store.read.job(undated.jobs[0].number).state in ("held", "clear")
    assert recounted_words(recount(with_lab(desk, moving_house()))) == "There is no open job with an appointment."


def test_a_year_that_is_not_known_keeps_the_dates_and_is_said(desk):
    (job,) = booked(desk, appointment=datetime(2027, 1, 20, 9))
    before = dates(desk, job)
    calendar = demo_lab().calendar.model_copy(update={"country": "LK", "subdivision": None})
    done = recount(with_lab(desk, lab_with(demo_lab(), calendar=calendar)))
    (left,) = done.not_counted
    assert "Sri Lanka" in left.why
    assert "not for 2027" in left.why
    assert dates(desk, job) == before
    assert recounted_words(done).endswith("1 job keeps the old dates: new ones cannot be counted.")


def test_a_case_booked_in_a_year_that_is_not_known_says_so_on_the_card_and_on_the_ticket(desk):
    calendar = demo_lab().calendar.model_copy(update={"country": "LK", "subdivision": None})
    abroad = with_lab(desk, lab_with(demo_lab(), calendar=calendar))
    (job,) = booked(abroad, appointment=datetime(2027, 1, 20, 9))
    shown = card(abroad, job.number)
    assert "could not be counted. Sri Lanka: bank holidays are known from 2003 to 2026, not for 2027." in shown.sentence
    assert "No appointment" not in shown.sentence
    assert issue(abroad, job.document_id).sent
    words = " ".join(PdfReader(BytesIO(desk.store.read.pdf(job.document_id))).pages[0].extract_text().split())
    assert "No date yet" in words
    assert "not for 2027" in words


def test_stopped_it_leaves_whole_jobs_and_goes_on_where_it_is_begun_again(desk, monkeypatch):
    monkeypatch.setattr(recounting, "AT_ONCE", 2)
    jobs = booked(desk, 5)
    changed, seen = with_lab(desk, moving_house()), []
    assert is_due(changed)
    stopped = recount(changed, progress=lambda done, of: seen.append((done, of)), stop=lambda: len(seen) == 2)
    assert (stopped.stopped, stopped.looked_at, len(stopped.changed), seen) == (True, 4, 4, [(2, 5), (4, 5)])
    assert recounted_words(stopped).startswith("Stopped when 4 of 5 open jobs were looked at. 4 jobs have other")
    assert is_due(changed), "what is not counted is not forgotten"
    assert len({dates(desk, job).must_leave for job in jobs}) == 2
    assert len(recount(changed).changed) == 1
    assert len({dates(desk, job).must_leave for job in jobs}) == 1
    assert not is_due(changed)
    assert is_due(replace(changed, edition=3))
    assert not is_due(replace(changed, edition=None))


def test_a_job_that_another_desk_changes_meanwhile_is_looked_at_again(desk, monkeypatch):
    (job,) = booked(desk)
    case = desk.store.read.case_of_job(job.number)
    keep, later = recounting._keep, TENTH + timedelta(days=7)

    def meanwhile(at, found):
        fresh = desk.store.read.case_of_job(job.number)
        if fresh.version == case.version:
            amend(desk, case.case_id, case.version, case.case.model_copy(update={"appointment": later}))
        return keep(at, found)

    monkeypatch.setattr(recounting, "_keep", meanwhile)
    done = recount(with_lab(desk, lab_shut(date(2026, 12, 7), date(2026, 12, 14))))
    assert dates(desk, job).appointment == later.date()
    assert [each.dates for each in done.changed] == [dates(desk, job)]
    assert not done.not_counted


def test_tickets_that_are_out_with_the_old_dates_get_their_next_copy(desk):
    out, waiting = booked(desk, 2)
    issue_all(desk, (out.document_id,))
    changed = with_lab(desk, moving_house())
    done = recount(changed)
    assert {each.job.number: each.on_paper for each in done.changed} == {out.number: True, waiting.number: False}
    (document,) = tickets_anew(changed, done)
    assert [(copy.copy, copy.reason) for copy in desk.store.read.documents_of(out.number)][1] == (
        2,
        "dates counted anew",
    )
    assert issue(changed, document).sent
    assert tickets_anew(changed, would_change(changed, changed.lab)) == ()


def test_a_practice_that_gets_a_service_has_its_jobs_counted_anew_and_no_other(desk):
    (mine,) = booked(desk)
    service = Service(name="Island post", weekdays=(1,))
    lab = lab_with(demo_lab(), deadlines=demo_lab().deadlines.model_copy(update={"services": (service,)}))
    code = desk.store.read.case_of_job(mine.number).practice_code
    row = desk.store.read.practice(code)
    with desk.work() as work:
        work.practices.save(row.practice.model_copy(update={"service": "Island post"}), row.version)
        work.commit()
    changed = with_lab(desk, lab)
    assert not recount(changed, practice="NOBODY").changed
    assert is_due(changed), "the others were not looked at"
    done = recount(changed, practice=code)
    assert dates(desk, mine).with_practice.weekday() == 1
    assert len(done.changed) == 1


@pytest.mark.parametrize("hour", [9, 23])
def test_a_day_that_goes_by_changes_no_date(desk, hour):
    booked(desk)
    later = replace(desk, now=lambda: NOW + timedelta(days=3, hours=hour))
    assert recounted_words(recount(later)) == "No date of 1 open job has changed."
