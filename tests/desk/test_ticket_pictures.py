"""The scans on a ticket: on every one where the setup wants them, or on the copy that is made for them."""

from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from intake.desk.book_in import book, book_arrival
from intake.desk.case_scans import panel_of_case, scans_of_case
from intake.desk.issue import issue_all, issue_waiting
from intake.desk.receive import receive
from intake.desk.reprint import reprint
from intake.desk.scan_checks import CheckHere, check_all
from intake.desk.ticket_pictures import PICTURES, NoPictures, with_pictures
from intake.documents.ticket import Ticket
from intake.domain.job_number import read_number
from intake.domain.texts import with_texts
from intake.resources import demo
from tests.desk.desks import day_case, demo_lab, enter_practices, open_desk
from tests.documents.reading import text_of
from tests.scans.arches import arch, half
from tests.scans.writers import ply

SPLINT = demo("scans") / "1-splint-registered"
BARE = Ticket("26 004123 76", "260041237601", "Splints", "Blue", "#1f6fb4", "Marlow Street")


@pytest.fixture
def eager(store, tmp_path):
    """A desk whose setup wants the pictures on every ticket."""
    enter_practices(store)
    ticket = demo_lab().ticket.model_copy(update={"scan_pictures": True})
    return open_desk(store, tmp_path, lab=demo_lab().model_copy(update={"ticket": ticket}))


@pytest.fixture
def folder(tmp_path):
    """A delivery: the splint's prescription and these files."""

    def folder(**files):
        place = tmp_path / "_".join(files)
        place.mkdir()
        (place / "prescription.json").write_bytes((SPLINT / "prescription.json").read_bytes())
        for name, content in files.items():
            (place / f"{name}.ply").write_bytes(content if isinstance(content, bytes) else ply(content))
        return place

    return folder


def came(desk, path, *, check=True):
    """Takes a delivery in and books it; the case and its only job."""
    (arrival_id,) = {row.arrival_id for row in receive(desk, [path])}
    if check:
        check_all(desk, CheckHere())
    booked = book_arrival(desk, arrival_id)
    return booked, read_number(booked.jobs[0].number)


def pdf_of(desk, issued):
    return desk.store.read.pdf(issued.document.document_id)


def pictures(pdf):
    return sum(len(page.images) for page in PdfReader(BytesIO(pdf)).pages)


def words(pdf):
    return " ".join(" ".join(text_of(pdf)).split())


def copies(desk, number):
    return [row.copy for row in desk.store.read.documents_of(number.digits)]


def test_a_ticket_shows_no_scans_unless_it_is_asked_to(desk):
    booked, _ = came(desk, SPLINT)
    (issued,) = issue_all(desk, booked.tickets)
    assert pictures(pdf_of(desk, issued)) == 0
    assert "Not pictured" not in words(pdf_of(desk, issued))


def test_the_copy_for_the_pictures_shows_upper_lower_and_both_from_the_front(desk):
    booked, number = came(desk, SPLINT)
    issue_all(desk, booked.tickets)
    desk = replace(desk, lab=with_texts(desk.lab, {("words", "ticket", "front"): "Facing"}))
    pdf = pdf_of(desk, reprint(desk, number, PICTURES))
    assert pictures(pdf) == 3
    assert "Scans Upper Lower Facing" in words(pdf)
    assert "pictures of the scans. Earlier tickets of this job are void." in words(pdf)
    assert len(pdf) < 150_000


def test_where_the_setup_wants_them_every_ticket_shows_the_scans(eager):
    booked, number = came(eager, SPLINT)
    (issued,) = issue_all(eager, booked.tickets)
    assert pictures(pdf_of(eager, issued)) == 3
    assert pictures(pdf_of(eager, reprint(eager, number, "lost"))) == 3


def test_a_case_without_files_has_a_ticket_like_any_other_though_the_setup_wants_pictures(eager):
    booked = book(eager, day_case("01"), "form")
    (issued,) = issue_all(eager, booked.tickets)
    assert pictures(pdf_of(eager, issued)) == 0
    assert "Scans" not in text_of(pdf_of(eager, issued))[0].splitlines()


