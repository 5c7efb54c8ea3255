"""What else becomes of a case: sent back, split, merged, made again. By keys, and undone by one of them."""

import pytest
from PySide6.QtWidgets import QApplication, QDialog

from intake.desk.book_in import amend, book
from intake.desk.hand_over import hand_over
from intake.desk.reprint import reprint
from intake.domain.job_number import JobNumber, read_number
from intake.domain.scan_codes import ScanCode
from intake.ui.actions import ACTIONS
from intake.ui.lookup.deed_dialog import DeedDialog
from intake.ui.lookup.further import ONE_ALONE
from intake.ui.lookup.merge_dialog import CHOOSE, MergeDialog
from intake.ui.lookup.place import FURTHER
from tests.desk.desks import day_case
from tests.desk.standing import stands
from tests.ui.lookup.test_place import card_words
from tests.ui.sizes import SIZES

SPLIT, MERGE, REMAKE, RETURN = "Ctrl+Shift+S", "Ctrl+Shift+M", "Ctrl+Shift+R", "Ctrl+Shift+B"
TWO = "qs 885"
"""The reference of a case with a splint and retainers."""


@pytest.fixture
def dialog(look_up, qtbot):
    """The dialog that opens."""

    def opened(kind=DeedDialog):
        def there():
            found = look_up.findChildren(kind)
            return bool(found) and found[-1].isActiveWindow()

        qtbot.waitUntil(there)
        return look_up.findChildren(kind)[-1]

    return opened


@pytest.fixture
def undo(look_up, press, qtbot, settled):
    """Takes back what was just done, by its key."""

    def undone():
        with qtbot.waitActive(look_up.window()):  # a screen’s window manager does this
            look_up.window().activateWindow()
        press(look_up, "F8")
        settled()

    return undone


@pytest.fixture
def twice(desk, booked):
    """The splint of the second case booked once more, with another thickness and a note."""
    case = day_case("02")
    options = case.appliances[0].options.model_copy(update={"thickness_mm": 3.0})
    here = day_case("02").appliances[0].options.model_copy(update={"thickness_mm": 2.0})
    first = case.model_copy(update={"appliances": (case.appliances[0].model_copy(update={"options": here}),)})
    amend(desk, booked["02"].case_id, booked["02"].version, first)
    other = {"appliances": (case.appliances[0].model_copy(update={"options": options}),), "notes": "ring first"}
    return book(desk, case.model_copy(update=other), "twice")


def state(desk, booked):
    return desk.store.read.case(booked.case_id).state


def test_the_deeds_are_in_a_menu_with_their_keys(look_up, room):
    actions = look_up._further.menu().actions()
    assert [action.shortcut().toString() for action in actions] == [RETURN, SPLIT, MERGE, REMAKE]
    assert {row.id for row in ACTIONS if row.group == "&Further"} == set(FURTHER)


@pytest.mark.parametrize(
    ("key", "says"),
    [
        (SPLIT, "split its case"),
        (MERGE, "merge its case"),
        (REMAKE, "make it again"),
        (RETURN, "send its case back"),
    ],
)
def test_without_a_job_nothing_is_done_and_the_desk_is_told_why(look_up, desk, press, room, key, says):
    look_up.set_desk(desk)
    press(look_up, key)
    assert room.news.words.text() == f"Choose a job first, to {says}."
    assert look_up.findChild(QDialog) is None


def test_a_case_is_split_by_keys_and_is_one_again(
    look_up, found, booked, desk, press, dialog, qtbot, settled, room, undo
):
    found(TWO)
    before = stands(desk, booked["18"].case_id)
    press(look_up, SPLIT)
    asked = dialog()
    assert asked.focusWidget() is asked.list
    press(asked, "Down", "Space")
    assert asked.ticked == (1,)
    with qtbot.waitSignal(look_up.issued) as issued:
        press(asked, "Return")
    settled()
    assert [each.sent for each in issued.args[0]] == [True, True]  # of what left, and the next copy of what stayed
    assert room.news.words.text().startswith("Split off: ")
    (link,) = desk.store.read.links_of(booked["18"].case_id)
    assert link.reason == "two prescriptions on one sheet"
    new = desk.store.read.jobs_of(link.case_id)[0]
    assert f"Split off as {JobNumber(new.number).shown}: two prescriptions on one sheet" in card_words(look_up)
    undo()
    assert room.news.words.text() == "The case is one again."
    assert stands(desk, booked["18"].case_id) == before
    assert "Taken back" in card_words(look_up)


def test_the_patient_of_the_new_case_is_typed(look_up, found, booked, desk, press, type_text, dialog, settled):
    found(TWO)
    press(look_up, SPLIT)
    asked = dialog()
    press(asked, "Space", "Alt+P")
    type_text(asked, "K. Whitcombe")
    press(asked, "Alt+R")
    type_text(asked, "QS 999")
    press(asked, "Alt+H", "Down", "Return")
    settled()
    (link,) = desk.store.read.links_of(booked["18"].case_id)
    patient = desk.store.read.case(link.case_id).case.patient
    assert (patient.label, patient.reference, link.reason) == ("K. Whitcombe", "QS 999", "two patients in one bag")


