"""Sheets of codes at the desk: asked for, printed, in the history, and read again as what they stand for."""

from collections import Counter

import pytest

from intake.desk.code_sheets import NoCodes, print_bench_codes, print_box_labels, print_stickers
from intake.desk.issue import issue_waiting
from intake.domain.bench_rules import BoxNumbers
from intake.domain.scan_codes import ScanCode, read_code
from tests.desk.desks import demo_lab, enter_practices, open_desk, printed
from tests.documents.reading import rendered, scanned

LAB = demo_lab().model_copy(update={"boxes": BoxNumbers(first=1, last=60)})


@pytest.fixture
def desk(store, tmp_path):
    enter_practices(store)
    return open_desk(store, tmp_path, lab=LAB)


def codes_of(desk, issued):
    pages = rendered(desk.store.read.pdf(issued.document.document_id), 300)
    return Counter(read_code(text, LAB) for page in pages for text in scanned(page))


def test_stickers_of_a_practice_are_printed_and_read_as_that_practice(desk, tmp_path):
    issued = print_stickers(desk, "marlow1", sheets=2)
    assert issued.sent
    assert issued.document.practice_code == "MARLOW1"
    assert codes_of(desk, issued) == {ScanCode("practice", "MARLOW1"): 48}
    assert len(printed(tmp_path)) == 1


def test_the_codes_of_all_benches_are_read_as_those_benches(desk):
    assert codes_of(desk, print_bench_codes(desk)) == Counter(ScanCode("bench", name) for name in LAB.bench_by_name)


def test_the_labels_of_boxes_are_read_as_those_boxes(desk):
    assert codes_of(desk, print_box_labels(desk, 5, 40)) == Counter(ScanCode("box", str(n)) for n in range(5, 41))


@pytest.mark.parametrize(
    ("ask", "why"),
    [
        (lambda desk: print_stickers(desk, "NOBODY9"), "no practice “NOBODY9”"),
        (lambda desk: print_stickers(desk, "MARLOW1", 0), "1 to 50 sheets"),
        (lambda desk: print_stickers(desk, "MARLOW1", 51), "1 to 50 sheets"),
        (lambda desk: print_box_labels(desk, 1, 61), "are 1 to 60"),
        (lambda desk: print_box_labels(desk, 9, 8), "9 to 8 was asked for"),
    ],
)
def test_what_cannot_be_printed_is_refused_and_nothing_waits(desk, ask, why):
    with pytest.raises(NoCodes, match=why):
        ask(desk)
    assert desk.store.read.documents_waiting() == ()


def test_a_lab_whose_boxes_have_no_numbers_has_no_labels(store, tmp_path):
    desk = open_desk(store, tmp_path, lab=LAB.model_copy(update={"boxes": None}))
    with pytest.raises(NoCodes, match="have no numbers"):
        print_box_labels(desk, 1, 2)


def test_without_a_printer_the_sheet_waits_and_goes_out_later(store, tmp_path):
    enter_practices(store)
    none = LAB.model_copy(update={"letter": LAB.letter.model_copy(update={"queue": None})})
    issued = print_bench_codes(open_desk(store, tmp_path, lab=none))
    assert issued.problem == "No printer is chosen for bench codes. Choose one, then send what waits again."
    (sent,) = issue_waiting(open_desk(store, tmp_path, lab=LAB))
    assert sent.sent
