"""What is typed into Hand over, and which box label belongs to which ticket."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.job_number import JobNumber, NumberRefused
from intake.domain.own_codes import OwnCodeRefused, own_code
from intake.domain.scan_codes import ScanCode
from intake.ui.handover.pairing import TOGETHER_SECONDS, Pairing
from intake.ui.handover.typed import NotUnderstood, read_typed

BENCHES = ("Casting", "Splints", "Sleep", "Setting up", "Checking")
NUMBER = JobNumber.make(2026, 4123)
TICKET, OTHER = ScanCode("ticket", NUMBER.digits, 1), ScanCode("ticket", JobNumber.make(2026, 4124).digits, 1)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("1", ScanCode("bench", "Casting")),
        ("05", ScanCode("bench", "Checking")),
        ("set", ScanCode("bench", "Setting up")),
        ("SPL", ScanCode("bench", "Splints")),
        ("b12", ScanCode("box", "12")),
        ("box 012", ScanCode("box", "12")),
        (own_code("box", "7"), ScanCode("box", "7")),
        (own_code("bench", "Setting up").lower(), ScanCode("bench", "Setting up")),
        (NUMBER.shown, ScanCode("ticket", NUMBER.digits)),
        (NUMBER.digits, ScanCode("ticket", NUMBER.digits)),
        (NUMBER.barcode(2), ScanCode("ticket", NUMBER.digits, 2)),
    ],
)
def test_what_is_typed_is_a_bench_a_ticket_or_a_box(typed, code):
    assert read_typed(typed, BENCHES) == code


@pytest.mark.parametrize("typed", ["0", "6", "s", "wire", "%", "box", "12 34 56 78 90 12 34"])
def test_what_is_none_of_these_is_refused_with_the_reason(typed):
    with pytest.raises((NotUnderstood, NumberRefused), match=r"\.$"):
        read_typed(typed, BENCHES)


def test_a_bench_whose_name_begins_like_anothers_is_found_by_its_whole_name():
    assert read_typed("wire", ("Wire", "Wire bending")) == ScanCode("bench", "Wire")


@given(st.text(min_size=1).filter(str.strip))
def test_whatever_is_typed_gets_a_code_or_a_sentence(text):
    with suppress(NotUnderstood, NumberRefused, OwnCodeRefused):
        assert read_typed(text, BENCHES).kind in ("bench", "ticket", "box")


class Clock:
    def __init__(self):
        self.now = 1000.0

    def __call__(self):
        return self.now


def test_a_label_belongs_to_the_ticket_right_before_it_or_right_after():
    pairing = Pairing(Clock())
    assert pairing.ticket(TICKET) is None
    assert pairing.box(12) == TICKET
    assert pairing.box(13) is None
    assert pairing.ticket(OTHER) == 13


def test_each_belongs_to_one_other_only():
    pairing = Pairing(Clock())
    pairing.ticket(TICKET)
    pairing.box(12)
    assert pairing.box(13) is None
    assert pairing.ticket(OTHER) == 13
    assert pairing.box(14) is None


def test_what_is_scanned_much_later_belongs_to_nothing():
    clock = Clock()
    pairing = Pairing(clock)
    pairing.ticket(TICKET)
    clock.now += TOGETHER_SECONDS + 1
    assert pairing.box(12) is None
    clock.now += TOGETHER_SECONDS + 1
    assert pairing.ticket(OTHER) is None


def test_what_was_scanned_for_another_bench_is_forgotten():
    pairing = Pairing(Clock())
    pairing.ticket(TICKET)
    pairing.forget()
    assert pairing.box(12) is None
