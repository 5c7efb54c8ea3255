"""One code in, one meaning out: tickets first, then replies, the lab's own, and what is on parcels."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.bench_rules import Bench, BoxNumbers
from intake.domain.job_number import JobNumber
from intake.domain.own_codes import box_code, own_code
from intake.domain.parcel_labels import sscc_check_digit
from intake.domain.parcel_rules import Carrier, ParcelRules
from intake.domain.reply_number import reply_number
from intake.domain.scan_codes import CodeRefused, ScanCode, read_code
from tests.domain.small_lab import SMALL_LAB

LAB = SMALL_LAB.model_copy(
    update={
        "benches": (Bench(name="Wax & fix"), Bench(name="Prüfen")),
        "boxes": BoxNumbers(first=1, last=400),
        "parcels": ParcelRules(carriers=(Carrier(service="Night express", pattern="[0-9]{14}"),)),
    }
)
TICKET = JobNumber.make(26, 4123)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (TICKET.barcode(2), ScanCode("ticket", TICKET.digits, 2)),
        (TICKET.shown, ScanCode("ticket", TICKET.digits)),
        ("]C1" + TICKET.barcode(2), ScanCode("ticket", TICKET.digits, 2)),
        (reply_number(187), ScanCode("reply", "187")),
        (reply_number(187).lower(), ScanCode("reply", "187")),
        (own_code("practice", "Marlow 1"), ScanCode("practice", "MARLOW 1")),
        (own_code("bench", "prüfen"), ScanCode("bench", "Prüfen")),
        (own_code("bench", "WAX & FIX").lower(), ScanCode("bench", "Wax & fix")),
        (own_code("bench", "Bench"), ScanCode("bench", "Bench")),  # a bench that only a route names
        (own_code("box", "17"), ScanCode("box", "17")),
        (box_code(7), ScanCode("box", "7")),
        ("rb473124829gb", ScanCode("parcel", "RB473124829GB")),
        ("]c100376104250021234569", ScanCode("parcel", "376104250021234569")),
        ("99 9999 9999 9999", ScanCode("parcel", "99999999999999")),  # fits the carrier's pattern, is no job number
    ],
)
def test_a_code_says_what_it_belongs_to(text, code):
    assert read_code(text, LAB) == code


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("260041277601", "is no job number: one digit is wrong"),
        ("12345", "too short"),
        ("R00018767", "is no number of a reply form"),
        ("RB473124828GB", "is 8 where 9 belongs"),
        ("376104250021234568", "is 8 where 9 belongs"),
        ("LPRMARLOW1P", "is damaged"),
        (own_code("bench", "Gold"), "no such bench now"),
        (own_code("box", "401"), "the boxes of this lab are 1 to 400"),
        (own_code("box", "A1"), "the boxes of this lab are 1 to 400"),
        ("HELLO12", "go to Parcels and scan it again"),
        ("", "is no ticket"),
    ],
)
def test_what_says_nothing_is_refused_with_the_reason(text, why):
    with pytest.raises(CodeRefused, match=why):
        read_code(text, LAB)


def test_a_code_is_told_in_words():
    told = [read_code(text, LAB).words for text in (TICKET.barcode(1), reply_number(187), own_code("box", "17"))]
    assert told == [f"Ticket {TICKET.shown}", "Reply form 187", "Box 17"]


def test_a_numbered_box_means_nothing_where_boxes_have_no_numbers():
    with pytest.raises(CodeRefused, match="have no numbers"):
        read_code(own_code("box", "17"), SMALL_LAB)


@pytest.mark.parametrize("text", ["HELLO12", "RB473124828GB", "376104250021234568", "12345", "260041277601"])
def test_while_a_parcel_is_opened_everything_else_is_its_label(text):
    """Even with a wrong check digit: the parcel is there, and what is wrong with the label is said beside it."""
    assert read_code(text, LAB, any_label=True) == ScanCode("parcel", text)


@pytest.mark.parametrize("text", [TICKET.barcode(1), reply_number(187), own_code("practice", "MARLOW1")])
def test_the_lab_s_own_numbers_are_never_taken_for_a_label(text):
    assert read_code(text, LAB, any_label=True).kind != "parcel"


@given(st.integers(2000, 2099), st.integers(1, 99_999_999), st.integers(1, 99))
def test_every_ticket_is_a_ticket(year, running, copy):
    number = JobNumber.make(year, running)
    for any_label in (False, True):
        assert read_code(number.barcode(copy), LAB, any_label) == ScanCode("ticket", number.digits, copy)


@given(st.from_regex(r"[0-9]{17}", fullmatch=True), st.sampled_from(["", "00", "]C100", "(00)"]))
def test_no_sscc_is_taken_for_a_ticket(digits, before):
    number = digits + sscc_check_digit(digits)
    assert read_code(before + number, LAB) == ScanCode("parcel", number)


@given(st.text(max_size=70), st.booleans())
def test_whatever_comes_is_read_or_refused_with_a_sentence(text, any_label):
    try:
        said = read_code(text, LAB, any_label).value
    except CodeRefused as refused:
        said = str(refused)
    assert said
