"""What came apart is offered to be put together, is put together when the desk says so, and comes apart again."""

from dataclasses import replace
from datetime import datetime

import pytest

from intake.desk.arrivals import set_down, take_in_content, waiting
from intake.desk.book_in import amend, book, book_arrival, save_form
from intake.desk.expected import CannotJoin
from intake.desk.joining import join_arrivals, part_again, part_arrivals, put_together
from intake.desk.open_form import NotHere, arrival_form
from intake.desk.partners import offers, partners_for, waiting_case
from intake.desk.receive import receive
from intake.desk.rescanning import join_scans_to_case, measure_together, part_scans
from intake.desk.scan_checks import check_all, choose, tell_case
from intake.desk.scan_looks import scans_of
from intake.domain.case import Appliance, Case, Item, Options, Patient
from intake.domain.form import read_form
from intake.domain.half_typed import HalfTyped
from intake.inbox.scan_files import ScanFiles
from intake.store.meanwhile import ChangedMeanwhile
from tests.desk.desks import NOW
from tests.desk.scan_mails import HERE, came, later, message, surfaces

KEY, PRACTICE = "QUILLB2", "Quillbury Street Surgery"
WHO = f"Practice: {KEY}\nPatient: J.T.\nReference: 20418\n"
SPLINT = Case(
    practice=KEY,
    prescriber="Dr R. Ashdown",
    patient=Patient(label="J. Thornley", reference="20418"),
    appliances=(Appliance(type="occlusal-splint-hard", arch="upper", options=Options(thickness_mm=2.0)),),
    appointment=datetime(2026, 12, 15, 9, 30),
)
"""What waits for its scans."""
PARCEL = {
    "practice": KEY,
    "patient.label": "J.T.",
    "patient.reference": "20418",
    "items": "u l add sil",
    "hygiene": "n",
    "patient.allergies": "latex",
    "notes": "Please ring before Friday.",
}
"""What the desk types of a parcel without a sheet."""


@pytest.fixture
def scan(desk, tmp_path):
    """Two scans of a patient without a word of what is to be made."""
    return came(desk, tmp_path, "scans", WHO, upper="upper", lower="lower")


@pytest.fixture
def paper(desk):
    """The prescription for them, which came as a file."""
    return take_in_content(desk, SPLINT.model_dump_json().encode(), "splint.json").arrival_id


@pytest.fixture
def part(desk, tmp_path):
    """A booked case that is held, since half of its lower scan is missing."""
    arrival_id = came(desk, tmp_path, "half", WHO, upper="upper", lower="half")
    case = scans_of(desk, arrival_id).put_to(SPLINT)
    return book(desk, case, "form", arrival_id)


@pytest.fixture
def again(part, desk, tmp_path):
    """The lower once more, whole."""
    return came(desk, tmp_path, "again", WHO, lower="lower")


def case_of(desk, arrival_id):
    return waiting_case(desk, desk.store.read.arrival(arrival_id), desk.practices())


def partners(desk, arrival_id):
    return partners_for(desk, case_of(desk, arrival_id), arrival_id)


def everything(desk, *arrival_ids):
    """All that there is of arrivals, but for their versions."""
    rows = [replace(desk.store.read.arrival(arrival_id), version=0) for arrival_id in arrival_ids]
    return rows, desk.store.read.files_of(arrival_ids), waiting_without_versions(desk)


def waiting_without_versions(desk):
    return [replace(line, version=0) for line in waiting(desk)]


def rescan(desk, arrival_id, case_id, version, arriving=None):
    """Puts scans to a case as the window does: measured first, then saved."""
    measured = measure_together(desk, HERE, arrival_id, case_id)
    return join_scans_to_case(desk, arrival_id, case_id, version, measured, arriving)


def asked(desk, case_id):
    return {query.requirement for query in desk.store.read.queries_of(case_id) if query.state == "open"}


def seen(desk, case_id):
    case = desk.store.read.case(case_id).case
    return {scan.shows: [fault.fault for fault in scan.faults] for scan in case.scans}, case.arches


