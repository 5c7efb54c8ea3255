from dataclasses import replace
from datetime import timedelta

import pytest

from intake.domain.case import Case, NewPractice
from intake.domain.job_number import read_number
from intake.store.meanwhile import ChangedMeanwhile, NotNow, NotThere
from tests.store.samples import NAMES, NOW, a_case, a_finding, a_token, a_verdict, book, save_practices

LATER = NOW + timedelta(minutes=20)
STOPS = a_finding("bite-record", "stops", 0, "Please send a bite record.")
ASKS = a_finding("shade", "asks", 0, "Which shade?")
OF_THE_CASE = a_finding("prescriber", "stops", None, "Who signed it?")
WARNS = a_finding("allergy", "warns", 0)


def amend(store, booked, case, verdict, version=None, who="CD"):
    with store.work(who, LATER) as work:
        amended = work.cases.amend(booked.case_id, version or booked.version, case, verdict, names=NAMES)
        work.commit()
    return amended


def withdraw(store, case_id, version, reason="booked twice"):
    with store.work("CD", LATER) as work:
        new = work.cases.withdraw(case_id, version, reason)
        work.commit()
    return new


def reinstate(store, case_id, version):
    with store.work("CD", LATER) as work:
        new = work.cases.reinstate(case_id, version)
        work.commit()
    return new


def states(store, case_id):
    return {job.category: job.state for job in store.read.jobs_of(case_id)}


def test_a_case_in_two_boxes_has_two_numbers_in_order_and_a_ticket_for_each(store):
    booked = book(store, "splints", "retainers")
    first, second = booked.jobs
    assert [read_number(job.number).running for job in booked.jobs] == [1, 2]
    assert (first.category_name, first.box_colour) == ("Splints", "Blue")
    assert (second.category_name, second.box_colour) == ("Retainers", "Green")
    assert [(document.job, document.copy, document.state) for document in store.read.documents_waiting()] == [
        (first.number, 1, "waiting"),
        (second.number, 1, "waiting"),
    ]
    assert [job.document_id for job in booked.jobs] == [d.document_id for d in store.read.documents_waiting()]


def test_what_was_booked_is_read_back_as_it_was(store):
    save_practices(store)
    case = a_case("splints", "retainers", notes="Fit tight\x00ly — \u03a9")
    booked = book(store, "splints", "retainers", case=case)
    row = store.read.case_of_job(booked.jobs[1].number)
    assert row.case == case
    assert (row.case_id, row.version, row.state, row.practice_code) == (booked.case_id, 1, "open", "MILL")
    assert row.practice_name == "Mill Lane Dental"
    job = store.read.jobs_of(booked.case_id)[1]
    assert (job.appliances, job.deadlines, job.outlook) == ((1,), a_verdict().jobs[0].deadlines, "comfortable")
    assert (job.must_leave.isoformat(), job.reply_by.isoformat()) == ("2026-12-08", "2026-12-01T12:00:00")


def test_findings_that_stop_or_ask_become_queries_and_warnings_do_not(store):
    booked = book(store, findings=[OF_THE_CASE, STOPS, WARNS, ASKS])
    queries = store.read.open_queries()
    assert booked.open_queries == 3
    assert [(q.requirement, q.level, q.question) for q in queries] == [
        ("prescriber", "stops", "Who signed it?"),
        ("bite-record", "stops", "Please send a bite record."),
        ("shade", "asks", "Which shade?"),
    ]
    assert {q.job for q in queries} == {booked.jobs[0].number}
    assert {q.reply_by.isoformat() for q in queries} == {"2026-12-01T12:00:00"}


def test_a_token_booked_twice_is_one_case(store):
    token, results = a_token(), []
    for label in ("J.T.", "K.W."):
        with store.work("AB", NOW) as work:
            verdict = a_verdict(findings=[STOPS])
            results.append(work.cases.book(a_case(label=label), verdict, token=token, names=NAMES))
            work.commit()
    first, second = results
    assert second == replace(first, again=True)
    assert store.read.case(first.case_id).case.patient.label == "J.T."
    assert store.read.case(first.case_id + 1) is None
    assert store.verify_chain().count == 1