@pytest.mark.parametrize("ticked", [(), ("Space", "Down", "Space")], ids=["none", "all"])
def test_neither_nothing_nor_all_is_split_off(look_up, found, booked, desk, press, dialog, ticked):
    found(TWO)
    press(look_up, SPLIT)
    asked = dialog()
    press(asked, *ticked, "Return")
    assert asked.isVisible()
    assert "leave at least one line" in asked.refused.text()
    press(asked, "Space")
    assert not asked.refused.isVisible()
    press(asked, "Escape")
    assert desk.store.read.links_of(booked["18"].case_id) == ()


def test_one_appliance_alone_is_not_split(look_up, found, press, room):
    found("qs 881")
    press(look_up, SPLIT)
    assert room.news.words.text() == ONE_ALONE
    assert look_up.findChild(DeedDialog) is None


def test_a_case_is_sent_back_with_what_is_ticked_and_taken_up_again(
    look_up, found, booked, desk, press, dialog, settled, room, undo
):
    found(TWO)
    press(look_up, RETURN)
    asked = dialog()
    assert asked.ticked == (0, 1, 2)
    press(asked, "Alt+B", "Down", "Space", "Return")
    settled()
    assert state(desk, booked["18"]) == "withdrawn"
    words = card_words(look_up)
    assert "Sent back to the practice: impression distorted. Upper impression and prescription sheet go back." in words
    assert look_up.card.box.accessibleDescription().endswith("WITHDRAWN")
    assert "It was sent back to the practice on Wed 25 Nov 2026: impression distorted." in look_up.card.replaced.text()
    undo()
    assert state(desk, booked["18"]) == "open"
    assert not look_up.card.replaced.isVisible()


def test_the_same_case_is_merged_and_what_differs_is_shown_first(
    look_up, found, booked, twice, desk, press, dialog, settled, room, undo
):
    found(JobNumber(booked["02"].jobs[0].number).shown)
    before = stands(desk, booked["02"].case_id), stands(desk, twice.case_id)
    press(look_up, MERGE)
    asked = dialog(MergeDialog)
    settled()
    assert asked.list.count() == 1
    assert asked.taken.text() == "It gets: the notes."
    assert asked.differs.text() == "Thickness of appliance 1: 2 mm stays, the other said 3 mm."
    assert asked.asks.isChecked()
    press(asked, "Alt+K", "Return")
    settled()
    assert state(desk, twice) == "withdrawn"
    case = desk.store.read.case(booked["02"].case_id).case
    assert (case.notes, case.raised) == ("ring first", ())
    assert "Merged with" in card_words(look_up)
    assert room.news.words.text().startswith("Merged into ")
    undo()
    assert (stands(desk, booked["02"].case_id), stands(desk, twice.case_id)) == before
    assert room.news.words.text() == "Both cases stand again."


def test_the_practice_is_asked_what_holds_unless_the_desk_says_no(
    look_up, found, booked, twice, desk, press, dialog, settled, room
):
    found(JobNumber(booked["02"].jobs[0].number).shown)
    press(look_up, MERGE)
    asked = dialog(MergeDialog)
    settled()
    press(asked, "Return")
    settled()
    assert "The practice is asked which holds." in room.news.words.text()
    (raised,) = desk.store.read.case(booked["02"].case_id).case.raised
    assert "2 mm or 3 mm" in raised.question


def test_the_other_case_is_typed_or_its_ticket_is_scanned(
    look_up, found, booked, desk, press, type_text, dialog, settled
):
    found("qs 881")
    press(look_up, MERGE)
    asked = dialog(MergeDialog)
    settled()
    assert "Nothing here looks like the same" in words_of(asked)
    press(asked, "Return")
    assert (asked.isVisible(), asked.refused.text()) == (True, CHOOSE)
    type_text(asked, JobNumber(booked["52"].jobs[0].number).shown)
    settled()
    assert asked.found.other.case_id == booked["52"].case_id
    asked.field.clear()
    assert asked.take_code(ScanCode("ticket", booked["62"].jobs[0].number, 1))
    settled()
    assert asked.found.other.case_id == booked["62"].case_id
    assert not asked.take_code(ScanCode("bench", "Casting"))
    press(asked, "Escape")
    assert state(desk, booked["62"]) == "open"


@pytest.mark.parametrize(
    ("typed", "says"), [("26", "Several cases fit"), ("zzz", "Nothing here fits"), ("qs 881", "the same case")]
)
@pytest.mark.sampled(1)
def test_what_names_no_other_case_is_refused_in_the_dialog(
    look_up, found, press, type_text, dialog, settled, typed, says
):
    found("qs 881")
    press(look_up, MERGE)
    asked = dialog(MergeDialog)
    settled()
    type_text(asked, typed)
    settled()
    assert says in asked.refused.text()
    press(asked, "Return")
    assert asked.isVisible()
    press(asked, "Escape")