# Two arrivals


def test_a_scan_and_its_prescription_are_offered_to_each_other_and_say_what_they_lack(desk, scan, paper):
    (for_paper,), (for_scan,) = partners(desk, paper), partners(desk, scan)
    why = "same practice, reference 20418, on the same day"
    assert for_paper.said == f"J.T. of {PRACTICE} waits without a prescription: {why}."
    assert for_scan.said == f"J. Thornley of {PRACTICE} waits without a scan: {why}."
    assert (for_scan.kind, for_scan.id, for_scan.why) == ("arrival", paper, why)


def test_nothing_is_put_together_by_itself(desk, scan, paper):
    before = everything(desk, scan, paper)
    partners(desk, paper), partners(desk, scan)
    assert everything(desk, scan, paper) == before


def test_a_scan_and_its_prescription_become_one_that_can_be_booked(desk, scan, paper):
    join_arrivals(desk, scan, paper)
    (line,) = waiting(desk)
    assert (line.arrival_id, line.unchecked, line.appliances) == (paper, 0, "Upper hard occlusal splint")
    booked = book_arrival(desk, paper)
    scans, _ = seen(desk, booked.case_id)
    assert scans == {"upper": [], "lower": []}
    assert [arrival.arrival_id for arrival in desk.store.read.arrivals("set-aside")] == [scan]


@pytest.mark.parametrize("into", ["scan", "paper"])
def test_it_comes_apart_exactly_as_it_was(desk, scan, paper, into):
    arrival_id, into_id = (paper, scan) if into == "scan" else (scan, paper)
    before = everything(desk, scan, paper)
    joined = join_arrivals(desk, arrival_id, into_id)
    assert everything(desk, scan, paper) != before
    part_arrivals(desk, joined)
    assert everything(desk, scan, paper) == before


def test_the_prescription_is_kept_whichever_is_put_to_which(desk, scan, paper):
    join_arrivals(desk, paper, scan)
    assert case_of(desk, scan).appliances == SPLINT.appliances
    form = arrival_form(desk, scan)
    assert form.typed["items"] == "upper scan; lower scan"
    assert form.typed["prescriber"] == "Dr R. Ashdown"
    with pytest.raises(NotHere):
        arrival_form(desk, paper)


def test_arches_that_came_in_two_messages_are_measured_together(desk, tmp_path):
    upper = came(desk, tmp_path, "one", WHO, upper="upper")
    lower = came(desk, tmp_path, "two", WHO, lower="lower")
    (partner,) = partners(desk, lower)
    assert partner.id == upper
    half = arrival_form(desk, lower)
    together = put_together(desk, half, upper)
    check_all(desk, HERE)
    assert scans_of(desk, together.form.arrival_id).arches.standing == "registered"
    assert together.form.typed["items"] == "upper scan; lower scan"


def test_a_parcel_joins_the_scans_with_all_that_could_hurt_somebody(desk, scan, paper):
    parcel = set_down(desk, HalfTyped(typed=PARCEL))
    assert {partner.id for partner in partners(desk, parcel)} == {scan, paper}
    joined = join_arrivals(desk, parcel, paper)
    form = arrival_form(desk, paper).typed
    assert form["appliances[0]"] == "Hard occlusal splint upper 2 mm"
    assert form["hygiene"] == "n"
    assert form["patient.allergies"] == "latex"
    assert form["notes"] == PARCEL["notes"]
    assert [item.item for item in case_of(desk, paper).items] == ["impression", "impression"]
    assert form["patient.label"] == "J. Thornley", "what was said is not overwritten"
    assert joined.left_out == ()


def test_a_parcel_of_which_nothing_is_said_is_still_asked_for_its_disinfection(desk, tmp_path):
    """The scans need none; the impressions that join them do."""
    scan = came(desk, tmp_path, "splint", f"{WHO}Appliance: hard splint upper 2 mm\n", upper="upper", lower="lower")
    parcel = set_down(desk, HalfTyped(typed={**PARCEL, "hygiene": ""}))
    join_arrivals(desk, parcel, scan)
    case = case_of(desk, scan)
    assert case.hygiene == "unknown"
    assert "hygiene-status" in {finding.requirement for finding in desk.judge(case).findings}


