"""Parcels at the desk: opened once, each case in them booked without typing their facts again, finished when all is."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from intake.desk.arrivals import bring_back, dismiss, set_down, waiting
from intake.desk.book_in import save_form, take_back
from intake.desk.history import told
from intake.desk.issue import issue, issue_all
from intake.desk.joining import join_arrivals, part_arrivals
from intake.desk.parcels import (
    NewContent,
    NewParcel,
    NoPicture,
    ParcelStopped,
    ReasonMissing,
    accept,
    add_content,
    add_photograph,
    change_parcel,
    open_again,
    open_parcel,
    open_parcels,
    parcel_card,
    parcel_of_case,
    parcels_of_arrivals,
    parcels_with,
    put_back,
    put_photograph_back,
    read_label,
    recent_parcels,
    refuse,
    seen_before,
    settle,
    take_out,
    take_parcel_back,
    take_photograph_out,
    take_refusal_back,
)
from intake.store.meanwhile import ChangedMeanwhile, NotNow, NotThere
from intake.store.tables import EventTable
from tests.desk.bags import photo
from tests.desk.desks import NOW, open_desk
from tests.desk.opened import CASE, LABEL, PART, PRESCRIBED, REPAIR, booked, form_of, parcel
from tests.documents.reading import text_of


def state(desk, parcel_id):
    return parcel_card(desk, parcel_id).state


def test_a_label_is_read_with_its_service_and_a_wrong_check_digit_is_said(desk):
    read = read_label(desk, LABEL)
    assert (read.label, read.kind, read.service, read.wrong) == ("RA473124829GB", "s10", "Signed-for post", "")
    assert "check digit is 8 where 9 belongs" in read_label(desk, "RA473124828GB").wrong
    assert read_label(desk, "  ").kind == "none"
    assert read_label(desk, "#").wrong.startswith("There is no number here")


def test_each_case_waits_with_the_facts_of_its_parcel_typed_in(desk):
    opened = parcel(desk, CASE, NewContent("case", found="J. Thornley"), hygiene="declared", seen=("wet",))
    assert len(opened.arrivals) == 2
    half, form = form_of(desk, opened.arrivals[1])
    assert half.typed["practice"] == "MARLOW1"
    assert half.typed["hygiene"] == "d"
    assert half.typed["patient.found"] == "J. Thornley"
    assert form.case.arrived == NOW
    assert form.case.hygiene == "disinfected"
    assert form.case.condition.seen == ("wet",)
    assert "patient.found" in form.places
    assert {"hygiene", "practice", "arrived"}.isdisjoint(form.unsaid)


def test_what_is_not_declared_is_typed_as_not_stated(desk):
    opened = parcel(desk, CASE)
    assert form_of(desk, opened.arrivals[0])[1].case.hygiene == "unknown"


def test_an_appliance_for_repair_has_its_line_and_is_among_what_came(desk):
    opened = parcel(desk, REPAIR)
    form = form_of(desk, opened.arrivals[0])[1]
    assert [appliance.type for appliance in form.case.appliances] == ["repair"]
    assert [item.item for item in form.case.items] == ["appliance"]
    assert form.wrong == ()


def test_a_parcel_is_finished_when_everything_in_it_has_a_case_or_a_reason(desk):
    opened = parcel(desk, CASE, CASE, NewContent("other", note="a leaflet"))
    booked(desk, opened.arrivals[0])
    settle(desk, opened.contents[2], "Not for us; thrown away")
    (line,) = open_parcels(desk)
    assert (line.open, line.arrivals) == (1, (opened.arrivals[1],))
    assert line.says == "1 of 3 to be booked in."
    booked(desk, opened.arrivals[1], **{"patient.label": "M.R.", "patient.reference": "20419"})
    assert open_parcels(desk) == ()
    assert [line.state for line in recent_parcels(desk)] == ["done"]


def test_taking_a_booking_back_opens_the_parcel_again(desk):
    opened = parcel(desk, CASE)
    case = booked(desk, opened.arrivals[0])
    assert state(desk, opened.parcel_id) == "done"
    take_back(desk, case)
    assert state(desk, opened.parcel_id) == "open"
    booked(desk, opened.arrivals[0])
    assert state(desk, opened.parcel_id) == "done"


def test_a_form_that_is_set_down_keeps_its_parcel(desk):
    opened = parcel(desk, NewContent("case", found="J.T."))
    half, _ = form_of(desk, opened.arrivals[0], **{"appliances[0]": "hs u"})
    assert set_down(desk, half) == opened.arrivals[0]
    (line,) = waiting(desk)
    assert line.patient == "J.T."
    assert form_of(desk, opened.arrivals[0])[1].case.condition is not None
    assert parcels_of_arrivals(desk, opened.arrivals)[opened.arrivals[0]].parcel_id == opened.parcel_id


def test_what_is_taken_off_the_list_without_a_reason_keeps_its_parcel_open(desk):
    opened = parcel(desk, CASE)
    dismiss(desk, opened.arrivals[0])
    card = parcel_card(desk, opened.parcel_id)
    assert card.state == "open"
    assert card.contents[0].says == "Taken off the list of what waits; say why, or let it wait again."
    bring_back(desk, opened.arrivals[0])
    assert parcel_card(desk, opened.parcel_id).contents[0].says == "Waits to be booked in."


def test_a_reason_takes_what_waits_off_the_list_and_undoing_it_lets_it_wait_again(desk):
    opened = parcel(desk, CASE)
    with pytest.raises(ReasonMissing):
        settle(desk, opened.contents[0], "  ")
    settle(desk, opened.contents[0], "Came for another laboratory, sent on")
    assert (waiting(desk), state(desk, opened.parcel_id)) == ((), "done")
    open_again(desk, opened.contents[0])
    assert len(waiting(desk)) == 1
    assert state(desk, opened.parcel_id) == "open"


def test_what_waits_again_or_is_booked_after_all_has_no_reason_any_more(desk):
    opened = parcel(desk, NewContent("case", reason="Sent on to another laboratory"), CASE)
    assert len(opened.arrivals) == 1
    settle(desk, opened.contents[1], "Nothing to make")
    first, second = (line.arrival_id for line in parcel_card(desk, opened.parcel_id).contents)
    assert state(desk, opened.parcel_id) == "done"
    bring_back(desk, first)
    assert state(desk, opened.parcel_id) == "open"
    half, form = form_of(desk, first, **PRESCRIBED)
    dismiss(desk, first)
    assert parcel_card(desk, opened.parcel_id).contents[0].reason == ""
    save_form(desk, half, form)
    card = parcel_card(desk, opened.parcel_id)
    assert [line.settled for line in card.contents] == [True, True]
    assert (card.contents[0].jobs != (), card.contents[1].says) == (True, "No case: Nothing to make.")
    assert second not in [line.arrival_id for line in waiting(desk)]


def test_what_is_booked_needs_no_reason_and_is_not_taken_out(desk):
    opened = parcel(desk, CASE)
    booked(desk, opened.arrivals[0])
    for act in (lambda: settle(desk, opened.contents[0], "why"), lambda: take_out(desk, opened.contents[0])):
        with pytest.raises(NotNow, match="booked in already"):
            act()


def test_more_can_be_logged_later_and_a_wrong_entry_is_taken_out_and_put_back(desk):
    opened = parcel(desk, CASE)
    booked(desk, opened.arrivals[0])
    more = add_content(desk, opened.parcel_id, CASE)
    assert state(desk, opened.parcel_id) == "open"
    take_out(desk, more)
    assert (state(desk, opened.parcel_id), waiting(desk)) == ("done", ())
    put_back(desk, more)
    assert state(desk, opened.parcel_id) == "open"
    assert len(waiting(desk)) == 1


def test_a_parcel_with_nothing_in_it_is_finished_and_one_of_which_nothing_is_said_is_not(desk):
    assert state(desk, parcel(desk, NewContent("nothing"), label="").parcel_id) == "done"
    empty = open_parcel(desk, NewParcel())
    assert state(desk, empty.parcel_id) == "open"
    assert open_parcels(desk)[0].says == "Say what lies in it."


def test_two_parts_that_are_joined_are_settled_by_one_case(desk):
    opened = parcel(desk, CASE, PART)
    whole, part = opened.arrivals
    joined = join_arrivals(desk, part, whole)
    card = parcel_card(desk, opened.parcel_id)
    assert [line.arrival_id for line in card.contents] == [whole, whole]
    booked(desk, whole)
    assert state(desk, opened.parcel_id) == "done"
    assert len(parcel_card(desk, opened.parcel_id).contents[1].jobs) == 1
    assert joined.contents == (opened.contents[1],)


def test_parting_what_was_joined_gives_each_its_own_again(desk):
    opened = parcel(desk, CASE, PART)
    whole, part = opened.arrivals
    part_arrivals(desk, join_arrivals(desk, part, whole))
    assert [line.arrival_id for line in parcel_card(desk, opened.parcel_id).contents] == [whole, part]
    booked(desk, whole)
    assert state(desk, opened.parcel_id) == "open"


def test_what_was_seen_of_both_parcels_goes_with_the_case_that_they_are(desk):
    first = parcel(desk, NewContent("case", found="J.T."), seen=("dry",))
    second = parcel(desk, NewContent("part", found="J. Thornley"), label="", seen=("torn-tray",), note="at the back")
    join_arrivals(desk, second.arrivals[0], first.arrivals[0])
    case = form_of(desk, first.arrivals[0])[1].case
    assert case.condition.seen == ("dry", "torn-tray")
    assert case.patient.found == "J.T.; J. Thornley"
    booked(desk, first.arrivals[0])
    assert [state(desk, each.parcel_id) for each in (first, second)] == ["done", "done"]


def test_a_case_knows_its_parcel_and_its_history_tells_of_it(desk):
    opened = parcel(desk, CASE, seen=("wet",), note="the box was soaked")
    case = booked(desk, opened.arrivals[0])
    assert parcel_of_case(desk, case.case_id).label == "RA473124829GB"
    said = [each.what for each in told(desk.store.read.history(case.case_id))]
    expected = f"It came in parcel {opened.parcel_id}, RA473124829GB, Wed 25 Nov 2026, 10:30, opened by AB."
    assert f"{expected} Seen on opening: wet (the box was soaked)." in said


def test_a_label_seen_before_is_said_at_once_with_what_lay_in_it(desk):
    opened = parcel(desk, CASE, NewContent("repair", found="Mrs Ash"))
    later = replace(desk, now=lambda: NOW + timedelta(days=30))
    before = seen_before(later, "ra 4731-2482-9 gb")
    assert before.parcel_id == opened.parcel_id
    assert before.says == (
        "This label came before, Wed 25 Nov 2026, 10:30; from Marlowe House Dental Practice; "
        "in it a case and an appliance for repair, on it “Mrs Ash”."
    )
    again = parcel(later, CASE)
    assert again.again == before
    assert parcel_card(later, again.parcel_id).again == before
    assert [line.parcel_id for line in parcels_with(desk, LABEL)] == [again.parcel_id, opened.parcel_id]


@pytest.mark.parametrize(("day", "seen"), [(datetime(2027, 11, 25), True), (datetime(2027, 11, 26), False)])
def test_a_number_that_may_be_given_anew_after_twelve_months_is_another_parcel_then(desk, day, seen):
    """UPU S10: a number is not given anew within 12 months."""
    parcel(desk, CASE)
    assert (seen_before(replace(desk, now=lambda: day), LABEL) is not None) == seen


def test_a_practice_is_known_by_its_code_its_name_or_a_few_letters_and_kept_as_written_else(desk):
    for written in ("marlow1", "Marlowe House Dental Practice", "marlowe"):
        assert parcel_card(desk, parcel(desk, label="", practice=written).parcel_id).practice_code == "MARLOW1"
    card = parcel_card(desk, parcel(desk, label="", practice="A surgery in the hills").parcel_id)
    assert (card.practice_code, card.practice) == (None, "A surgery in the hills")


def test_correcting_a_parcel_corrects_what_waits_but_not_what_was_typed_since(desk):
    opened = parcel(desk, CASE, CASE, practice="")
    half, _ = form_of(desk, opened.arrivals[1], practice="OXMERE", hygiene="n")
    set_down(desk, half)
    right = NewParcel(label=LABEL, practice="MARLOW1", hygiene="declared", seen=("crushed",))
    change_parcel(desk, opened.parcel_id, opened.version, right)
    first, second = (form_of(desk, arrival)[1].case for arrival in opened.arrivals)
    assert (first.practice, first.hygiene, first.condition.seen) == ("MARLOW1", "disinfected", ("crushed",))
    assert (second.practice, second.hygiene, second.condition.seen) == ("OXMERE", "not-disinfected", ("crushed",))
    with pytest.raises(ChangedMeanwhile, match="This parcel was changed by AB"):
        change_parcel(desk, opened.parcel_id, opened.version, NewParcel(label=LABEL))


def test_a_torn_tray_is_asked_about_until_somebody_takes_it_on_and_the_ticket_says_who(desk, tmp_path):
    opened = parcel(desk, CASE, hygiene="declared", seen=("torn-tray",), note="at UL6")
    case = booked(desk, opened.arrivals[0])
    asked = [query.requirement for query in desk.store.read.open_queries()]
    assert "received-damaged" in asked
    issue_all(desk, case.tickets)
    accept(desk, opened.parcel_id, "AB")
    assert "received-damaged" not in [query.requirement for query in desk.store.read.open_queries()]
    (copy,) = desk.store.read.documents_waiting()
    assert (copy.copy, issue(desk, copy.document_id).sent) == (2, True)
    printed = " ".join(" ".join(text_of(desk.store.read.pdf(copy.document_id))).split())
    assert "A torn tray (at UL6): accepted in spite of it by AB." in printed
    assert printed.count("torn tray") == 1
    accept(desk, opened.parcel_id, "")
    assert "received-damaged" in [query.requirement for query in desk.store.read.open_queries()]


def test_what_was_accepted_on_opening_stands_on_the_first_ticket(desk):
    opened = parcel(desk, CASE, seen=("distorted", "blood"), accepted_by="CD")
    case = booked(desk, opened.arrivals[0])
    issue_all(desk, case.tickets)
    printed = " ".join(" ".join(text_of(desk.store.read.pdf(case.tickets[0]))).split())
    assert "Distorted and blood seen: accepted in spite of it by CD." in printed
    assert "Blood was seen: treat as contaminated." in printed


def test_a_refused_parcel_goes_back_with_a_note_that_names_no_patient(desk):
    opened = parcel(desk, NewContent("case", found="J. Thornley"), seen=("crushed",), note="J. Thornley's box")
    with pytest.raises(ReasonMissing):
        refuse(desk, opened.parcel_id, "")
    note = refuse(desk, opened.parcel_id, "The impression is crushed beyond use")
    assert (waiting(desk), open_parcels(desk)) == ((), ())
    assert issue(desk, note).sent
    text = " ".join(" ".join(text_of(desk.store.read.pdf(note))).split())
    for said in ("Marlowe House Dental Practice", "12 Chandler Row", "RA473124829GB", "crushed beyond use", "Crushed"):
        assert said in text
    assert "Thornley" not in text
    assert parcel_card(desk, opened.parcel_id).says == "Refused, and goes back: The impression is crushed beyond use."
    with pytest.raises(ParcelStopped):
        add_content(desk, opened.parcel_id, CASE)


def test_taking_a_refusal_back_cancels_a_note_that_is_not_printed_and_lets_everything_wait_again(desk):
    opened = parcel(desk, CASE, NewContent("other"))
    settle(desk, opened.contents[1], "a leaflet")
    note = refuse(desk, opened.parcel_id, "Wrong laboratory")
    take_refusal_back(desk, opened.parcel_id)
    assert desk.store.read.document(note).state == "cancelled"
    assert state(desk, opened.parcel_id) == "open"
    assert len(waiting(desk)) == 1
    assert parcel_card(desk, opened.parcel_id).contents[1].reason == "a leaflet"
    with pytest.raises(NotNow):
        take_refusal_back(desk, opened.parcel_id)


def test_a_parcel_of_which_something_is_booked_is_not_refused(desk):
    opened = parcel(desk, CASE, CASE)
    booked(desk, opened.arrivals[0])
    for act in (lambda: refuse(desk, opened.parcel_id, "why"), lambda: take_parcel_back(desk, opened.parcel_id)):
        with pytest.raises(NotNow, match="booked in"):
            act()
    assert state(desk, opened.parcel_id) == "open"


def test_a_parcel_that_was_opened_by_mistake_is_taken_back_and_its_label_is_no_more_seen_before(desk):
    opened = parcel(desk, CASE, CASE)
    take_parcel_back(desk, opened.parcel_id)
    assert (open_parcels(desk), recent_parcels(desk), waiting(desk)) == ((), (), ())
    assert seen_before(desk, LABEL) is None
    assert parcels_with(desk, LABEL) == ()


def test_a_photograph_is_kept_once_taken_out_and_put_back(desk, tmp_path):
    opened = parcel(desk, CASE)
    kept = add_photograph(desk, opened.parcel_id, "bag.png", photo())
    assert kept.path.read_bytes() == photo()
    assert add_photograph(desk, opened.parcel_id, "again.png", photo()).file_id == kept.file_id
    take_photograph_out(desk, kept.file_id)
    assert parcel_card(desk, opened.parcel_id).photographs == ()
    put_photograph_back(desk, kept.file_id)
    assert [each.name for each in parcel_card(desk, opened.parcel_id).photographs] == ["bag.png"]
    file = tmp_path / "bag.jpg"
    file.write_bytes(b"MZ no picture")
    for content in (file, b"no picture", tmp_path / "missing.png"):
        with pytest.raises(NoPicture):
            add_photograph(desk, opened.parcel_id, "bag.jpg", content)


def test_two_desks_do_not_settle_and_book_the_same_thing(desk, tmp_path):
    opened = parcel(desk, CASE)
    booked(open_desk(desk.store, tmp_path, person="CD", name="other"), opened.arrivals[0])
    with pytest.raises(NotNow):
        settle(desk, opened.contents[0], "Nothing to make")


def test_another_name_on_the_bag_stops_the_case_and_changes_neither_name(desk):
    opened = parcel(desk, NewContent("case", found="M. Okafor"))
    case = booked(desk, opened.arrivals[0])
    assert case.verdict.state == "held"
    (query,) = [each for each in desk.store.read.open_queries() if each.requirement == "name-found-differs"]
    assert "“M. Okafor”" in query.because
    assert "“J.T. · 20418”" in query.because
    kept = desk.store.read.case(case.case_id).case.patient
    assert (kept.label, kept.found) == ("J.T.", "M. Okafor")


def test_a_parcel_that_was_never_there_is_told(desk):
    for act in (parcel_card, take_parcel_back):
        with pytest.raises(NotThere, match="no parcel 999"):
            act(desk, 999)


def test_every_event_of_parcels_is_told_in_a_sentence(desk):
    opened = parcel(desk, CASE, NewContent("other"), seen=("wet",))
    settle(desk, opened.contents[1], "a leaflet")
    change_parcel(desk, opened.parcel_id, parcel_card(desk, opened.parcel_id).version, NewParcel(way="by-hand"))
    refuse(desk, opened.parcel_id, "why")
    take_refusal_back(desk, opened.parcel_id)
    add_photograph(desk, opened.parcel_id, "bag.png", photo())
    take_parcel_back(desk, opened.parcel_id)
    said = [each.what for each in told(desk.store.read._events(EventTable.seq > 0))]
    assert all(each.endswith(".") and "None" not in each for each in said), said