def test_a_practice_that_the_directory_does_not_have_is_kept_as_it_was_written(store):
    case = a_case(practice=NewPractice(name="Quay Street", address=("1 Quay St",), postcode="ZZ1 1ZZ"))
    booked = book(store, case=case, findings=[STOPS])
    row = store.read.case(booked.case_id)
    assert (row.practice_code, row.practice_name) == (None, "Quay Street")
    (asked,) = store.read.ring_rows()
    assert (asked.practice_code, asked.key) == (None, "~Quay Street")
    assert store.read.case(booked.case_id).case.practice == case.practice


def test_an_empty_case_can_be_booked(store):
    booked = book(store, case=Case(), findings=[OF_THE_CASE])
    row = store.read.case(booked.case_id)
    assert (row.practice_name, row.arrived, row.case) == ("", NOW, Case())
    assert [asked.key for asked in store.read.ring_rows()] == ["~"]


def test_an_amended_case_keeps_its_number_and_says_what_changed(store):
    booked = book(store, findings=[STOPS])
    amended = amend(store, booked, a_case(shade="A3", notes="as rung"), a_verdict(findings=[ASKS]))
    assert [job.number for job in amended.jobs] == [job.number for job in booked.jobs]
    assert amended.changed == ("appliances[0].options.shade", "notes")
    assert (amended.opened_queries, amended.withdrawn_queries, amended.version) == (1, 1, 2)
    assert states(store, booked.case_id) == {"splints": "clear"}
    event = store.read.history(booked.case_id)[-1]
    assert (event.kind, event.who, event.at) == ("case-amended", "CD", LATER)
    assert event.details["changes"] == {"appliances[0].options.shade": ["A2", "A3"]}
    assert event.personal == {"changes": {"notes": [None, "as rung"]}}
    assert event.details["jobs"] == {booked.jobs[0].number: {"state": ["held", "clear"]}}
    assert event.details["queries"] == {"opened": ["shade[0]"], "withdrawn": ["bite-record[0]"]}


def test_a_query_that_stands_keeps_its_letter_and_takes_new_words(store):
    booked = book(store, findings=[STOPS])
    (query,) = store.read.open_queries()
    with store.work("AB", NOW) as work:
        letter = work.documents.add_letter([query.query_id])
        work.commit()
    reworded = a_finding("bite-record", "stops", 0, "Please send the bite record once more.")
    amend(store, booked, a_case(), a_verdict(findings=[reworded]))
    (same,) = store.read.open_queries()
    assert (same.query_id, same.letter_id, same.question) == (query.query_id, letter, reworded.question)


def test_a_new_category_gets_a_new_number_and_a_vanished_one_is_withdrawn(store):
    booked = book(store, "splints")
    amended = amend(store, booked, a_case("retainers"), a_verdict("retainers"))
    assert amended.withdrawn_jobs == (booked.jobs[0].number,)
    assert [read_number(number).running for number in amended.new_jobs] == [2]
    assert states(store, booked.case_id) == {"splints": "withdrawn", "retainers": "clear"}
    assert [document.job for document in store.read.documents_waiting()] == list(amended.new_jobs)


def test_a_category_that_comes_back_has_its_old_number_and_its_ticket(store):
    booked = book(store, "splints")
    gone = amend(store, booked, a_case("retainers"), a_verdict("retainers"))
    back = amend(store, booked, a_case("splints", "retainers"), a_verdict("splints", "retainers"), gone.version)
    assert back.jobs[0].number == booked.jobs[0].number
    assert (back.new_jobs, back.withdrawn_jobs) == ((), ())
    assert states(store, booked.case_id) == {"splints": "clear", "retainers": "clear"}
    assert {document.job for document in store.read.documents_waiting()} == {job.number for job in back.jobs}


def test_amending_nothing_writes_nothing(store):
    booked = book(store, findings=[STOPS])
    amended = amend(store, booked, a_case(), a_verdict(findings=[STOPS]))
    assert (amended.version, amended.changed) == (1, ())
    assert store.verify_chain().count == 1