def test_a_label_or_a_reference_that_only_one_has_is_taken(desk, tmp_path):
    scan = came(desk, tmp_path, "scans", f"Practice: {KEY}\nPatient: J.T.\n", upper="upper")
    paper = set_down(desk, HalfTyped(typed={"practice": KEY, "patient.label": "J.T.", "patient.reference": "20418"}))
    join_arrivals(desk, paper, scan)
    row = desk.store.read.arrival(scan)
    assert (row.patient_label, row.patient_reference) == ("J.T.", "20418")
    assert case_of(desk, scan).patient == Patient(label="J.T.", reference="20418")


def test_what_the_other_says_otherwise_is_told(desk, scan, paper):
    typed = {**PARCEL, "appointment": "Wed 16 Dec 2026 09:30", "prescriber": "Dr R. Ashdown"}
    joined = join_arrivals(desk, set_down(desk, HalfTyped(typed=typed)), paper)
    assert joined.left_out == ("the appointment",)
    assert case_of(desk, paper).appointment == SPLINT.appointment


def test_loose_scans_are_told_by_the_reference_in_their_names(desk, paper, tmp_path):
    file = tmp_path / "20418 upper.stl"
    file.write_bytes(surfaces()["upper"])
    (received,) = receive(desk, [file])
    (partner,) = partners(desk, paper)
    assert partner.id == received.arrival_id
    assert partner.said == (
        "“20418 upper.stl” waits without a prescription: its practice is not named, 20418 in the name of a file, "
        "on the same day."
    )


@pytest.mark.parametrize(
    "who",
    [
        f"Practice: {KEY}\nPatient: J.T.\nReference: 20419\n",
        f"Practice: {KEY}\nPatient: M.K.\n",
        "Practice: MARLOW1\nPatient: J.T.\nReference: 20418\n",
        f"Practice: {KEY}\n",
    ],
)
def test_scans_of_somebody_else_are_never_offered(desk, paper, tmp_path, who):
    came(desk, tmp_path, "scans", who, checked=False, upper="upper")
    assert partners(desk, paper) == ()


def test_what_came_too_long_ago_is_not_offered(desk, paper, tmp_path):
    days = desk.lab.scans.partner_days
    for name, apart, offered in (("late", days + 1, 0), ("just", days, 1)):
        came(replace(desk, now=later(apart)), tmp_path, name, WHO, checked=False, upper="upper")
        assert len(partners(desk, paper)) == offered


def test_the_likeliest_is_offered_first(desk, paper, tmp_path):
    by_label = came(desk, tmp_path, "label", f"Practice: {KEY}\nPatient: J.T.\n", checked=False, upper="upper")
    days = replace(desk, now=later(5))
    by_reference = came(
        days, tmp_path, "reference", f"Practice: {KEY}\nReference: 20418\n", checked=False, upper="half"
    )
    assert [partner.id for partner in partners(desk, paper)] == [by_reference, by_label]


def test_two_orders_are_never_made_one(desk, paper):
    other = {"practice": KEY, "patient.reference": "20418", "appliances[0]": "whitening tray upper"}
    second = set_down(desk, HalfTyped(typed=other))
    assert partners(desk, paper) == partners(desk, second) == ()
    with pytest.raises(CannotJoin, match="These are two orders: one asks for upper hard occlusal splint and the other"):
        join_arrivals(desk, second, paper)


def test_what_was_booked_meanwhile_is_not_put_together(desk, scan, paper):
    book_arrival(desk, paper)
    with pytest.raises(CannotJoin, match="waits no longer"):
        join_arrivals(desk, scan, paper)
    assert desk.store.read.arrival(scan).state == "waiting"


