"""People at the desk: entered, signed in by a PIN, shut out after wrong ones; what only a lead may do."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.people import (
    NotForYou,
    PersonWrong,
    PinWrong,
    change_person,
    enter_person,
    may,
    only_leads,
    people,
    set_pin,
    sign_in,
    signs_in,
    take_pin,
    with_people,
)
from intake.domain.people import PeopleRules
from intake.store.meanwhile import NotNow
from intake.store.opening import Store
from intake.store.tables import EventTable
from tests.desk.desks import NOW, demo_lab, open_desk

PIN, OTHER = "4711", "80535"


class Clock:
    def __init__(self):
        self.now = NOW

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def desk(sqlite_place, tmp_path, clock):
    store = Store.open(sqlite_place)
    yield open_desk(store, tmp_path, now=clock)
    store.close()


@pytest.fixture
def staffed(desk):
    """A lead and somebody at the desk, both with PINs; the lead is signed in."""
    enter_person(desk, "hw", "Hilde Warrender", "lead")
    enter_person(desk, "JT", "Jun Tanaka", "desk")
    set_pin(desk, "HW", PIN, PIN)
    lead = sign_in(desk, "hw", PIN)
    set_pin(lead, "JT", OTHER, OTHER)
    return with_people(lead)


def kinds(desk):
    return [event.kind for event in desk.store.read._events(EventTable.seq > 0)]


def test_as_long_as_nobody_has_a_pin_nobody_signs_in_and_everybody_may_everything(desk):
    enter_person(desk, "HW", "Hilde Warrender", "lead")
    desk = with_people(desk)
    assert not signs_in(desk)
    assert all(may(desk, deed) for deed in desk.lab.people.lead_only)
    with pytest.raises(PinWrong, match="Nobody with the initials HW can sign in here"):
        sign_in(desk, "HW", "")


def test_the_right_pin_signs_in_and_the_desk_is_theirs(staffed):
    assert (staffed.person, signs_in(staffed), may(staffed, "setup")) == ("HW", True, True)
    at_desk = sign_in(staffed, " jt ", OTHER)
    assert at_desk.person == "JT"
    with pytest.raises(NotForYou, match=r"^Only a lead may put a setup in force\. Ask one to sign in\.$"):
        only_leads(at_desk, "setup")
    with pytest.raises(NotForYou):
        enter_person(at_desk, "X", "Somebody", "lead")


def test_the_lab_says_what_only_a_lead_may(staffed):
    rules = PeopleRules(lead_only=("people",))
    at_desk = replace(sign_in(staffed, "JT", OTHER), lab=demo_lab().model_copy(update={"people": rules}))
    assert may(at_desk, "setup")
    assert not may(at_desk, "people")


def test_after_five_wrong_pins_none_is_taken_for_half_an_hour_not_even_the_right_one(staffed, clock):
    for left in ("4 tries are", "3 tries are", "2 tries are", "1 try is"):
        with pytest.raises(PinWrong, match=f"not the PIN of JT. {left} left"):
            sign_in(staffed, "JT", "0000")
    with pytest.raises(PinWrong, match="No PIN of theirs is taken until Wed 25 Nov 2026, 11:00"):
        sign_in(staffed, "JT", "0000")
    with pytest.raises(PinWrong, match=r"Too many wrong PINs\. Try again from Wed 25 Nov 2026, 11:00"):
        sign_in(staffed, "JT", OTHER)
    assert sign_in(staffed, "HW", PIN).person == "HW", "others are not shut out"
    clock.now += timedelta(minutes=30)
    assert sign_in(staffed, "JT", OTHER).person == "JT"


def test_guessing_gets_no_more_than_ten_tries_an_hour(staffed, clock):
    """OWASP ASVS 5.0 chapter 6 wants guesses bounded; ten an hour is a figure of ours."""
    tried, end = 0, clock.now + timedelta(hours=1)
    while clock.now < end:
        try:
            sign_in(staffed, "JT", "0000")
        except PinWrong as problem:
            tried += "not the PIN" in str(problem)
        clock.now += timedelta(minutes=2)
    assert tried <= 10


def test_a_right_pin_makes_wrong_ones_forgotten_and_a_new_pin_lets_in(staffed):
    for _ in range(3):
        with pytest.raises(PinWrong):
            sign_in(staffed, "JT", "0000")
    sign_in(staffed, "JT", OTHER)
    with pytest.raises(PinWrong, match="4 tries are left"):
        sign_in(staffed, "JT", "0000")
    set_pin(staffed, "JT", "97531", "97531")
    assert sign_in(staffed, "JT", "97531").person == "JT"


@pytest.mark.parametrize(
    ("pin", "again", "said"),
    [
        ("123", "123", "has 4 to 12 digits"),
        ("12a4", "12a4", "has 4 to 12 digits"),
        ("", "", "has 4 to 12 digits"),
        ("4711", "4712", "Type the PIN twice"),
        ("1111", "1111", "guessed first"),
        ("2345", "2345", "guessed first"),
        ("9876", "9876", "guessed first"),
    ],
)
@pytest.mark.sampled(3)
def test_a_pin_that_is_no_good_is_not_taken(staffed, pin, again, said):
    with pytest.raises(PinWrong, match=said):
        set_pin(staffed, "JT", pin, again)


def test_who_is_at_the_desk_changes_the_own_pin_and_no_other(staffed):
    at_desk = sign_in(staffed, "JT", OTHER)
    set_pin(at_desk, "JT", "8642", "8642")
    with pytest.raises(NotForYou):
        set_pin(at_desk, "HW", "8642", "8642")


def test_the_first_pin_is_a_leads_and_a_lead_always_stays(desk, staffed):
    for changed in (
        lambda: change_person(staffed, "HW", "Hilde Warrender", "desk", active=True),
        lambda: change_person(staffed, "HW", "Hilde Warrender", "lead", active=False),
        lambda: take_pin(staffed, "HW"),
    ):
        with pytest.raises(PersonWrong, match="A lead with a PIN has to stay"):
            changed()
    assert [person.role for person in people(staffed)] == ["lead", "desk"], "nothing of it was kept"
    change_person(staffed, "JT", "Jun Tanaka", "lead", active=True)
    assert change_person(staffed, "HW", "Hilde Warrender", "lead", active=False).active is False


def test_somebody_at_the_desk_cannot_have_the_first_pin(desk):
    enter_person(desk, "JT", "Jun Tanaka", "desk")
    with pytest.raises(PersonWrong, match="The first PIN has to be a lead’s"):
        set_pin(desk, "JT", OTHER, OTHER)


def test_who_has_left_signs_in_no_more_and_the_initials_stay_theirs(staffed):
    change_person(staffed, "JT", "Jun Tanaka", "desk", active=False)
    with pytest.raises(PinWrong, match="Nobody with the initials JT"):
        sign_in(staffed, "JT", OTHER)
    with pytest.raises(NotNow, match=r"JT is Jun Tanaka\. Choose other initials"):
        enter_person(staffed, "jt", "Jo Thorn", "desk")


def test_initials_are_a_few_letters_and_a_name_stands_beside_them(desk):
    for initials in ("", "TOOLONG", "a b", "<b>"):
        with pytest.raises(PersonWrong, match="one to four letters"):
            enter_person(desk, initials, "Somebody", "desk")
    with pytest.raises(PersonWrong, match="Give the name"):
        enter_person(desk, "AB", " ", "desk")


def test_the_hash_is_argon2id_and_neither_it_nor_the_pin_is_in_the_history(staffed):
    """RFC 9106: the text form begins with the variant, and its parameters are at least the second choice's 64 MiB."""
    hashed = staffed.store.read.person("HW").pin
    assert hashed.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    with pytest.raises(PinWrong):
        sign_in(staffed, "JT", "31415")
    told = "".join(str(event) for event in staffed.store.read._events(EventTable.seq > 0))
    assert PIN not in told
    assert "31415" not in told
    assert "argon2" not in told
    assert kinds(staffed) == ["person-entered"] * 2 + ["pin-set"] * 2 + ["pin-wrong"]
