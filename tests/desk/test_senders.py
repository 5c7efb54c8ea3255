"""Who sends scans: the practice of an address, by the setup, by what was booked, by the directory."""

import pytest

from intake.desk.book_in import book, book_arrival
from intake.desk.open_form import arrival_form
from intake.desk.receive import receive, receive_message
from intake.desk.senders import labels_of, practice_of_sender, sender_of
from intake.domain.case import Appliance, Case
from intake.domain.reading import find_practice
from intake.domain.scan_rules import Sender
from tests.desk.bags import PRESCRIPTION, mail, put, upper
from tests.desk.desks import demo_lab, enter_practices, open_desk

PORTAL = "no-reply@scans.example.com"


@pytest.fixture
def desk_with(store, tmp_path):
    """A desk whose setup names these senders."""
    enter_practices(store)

    def made(*senders):
        rules = demo_lab().scans.model_copy(update={"senders": senders})
        return open_desk(store, tmp_path, lab=demo_lab().model_copy(update={"scans": rules}))

    return made


def sent(desk, sender, text="Scans.", mark="1"):
    """The arrival of a mail from somebody."""
    (received,) = receive_message(desk, bytes(mail(text, {"upper.stl": upper()}, sender=sender, mark=mark)), "m.eml")
    return received.arrival_id


def booked_for(desk, arrival_id, practice):
    case = Case(practice=practice, appliances=(Appliance(type="occlusal-splint-hard", arch="upper"),))
    book(desk, case, f"token-{arrival_id}", arrival_id)


def test_an_address_of_the_setup_goes_before_its_domain_and_both_before_the_directory(desk_with):
    desk = desk_with(
        Sender(address="@scans.example.com", practice="OXMERE"),
        Sender(address="Front@Scans.Example.com", practice="FERNHAL"),
        Sender(address="desk@marlowe-house.example.com", practice="QUILLB2"),
    )
    assert practice_of_sender(desk, "front@scans.example.com") == "FERNHAL"
    assert practice_of_sender(desk, "Another@SCANS.example.com") == "OXMERE"
    assert practice_of_sender(desk, "desk@marlowe-house.example.com") == "QUILLB2"
    assert sender_of(desk, "x@notscans.example.com") is None
    assert practice_of_sender(desk, "") == practice_of_sender(desk, "nobody@example.com") == ""


def test_an_address_of_the_directory_fills_the_practice_in(desk_with):
    desk = desk_with()
    arrival_id = sent(desk, "Front desk <DESK@marlowe-house.example.com>")
    assert desk.store.read.arrival(arrival_id).practice == "Marlowe House Dental Practice"
    assert arrival_form(desk, arrival_id).typed["practice"] == "MARLOW1"


def test_a_practice_that_the_message_names_goes_before_its_address(desk_with):
    desk = desk_with()
    arrival_id = sent(desk, "desk@marlowe-house.example.com", "Practice: Oxmere Orthodontics")
    assert desk.store.read.arrival(arrival_id).practice == "Oxmere Orthodontics"


def test_a_practice_that_nobody_knows_gives_way_to_the_one_of_the_address(desk_with):
    desk = desk_with()
    arrival_id = sent(desk, "desk@marlowe-house.example.com", "Practice: The Dental Rooms")
    assert desk.store.read.arrival(arrival_id).practice == "Marlowe House Dental Practice"


def test_the_practice_that_an_unknown_senders_scans_were_booked_for_is_filled_in_the_next_time(desk_with):
    desk = desk_with()
    first = sent(desk, "Nurse <nurse@elsewhere.example.com>")
    assert desk.store.read.arrival(first).practice == ""
    booked_for(desk, first, "oxmere")
    second = sent(desk, "nurse@Elsewhere.example.com", mark="2")
    assert desk.store.read.arrival(second).practice == "Oxmere Orthodontics"
    (event,) = [each for each in desk.store.read.history_of_practice("OXMERE") if each.kind == "sender-known"]
    assert "nurse" not in str(event.details)
    assert event.personal == {"address": "nurse@elsewhere.example.com"}


def test_one_whose_scans_are_booked_for_several_practices_sends_for_many(desk_with):
    desk = desk_with()
    for mark, practice in enumerate(("OXMERE", "FERNHAL", "OXMERE", "OXMERE")):
        booked_for(desk, sent(desk, PORTAL, mark=str(mark)), practice)
    assert desk.store.read.sender(PORTAL) == ""
    assert practice_of_sender(desk, PORTAL) == ""


def test_an_address_of_the_directory_that_sends_for_another_practice_is_guessed_no_more(desk_with):
    desk = desk_with()
    booked_for(desk, sent(desk, "desk@marlowe-house.example.com"), "OXMERE")
    assert practice_of_sender(desk, "desk@marlowe-house.example.com") == ""


def test_nothing_is_learnt_of_a_sender_that_the_setup_names(desk_with):
    desk = desk_with(Sender(address="@scans.example.com"))
    booked_for(desk, sent(desk, PORTAL), "OXMERE")
    assert desk.store.read.sender(PORTAL) is None
    assert practice_of_sender(desk, PORTAL) == ""


def test_nothing_is_learnt_where_the_directory_says_the_same_or_nobody_sent_it(desk_with, tmp_path):
    desk = desk_with()
    booked_for(desk, sent(desk, "desk@marlowe-house.example.com"), "MARLOW1")
    assert desk.store.read.sender("desk@marlowe-house.example.com") is None
    (received,) = receive(desk, put(tmp_path / "in", order_json=PRESCRIPTION))
    book_arrival(desk, received.arrival_id)
    assert desk.store.read.sender("") is None


def test_an_address_that_two_practices_share_says_neither(desk_with):
    desk = desk_with()
    with desk.work() as work:
        for code in ("OXMERE", "FERNHAL"):
            practice = find_practice(code, desk.practices())
            work.practices.save(practice.model_copy(update={"code": f"{code}2", "email": "group@example.com"}))
        work.commit()
    assert practice_of_sender(desk, "group@example.com") == ""


def test_a_senders_labels_take_the_place_of_the_usual_ones_field_by_field(desk_with):
    desk = desk_with(Sender(address="@scans.example.com", labels={"patient": ("Name",)}))
    labels = labels_of(desk, PORTAL)
    assert labels["patient"] == ("Name",)
    assert labels["notes"] == labels_of(desk, "nobody@example.com")["notes"] == ("Notes", "Remarks")