def test_what_was_changed_since_does_not_come_apart(desk, scan, paper):
    joined = join_arrivals(desk, scan, paper)
    set_down(desk, replace(arrival_form(desk, paper), typed=arrival_form(desk, paper).typed | {"notes": "urgent"}))
    with pytest.raises(ChangedMeanwhile):
        part_arrivals(desk, joined)
    assert scans_of(desk, paper).scans
    assert case_of(desk, paper).notes == "urgent"


def test_what_was_booked_since_does_not_come_apart(desk, scan, paper):
    joined = join_arrivals(desk, scan, paper)
    book_arrival(desk, paper)
    with pytest.raises(ChangedMeanwhile):
        part_arrivals(desk, joined)


def test_one_that_was_joined_to_the_second_goes_back_there(desk, scan, paper, tmp_path):
    third = came(desk, tmp_path, "third", WHO, lower="again")
    join_arrivals(desk, third, scan)
    before = everything(desk, scan, paper, third)
    part_arrivals(desk, join_arrivals(desk, scan, paper))
    assert everything(desk, scan, paper, third) == before


def test_the_later_message_about_a_jaw_counts_and_both_files_are_kept(desk, scan, tmp_path):
    second = came(desk, tmp_path, "second", WHO, lower="again")
    join_arrivals(desk, scan, second)
    scans = scans_of(desk, second)
    assert [(each.jaw.jaw, each.file.came_with) for each in scans.scans] == [("upper", scan), ("lower", second)]
    assert [each.file.came_with for each in scans.replaced] == [scan]


def test_a_scan_whose_jaw_is_not_sure_takes_no_place(desk, scan, tmp_path):
    """The name says upper, the shape says lower: a person chooses first."""
    doubtful = came(desk, tmp_path, "doubtful", WHO, upper="lower")
    join_arrivals(desk, doubtful, scan)
    assert scans_of(desk, scan).replaced == ()
    file = next(each.file for each in scans_of(desk, scan).scans if each.jaw.jaw is None)
    choose(desk, file.file_id, jaw="lower")
    assert [each.jaw.jaw for each in scans_of(desk, scan).replaced] == ["lower"]


def test_a_delivery_that_is_taken_in_once_more_is_not_doubled_by_having_been_joined(desk, paper, tmp_path):
    folder = tmp_path / "20418"
    folder.mkdir()
    for jaw in ("upper", "lower"):
        (folder / f"{jaw}.stl").write_bytes(surfaces()[jaw])
    receive(desk, [folder])
    (arrival,) = (row for row in desk.store.read.arrivals() if row.arrival_id != paper)
    join_arrivals(desk, arrival.arrival_id, paper)
    assert all(received.already for received in receive(desk, [folder]))
    assert [row.arrival_id for row in desk.store.read.arrivals()] == [paper]


# What is in the form


def test_a_form_is_put_together_with_what_waits_and_comes_back_as_it_was(desk, scan):
    half = HalfTyped(typed={**PARCEL, "appliances[0]": "hard splint u 2"})
    before = everything(desk, scan)
    together = put_together(desk, half, scan)
    assert together.form.typed["appliances[0]"] == "hard splint u 2"
    impressions = "upper impression Addition silicone; lower impression Addition silicone"
    assert together.form.typed["items"] == f"{impressions}; upper scan; lower scan"
    assert [line.arrival_id for line in waiting(desk)] == [together.form.arrival_id] == [scan]
    assert part_again(desk, together) == half
    assert everything(desk, scan) == before


def test_what_was_typed_to_an_arrival_is_part_of_it(desk, scan, paper):
    form = arrival_form(desk, paper)
    together = put_together(desk, replace(form, typed=form.typed | {"notes": "urgent"}), scan)
    assert together.form.arrival_id == paper, "the arrival that is known by its file goes on"
    assert together.form.typed["notes"] == "urgent"
    assert scans_of(desk, paper).scans
    booked = save_form(desk, together.form, read_form(together.form.typed, desk.lab, desk.practices(), NOW))
    assert take_in_content(desk, SPLINT.model_dump_json().encode(), "splint.json").already
    assert desk.store.read.arrival(paper).case_id == booked.case_id