def test_a_change_of_the_verdict_alone_counts_as_a_change(store):
    booked = book(store, findings=[STOPS])
    amended = amend(store, booked, a_case(), a_verdict())
    assert (amended.version, amended.changed) == (2, ())
    assert store.read.history(booked.case_id)[-1].details["version"] == 2


def test_a_stale_save_is_refused_with_what_the_other_desk_changed(store):
    booked = book(store)
    amend(store, booked, a_case(shade="A3", label="J. Thomas"), a_verdict(), who="CD")
    with pytest.raises(ChangedMeanwhile) as refused:
        amend(store, booked, a_case(shade="B1"), a_verdict(), who="EF")
    changed = {change.field: change for change in refused.value.changes}
    shade = changed["appliances[0].options.shade"]
    assert (shade.mine, shade.theirs, shade.who, shade.at) == ("B1", "A3", "CD", LATER)
    assert (changed["patient.label"].mine, changed["patient.label"].theirs) == ("J.T.", "J. Thomas")
    assert refused.value.version == 2
    assert "by CD on Wed 25 Nov 2026 at 09:50" in str(refused.value)
    assert store.read.case(booked.case_id).case == a_case(shade="A3", label="J. Thomas")


def test_a_stale_withdrawal_is_refused_with_what_was_read_and_what_stands(store):
    booked = book(store)
    amend(store, booked, a_case(shade="A3"), a_verdict())
    with pytest.raises(ChangedMeanwhile) as refused:
        withdraw(store, booked.case_id, booked.version)
    assert [(change.mine, change.theirs) for change in refused.value.changes] == [("A2", "A3")]


def test_of_two_desks_that_save_in_turn_no_edit_is_lost_silently(store):
    booked = book(store)
    version, refusals = booked.version, 0
    for turn in range(30):
        read = booked.version if turn % 3 == 0 else version
        try:
            version = amend(store, booked, a_case(shade=f"A{turn}"), a_verdict(), read).version
        except ChangedMeanwhile:
            refusals += 1
    assert refusals == 9
    assert store.read.case(booked.case_id).version == 22
    told = [e.details["changes"]["appliances[0].options.shade"] for e in store.read.history(booked.case_id)[1:]]
    assert [after for _, after in told[:-1]] == [before for before, _ in told[1:]]


def test_a_withdrawn_case_leaves_the_lists_and_comes_back_as_it_was(store):
    booked = book(store, "splints", "retainers", findings=[STOPS])
    version = withdraw(store, booked.case_id, booked.version)
    assert set(states(store, booked.case_id).values()) == {"withdrawn"}
    assert (store.read.documents_waiting(), store.read.open_queries(), store.read.ring_rows()) == ((), (), ())
    reinstate(store, booked.case_id, version)
    assert states(store, booked.case_id) == {"splints": "held", "retainers": "clear"}
    assert len(store.read.documents_waiting()) == 2
    assert len(store.read.open_queries()) == 1


def test_why_a_case_was_withdrawn_is_kept_with_what_may_be_erased(store):
    booked = book(store)
    withdraw(store, booked.case_id, booked.version, "Mrs Example rang")
    event = store.read.history(booked.case_id)[-1]
    assert event.personal == {"reason": "Mrs Example rang"}
    assert "Example" not in str(event.details)


def test_what_does_not_fit_a_cases_state_is_refused(store):
    booked = book(store)
    with pytest.raises(NotNow, match="not withdrawn"):
        reinstate(store, booked.case_id, 1)
    version = withdraw(store, booked.case_id, 1)
    with pytest.raises(NotNow, match="already"):
        withdraw(store, booked.case_id, version)
    with pytest.raises(NotNow, match="Take it up again"):
        amend(store, booked, a_case(shade="C1"), a_verdict(), version)
    with pytest.raises(NotThere, match="no case 999"):
        withdraw(store, 999, 1)


def test_items_follow_the_prescription(store):
    booked = book(store)
    amend(store, booked, a_case(items=()), a_verdict())
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM items").scalar() == 0
