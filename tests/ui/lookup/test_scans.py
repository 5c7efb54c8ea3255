"""The scans of a job on the card: looked at closer, and printed on its ticket, by a key each."""

import pytest
from PySide6.QtWidgets import QApplication

from intake.desk.book_in import book_arrival
from intake.desk.issue import issue_all
from intake.desk.receive import receive
from intake.desk.scan_checks import CheckHere, check_all
from intake.resources import demo
from intake.ui.scans.looking import Looking
from tests.documents.reading import text_of
from tests.scans.arches import arch, half
from tests.scans.bringing import put

OF_SCANS = ("look-at-case-scans", "ticket-with-pictures")
PATIENT = "60214"
SPLINT = demo("scans") / "1-splint-registered"


def book_scans(desk, *, check):
    """The demo's splint that came as scans."""
    (arrival_id,) = {row.arrival_id for row in receive(desk, [SPLINT])}
    if check:
        check_all(desk, CheckHere())
    booked = book_arrival(desk, arrival_id)
    issue_all(desk, booked.tickets)
    return booked


@pytest.fixture
def scanned(desk):
    return book_scans(desk, check=True)


@pytest.fixture
def looking(look_up, qtbot):
    """The window in which scans are looked at, once it is open; it is closed afterwards."""

    def looking():
        qtbot.waitUntil(lambda: look_up.window().findChild(Looking) is not None)
        return look_up.window().findChild(Looking)

    yield looking
    for each in look_up.window().findChildren(Looking):
        each.reject()


def copies(desk, booked):
    return [(row.copy, row.reason) for row in desk.store.read.documents_of(booked.jobs[0].number)]


def test_one_key_looks_closer_at_the_scans_of_the_job(look_up, scanned, found, press, looking, settled):
    assert len(found(PATIENT)) == 1
    press(look_up, "Ctrl+L")
    dialog = looking()
    settled()
    shown = [dialog.list.item(row).text() for row in range(dialog.list.count())]
    assert shown == ["Upper  upper.ply", "Lower  lower.ply", "Both arches"]
    assert "mm" in dialog.told.toPlainText()


def test_no_key_is_named_that_does_nothing_here(look_up, desk, found, press, looking, settled, tmp_path):
    """Which jaw a scan shows is said in Arrivals, when the case is changed."""
    (arrival_id,) = {row.arrival_id for row in receive(desk, [_unnamed(tmp_path)])}
    check_all(desk, CheckHere())
    book_arrival(desk, arrival_id)
    found(PATIENT)
    press(look_up, "Ctrl+L")
    dialog = looking()
    settled()
    assert dialog.title.text() == "Which jaw?"
    assert dialog.hint.text() == ""


def _unnamed(folder):
    """The demo's prescription with a scan whose name says no jaw."""
    files = {"scan 1.ply": half(arch("upper", 2_000)), "prescription.json": (SPLINT / "prescription.json").read_bytes()}
    return put(folder / "unnamed", files)


def test_of_a_job_without_scans_the_news_says_so(look_up, found, press, settled, room):
    found("qs 881")
    press(look_up, "Ctrl+L")
    settled()
    assert room.news.words.text() == "No file of a scan came with the case of D.W. · QS 881."
    assert look_up.window().findChild(Looking) is None


def test_without_a_job_the_news_says_what_to_do_first(look_up, desk, press, settled, room):
    look_up.set_desk(desk)
    press(look_up, "Ctrl+L")
    assert room.news.words.text() == "Choose a job first, to look at its scans."
    press(look_up, "Ctrl+Shift+A")
    assert room.news.words.text() == "Choose a job first, to print its ticket with the pictures of its scans."


def test_one_key_prints_the_next_copy_with_the_pictures(look_up, scanned, found, desk, press, qtbot, settled):
    found(PATIENT)
    with qtbot.waitSignal(look_up.issued) as issued:
        press(look_up, "Ctrl+Shift+A")
    settled()
    (one,) = issued.args[0]
    assert one.sent
    assert copies(desk, scanned) == [(1, ""), (2, "pictures of the scans")]
    assert "Scans" in text_of(desk.store.read.pdf(one.document.document_id))[-1]


@pytest.mark.thorough
def test_a_ticket_whose_scans_are_not_checked_yet_says_when_to_print_it(look_up, desk, found, press, settled, room):
    booked = book_scans(desk, check=False)
    found(PATIENT)
    press(look_up, "Ctrl+Shift+A")
    settled()
    assert "still to be checked. Print the ticket when that is done." in room.news.words.text()
    assert copies(desk, booked) == [(1, "")]


def test_the_buttons_of_the_scans_are_there_where_the_job_has_some(look_up, scanned, found, room, settled):
    buttons = [look_up._buttons[name] for name in OF_SCANS]
    found(PATIENT)
    assert [button.isVisible() for button in buttons] == [True, True]
    assert all(look_up._buttons[name].text().endswith(room.keys.shown(name)) for name in OF_SCANS)
    found("qs 881")
    assert [button.isVisible() for button in buttons] == [False, False]


@pytest.mark.thorough
def test_the_button_looks_closer_too(look_up, scanned, found, looking):
    found(PATIENT)
    look_up._buttons["look-at-case-scans"].click()
    assert looking().isVisible()


@pytest.mark.thorough
def test_no_button_of_the_scans_is_cut_off_at_any_size_of_text(look_up, scanned, found, look, press):
    found(PATIENT)
    for scale in (100, 125, 150, 175, 200):
        look.choose_scale(scale)
        press(look_up, "Return")
        for width in (1366, look_up.minimumSizeHint().width()):
            look_up.window().resize(width, 768)
            for _ in range(5):  # a layout inside a layout comes to rest
                QApplication.processEvents()
            for name in OF_SCANS:
                button = look_up._buttons[name]
                assert button.isVisible()
                right = button.mapTo(look_up.card, button.rect().topRight()).x()
                assert right <= look_up.card.viewport().width(), (scale, width)


@pytest.mark.thorough
def test_who_leaves_while_the_scans_are_read_is_not_shown_them(look_up, scanned, found, press, settled):
    found(PATIENT)
    press(look_up, "Ctrl+L")
    look_up.forget()
    settled()
    assert look_up.window().findChild(Looking) is None