def test_a_job_is_made_again_without_typing_and_the_remake_is_taken_back(
    look_up, found, booked, desk, press, dialog, qtbot, settled, room, undo
):
    found("qs 881")
    press(look_up, REMAKE)
    asked = dialog()
    assert (asked.ticked, asked.flag.isChecked()) == ((0,), True)
    with qtbot.waitSignal(look_up.issued):
        press(asked, "Return")
    settled()
    (link,) = desk.store.read.links_of(booked["02"].case_id)
    assert (link.kind, link.reason) == ("remake", "did not fit")
    new = desk.store.read.jobs_of(link.case_id)[0]
    assert f"Made again as {JobNumber(new.number).shown}: did not fit" in card_words(look_up)
    undo()
    assert room.news.words.text() == "The remake is withdrawn."
    assert desk.store.read.case(link.case_id).state == "withdrawn"
    assert desk.store.read.links_of(booked["02"].case_id) == ()


def test_without_the_models_what_is_needed_is_asked_for(look_up, found, booked, desk, press, dialog, settled):
    found(TWO)
    press(look_up, REMAKE)
    asked = dialog()
    press(asked, "Alt+D", "Alt+H", "Down", "Return")
    settled()
    (link,) = desk.store.read.links_of(booked["18"].case_id)
    case = desk.store.read.case(link.case_id).case
    assert (link.reason, case.items, len(case.appliances)) == ("broke", (), 1)
    assert "working-arch" in {query.requirement for query in desk.store.read.queries_of(link.case_id)}


def test_what_was_handed_over_since_is_not_taken_back_and_the_desk_is_told_why(
    look_up, found, booked, desk, press, dialog, settled, room, undo
):
    found(TWO)
    press(look_up, SPLIT)
    press(dialog(), "Space", "Return")
    settled()
    (link,) = desk.store.read.links_of(booked["18"].case_id)
    job = desk.store.read.jobs_of(link.case_id)[0]
    bench = desk.lab.category_by_id[job.category].route[0].bench
    assert hand_over(desk, bench, ScanCode("ticket", job.number, job.copy)).yes
    undo()
    assert "Not taken back. Job" in room.news.words.text()
    assert desk.store.read.case(link.case_id).state == "open"


def test_a_replaced_ticket_that_is_scanned_stands_in_the_history_once(look_up, found, booked, desk, settled):
    found("qs 881")
    number = read_number(booked["02"].jobs[0].number)
    reprint(desk, number, "lost")
    for _ in range(3):
        look_up.show_scanned(number.barcode(1))
        settled()
        look_up.begin_anew()
        settled()
    assert card_words(look_up).count(f"A replaced ticket, copy 1 of {number.shown}, was scanned by AB.") == 1
    assert "Copy 2 replaced it on Wed 25 Nov 2026, 10:30, by AB: lost." in look_up.card.replaced.text()


@pytest.mark.parametrize("scale", SIZES)
@pytest.mark.parametrize("key", [SPLIT, MERGE, REMAKE, RETURN])
@pytest.mark.sampled(4)
def test_every_dialog_fits_a_small_screen_with_its_buttons(
    look_up, found, booked, twice, press, qtbot, settled, look, key, scale
):
    """The screen of the tests is 800 pixels wide and high; so much is taken for what a small laptop has."""
    look.choose_scale(scale)
    found(TWO if key != MERGE else JobNumber(booked["02"].jobs[0].number).shown)
    press(look_up, key)
    qtbot.waitUntil(lambda: any(each.isVisible() for each in look_up.findChildren(QDialog)))
    settled()
    asked = next(each for each in look_up.findChildren(QDialog) if each.isVisible())
    qtbot.waitUntil(asked.isActiveWindow)
    available = asked.screen().availableGeometry()
    assert asked.height() <= available.height()
    for button in (asked.go_button, asked.leave_button):
        assert asked.rect().contains(button.geometry())
    focused = asked.focusWidget()
    assert not focused.visibleRegion().isEmpty()
    press(asked, "Escape")
    look.choose_scale(100)


@pytest.mark.parametrize("scale", SIZES)
def test_no_button_of_the_card_is_cut_at_any_size_of_text(look_up, found, look, settled, scale):
    look.choose_scale(scale)
    found(TWO)
    look_up.field.entered.emit()
    QApplication.processEvents()
    for button in (*look_up._buttons.values(), look_up._further):
        if button.isVisible():
            assert button.width() >= button.sizeHint().width(), button.text()
    look.choose_scale(100)


def words_of(dialog):
    from PySide6.QtWidgets import QLabel

    return "\n".join(part.text() for part in dialog.findChildren(QLabel) if part.isVisible())