def test_a_copy_that_waits_to_be_drawn_still_has_its_pictures(desk):
    _, number = came(desk, SPLINT)
    with desk.work() as work:  # as when the desk's machine stops before the ticket is drawn
        work.documents.next_copy(number.digits, PICTURES)
        work.commit()
    (issued,) = issue_waiting(desk)
    assert pictures(pdf_of(desk, issued)) == 3


def test_the_next_copy_for_another_reason_has_none(desk):
    _, number = came(desk, SPLINT)
    reprint(desk, number, PICTURES)
    assert pictures(pdf_of(desk, reprint(desk, number, "lost"))) == 0


def test_of_a_case_whose_scans_did_not_come_as_files_no_copy_is_made_for_pictures(desk):
    booked = book(desk, day_case("01"), "form")
    number = read_number(booked.jobs[0].number)
    with pytest.raises(NoPictures, match="No file of a scan came with this case"):
        reprint(desk, number, PICTURES)
    assert copies(desk, number) == [1]


def test_nor_before_the_scans_are_checked(desk):
    _, number = came(desk, SPLINT, check=False)
    with pytest.raises(NoPictures, match="still to be checked"):
        reprint(desk, number, PICTURES)
    check_all(desk, CheckHere())
    assert pictures(pdf_of(desk, reprint(desk, number, PICTURES))) == 3


def test_nor_where_no_scan_can_be_read(desk, folder):
    _, number = came(desk, folder(upper=ply(arch("upper", 2_000))[:3_000]))
    with pytest.raises(NoPictures, match="No scan of this case can be read"):
        reprint(desk, number, PICTURES)


def test_scans_that_are_not_checked_yet_are_told_on_the_ticket(eager):
    booked, _ = came(eager, SPLINT, check=False)
    (issued,) = issue_all(eager, booked.tickets)
    assert "Not pictured: 2 scans not checked yet." in words(pdf_of(eager, issued))


def test_of_many_scans_the_arches_are_shown_and_the_others_counted(eager, folder):
    upper, lower = arch("upper", 2_000), arch("lower", 2_000)
    booked, _ = came(eager, folder(upper=upper, lower=lower, bite=half(lower), model=half(upper)))
    (issued,) = issue_all(eager, booked.tickets)
    shown = words(pdf_of(eager, issued))
    assert "Scans Upper Lower Front" in shown
    assert "Not pictured: 2 more scans." in shown


def test_a_scan_whose_jaw_nobody_knows_is_shown_as_such(eager, folder):
    booked, _ = came(eager, folder(model=half(arch("upper", 2_000))))
    (issued,) = issue_all(eager, booked.tickets)
    assert "Scans Which jaw?" in words(pdf_of(eager, issued))
    assert pictures(pdf_of(eager, issued)) == 1


def test_a_scan_that_came_again_takes_the_place_of_the_old_one(desk, folder):
    booked, _ = came(desk, SPLINT)
    before = with_pictures(desk, booked.case_id, BARE, PICTURES)
    (again,) = receive(desk, [folder(upper=arch("upper", 2_000))])
    check_all(desk, CheckHere())
    with desk.work() as work:
        work.arrivals.booked(again.arrival_id, booked.case_id)
        work.commit()
    after = with_pictures(desk, booked.case_id, BARE, PICTURES)
    assert [each.name for each in before.pictures] == ["Upper", "Lower", "Front"]
    # The front of the old pair would show an upper that is used no more.
    assert [each.name for each in after.pictures] == ["Upper", "Lower"]
    assert after.pictures[0] != before.pictures[0]
    assert after.pictures_note == "Not pictured: 1 more scan."
    assert panel_of_case(desk, booked.case_id).arrival_id == again.arrival_id
    assert list(scans_of_case(desk, booked.case_id)) == [again.arrival_id, booked.arrival_id]


def test_a_case_without_scans_has_no_panel(desk):
    assert panel_of_case(desk, book(desk, day_case("01"), "form").case_id) is None