def test_a_form_that_cannot_be_put_together_leaves_nothing_behind(desk, scan, paper):
    book_arrival(desk, paper)
    with pytest.raises(CannotJoin):
        put_together(desk, HalfTyped(typed=PARCEL), paper)
    assert [line.arrival_id for line in waiting(desk)] == [scan]


# A held case


def test_scans_that_came_again_are_offered_to_the_case_that_waits_for_them(desk, part, again):
    assert {"scan-whole", "bite-record"} <= asked(desk, part.case_id)
    (partner,) = partners(desk, again)
    assert (partner.kind, partner.id, partner.version) == ("case", part.case_id, part.version)
    assert partner.said.startswith(f"J. Thornley of {PRACTICE}, job {part.jobs[0].shown}, waits for ")
    assert partner.said.endswith(": same practice, reference 20418, asked on Wed 25 Nov.")


def test_they_take_the_place_of_the_ones_before_and_answer_their_questions(desk, part, again):
    made = rescan(desk, again, part.case_id, part.version)
    scans, arches = seen(desk, part.case_id)
    assert scans == {"upper": [], "lower": []}
    assert arches.standing == "registered"
    assert made.replaced == ("lower",)
    assert [job.state for job in part.jobs + made.booked.jobs] == ["held", "clear"]
    states = {query.requirement: query.state for query in desk.store.read.queries_of(part.case_id)}
    assert states["scan-whole"] == "answered"
    assert made.booked.tickets
    assert waiting(desk) == ()
    assert desk.store.read.arrival(again).case_id == part.case_id


def test_that_is_undone_exactly(desk, part, again):
    own = desk.store.read.scan_arrival_of(part.case_id)
    before, questions, case = (
        everything(desk, again, own),
        asked(desk, part.case_id),
        desk.store.read.case(part.case_id),
    )
    looked = scans_of(desk, own)
    apart = part_scans(desk, rescan(desk, again, part.case_id, part.version))
    assert everything(desk, again, own) == before
    assert asked(desk, part.case_id) == questions
    assert desk.store.read.case(part.case_id).case == case.case
    assert [job.state for job in apart.jobs] == ["held"]
    assert scans_of(desk, own) == looked


def test_how_the_arches_stood_before_is_known_again(desk, tmp_path):
    first = came(desk, tmp_path, "apart", WHO, upper="upper", lower="unregistered")
    booked = book(desk, scans_of(desk, first).put_to(SPLINT), "form", first)
    assert seen(desk, booked.case_id)[1].standing != "registered"
    lower = came(desk, tmp_path, "again", WHO, lower="lower")
    before = scans_of(desk, first), desk.store.read.arches_pictures(first)
    made = rescan(desk, lower, booked.case_id, booked.version)
    assert seen(desk, booked.case_id)[1].standing == "registered"
    part_scans(desk, made)
    assert (scans_of(desk, first), desk.store.read.arches_pictures(first)) == before


def test_what_is_seen_later_does_not_bring_the_old_scan_back(desk, part, again):
    rescan(desk, again, part.case_id, part.version)
    for arrival_id in (again, desk.store.read.scan_arrival_of(part.case_id)):
        tell_case(desk, arrival_id)
    assert seen(desk, part.case_id)[0] == {"upper": [], "lower": []}


def test_a_scan_that_is_no_better_leaves_its_question_open(desk, part, tmp_path):
    worse = came(desk, tmp_path, "worse", WHO, lower="half")
    made = rescan(desk, worse, part.case_id, part.version)
    assert [job.state for job in made.booked.jobs] == ["held"]
    assert "scan-whole" in asked(desk, part.case_id)
    assert "twice" in seen(desk, part.case_id)[0]["lower"], "it is the same file once more"


def test_a_case_without_scans_gets_its_first_and_keeps_what_else_was_said_to_be_there(desk, tmp_path):
    case = SPLINT.model_copy(update={"items": (Item(item="scan", arch="both"),)})
    booked = book(desk, case, "form")
    lower = came(desk, tmp_path, "again", WHO, lower="lower")
    (partner,) = partners(desk, lower)
    made = rescan(desk, lower, partner.id, partner.version)
    assert desk.store.read.scan_arrival_of(booked.case_id) == lower
    after = desk.store.read.case(booked.case_id).case
    assert sorted(item.arch for item in after.items) == ["lower", "upper"]
    assert [scan.shows for scan in after.scans] == ["lower"]
    part_scans(desk, made)
    assert desk.store.read.case(booked.case_id).case.items == case.items


def test_what_else_came_with_the_scans_is_taken_too(desk, part, again):
    arriving = case_of(desk, again)
    patient = arriving.patient.model_copy(update={"allergies": ("nickel",)})
    arriving = arriving.model_copy(update={"patient": patient, "items": (Item(item="photo"),)})
    rescan(desk, again, part.case_id, part.version, arriving)
    case = desk.store.read.case(part.case_id).case
    assert case.patient.allergies == ("nickel",)
    assert [item.item for item in case.items] == ["photo", "scan", "scan"]


def test_a_case_that_was_changed_meanwhile_is_not_overwritten_and_the_scans_wait_on(desk, part, again):
    changed = desk.store.read.case(part.case_id).case.model_copy(update={"notes": "rang"})
    amend(desk, part.case_id, part.version, changed)
    before = everything(desk, again)
    with pytest.raises(ChangedMeanwhile):
        rescan(desk, again, part.case_id, part.version)
    assert everything(desk, again) == before


def test_scans_that_nobody_looked_at_yet_wait_a_moment(desk, part, tmp_path):
    fresh = came(desk, tmp_path, "fresh", WHO, checked=False, lower="lower")
    with pytest.raises(CannotJoin, match="Not every scan was looked at yet"):
        rescan(desk, fresh, part.case_id, part.version)
    check_all(desk, HERE)
    rescan(desk, fresh, part.case_id, part.version)


def test_what_was_measured_of_other_scans_counts_for_nothing(desk, part, again):
    """Between measuring and saving, somebody says that the new scan is no lower."""
    measured = measure_together(desk, HERE, again, part.case_id)
    assert measured.found.figures
    (scan,) = scans_of(desk, again).scans
    choose(desk, scan.file.file_id, jaw="bite")
    join_scans_to_case(desk, again, part.case_id, part.version, measured)
    scans, arches = seen(desk, part.case_id)
    assert set(scans) == {"upper", "lower", "bite"}
    assert arches is None


def test_scans_whose_files_lie_at_another_desk_are_joined_there(desk, part, again, tmp_path):
    elsewhere = replace(desk, scan_store=ScanFiles(tmp_path / "elsewhere"))
    with pytest.raises(CannotJoin, match="taken in at another desk"):
        measure_together(elsewhere, HERE, again, part.case_id)


def test_an_arrival_without_a_scan_is_no_partner_of_a_case(desk, part, tmp_path):
    empty = came(desk, tmp_path, "words", WHO)
    assert partners(desk, empty) == ()
    with pytest.raises(CannotJoin, match="brought no scan"):
        rescan(desk, empty, part.case_id, part.version)


def test_a_case_that_asks_for_nothing_that_scans_show_is_not_offered(desk, scan, tmp_path):
    retainer = (Appliance(type="vacuum-formed-retainer", arch="upper"),)
    case = scans_of(desk, scan).put_to(SPLINT.model_copy(update={"appliances": retainer}))
    booked = book(desk, case, "form", scan)
    assert asked(desk, booked.case_id) == {"thickness"}
    assert partners(desk, came(desk, tmp_path, "more", WHO, checked=False, upper="half")) == ()


def test_offers_name_each_case_once(desk, part, again):
    assert [offer.id for offer in offers(desk, case_of(desk, again), again)] == [part.case_id]


def test_a_message_that_came_twice_is_one_arrival(desk, scan, tmp_path):
    (received,) = receive(desk, [message(tmp_path, "scans", WHO, upper="upper", lower="lower")])
    assert received.already
    assert partners(desk, scan) == ()
