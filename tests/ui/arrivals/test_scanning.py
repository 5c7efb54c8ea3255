"""The scans of the arrival in the form: seen above it, chosen by keys, and what came follows in the form."""

import pytest
from PySide6.QtWidgets import QApplication

from intake.desk.look_up import find
from intake.desk.receive import receive
from intake.desk.scan_checks import CheckHere, check_all
from intake.ui.arrivals.scanning import NO_SCAN, NONE_CHOSEN, STILL_CHECKED, UNIT_KNOWN
from intake.ui.arrivals.waiting_model import came_of, said_of
from intake.ui.scans.checks import Checks
from tests.scans import arches
from tests.scans.bringing import bring, mail, pair, put, two_arches, unnamed
from tests.ui.sizes import SIZES

ITEMS = "items"


@pytest.fixture
def bring_in(desk, tmp_path):
    return lambda name, files, checked=True: bring(desk, tmp_path / name, files, checked)


@pytest.fixture
def worker(person, desk, qtbot):
    """What the window checks scans by, connected as in the window."""
    scanning = person.place.scanning
    checks = Checks(person.place._room, person.place)
    scanning.to_measure.connect(checks.measure)
    checks.checked.connect(scanning.on_checked)
    checks.checked.connect(person.place.arriving.read)
    checks.set_desk(desk)
    person.wait()
    yield checks
    checks.stop()
    checks.close()


@pytest.fixture
def opened(person):
    """Opens an arrival in the form."""

    def open_one(arrival_id):
        person.place.arriving.read()
        person.wait()
        person.place.arriving.open(arrival_id)
        return person.wait()

    return open_one


def strip(person):
    return person.place.strip


def under(person):
    return [thumb.words for thumb in strip(person).thumbs if thumb.isVisible()]


def test_the_scans_of_what_is_opened_are_shown_and_gone_with_the_next_form(person, bring_in, opened):
    arrival_id = bring_in("a", two_arches())
    assert not strip(person).isVisible()
    opened(arrival_id)
    assert under(person) == ["Upper", "Lower", "Both arches"]
    assert person.text(ITEMS) == "upper scan; lower scan"
    person.press("Ctrl+N").wait()
    assert not strip(person).isVisible()


def test_an_arrival_by_post_has_no_strip(person, take_in_files, opened):
    (taken,) = take_in_files("01")
    opened(taken.arrival_id)
    assert not strip(person).isVisible()


def test_jaws_and_unit_are_chosen_by_keys_and_what_came_and_the_arches_follow(person, bring_in, opened, worker):
    opened(bring_in("a", unnamed(unit="inch")))
    assert person.text(ITEMS) == "scan; scan"
    person.press("Ctrl+Up").wait()
    assert person.news == "scan 1.ply is the upper."
    assert person.text(ITEMS) == "upper scan; scan"
    person.press("Ctrl+I").wait()
    assert person.news == "scan 1.ply is in inches."
    person.press("Ctrl+PgDown")
    assert person.news == "Scan 2 of 2, Which jaw?: scan 2.ply"
    person.press("Ctrl+Down").wait().press("Ctrl+I").wait()
    assert person.text(ITEMS) == "upper scan; lower scan"
    assert under(person) == ["Upper", "Lower", "Both arches"]
    assert "look registered" in strip(person).words.text()
    assert strip(person).hint.isHidden()


@pytest.mark.thorough
def test_keys_that_follow_one_another_at_once_are_all_done(person, bring_in, opened, worker):
    opened(bring_in("a", unnamed(unit="inch")))
    person.press("Ctrl+Up", "Ctrl+I", "Ctrl+PgDown", "Ctrl+Down", "Ctrl+I").wait()
    assert person.text(ITEMS) == "upper scan; lower scan"
    assert under(person) == ["Upper", "Lower", "Both arches"]


def test_a_wrong_key_is_put_right_by_the_right_one(person, bring_in, opened):
    opened(bring_in("a", unnamed()))
    person.press("Ctrl+Down").wait().press("Ctrl+Up").wait()
    assert person.text(ITEMS) == "upper scan; scan"
    assert strip(person).current.seen.file.name == "scan 1.ply"


def test_a_scan_can_be_a_bite(person, bring_in, opened):
    opened(bring_in("a", unnamed()))
    person.press("Ctrl+Shift+B").wait()
    assert person.text(ITEMS) == "scan; bite unknown kind scan"
    assert person.news == "scan 1.ply is a bite."


def test_one_key_takes_a_choice_back_and_only_that(person, bring_in, opened, worker):
    opened(bring_in("a", unnamed(unit="inch")))
    person.press("Ctrl+Up", "Ctrl+I").wait()
    person.press("F8").wait()
    assert person.news == "Taken back: the scan is what it was before."
    assert person.text(ITEMS) == "upper scan; scan"
    assert strip(person).current.unit_offered == "inches"
    person.press("Ctrl+Down").wait().press("F8").wait()
    assert person.text(ITEMS) == "upper scan; scan", "what it was before: the upper"


def test_what_was_chosen_is_also_known_in_the_list_and_after_opening_it_again(person, bring_in, opened):
    arrival_id = bring_in("a", unnamed())
    opened(arrival_id).press("Ctrl+Up", "Ctrl+PgDown", "Ctrl+Down").wait().press("Ctrl+N").wait()
    opened(arrival_id)
    assert person.text(ITEMS) == "upper scan; lower scan"


def test_without_a_scan_each_key_gives_a_sentence(person):
    for key in ("Ctrl+Up", "Ctrl+Down", "Ctrl+Shift+B", "Ctrl+I", "Ctrl+PgDown", "Ctrl+L"):
        person.place._room.news.tell("")
        person.press(key).wait()
        assert person.news == NO_SCAN, key


@pytest.mark.thorough
def test_a_unit_that_is_known_or_not_yet_is_not_chosen(person, bring_in, opened):
    opened(bring_in("a", two_arches()))
    person.press("Ctrl+I").wait()
    assert person.news == UNIT_KNOWN
    opened(bring_in("b", two_arches(1.1), checked=False))
    person.press("Ctrl+I").wait()
    assert person.news == STILL_CHECKED


def test_a_jaw_can_be_chosen_while_the_scan_is_still_being_checked(person, bring_in, opened, desk):
    opened(bring_in("a", unnamed(), checked=False))
    person.press("Ctrl+Up").wait()
    assert person.text(ITEMS) == "upper scan; scan"
    check_all(desk, CheckHere())
    person.place.scanning.on_checked((strip(person).panel.arrival_id,))
    person.wait()
    assert under(person)[0] == "Upper"


@pytest.mark.thorough
def test_the_keys_work_in_whatever_field_the_hands_are_and_leave_no_character(person, bring_in, opened):
    opened(bring_in("a", unnamed()))
    for letter, place in (("P", "practice"), ("L", "patient.label"), ("A", "appliances[0]"), ("N", "notes")):
        person.press(f"Alt+{letter}")
        before = person.text(place)
        person.press("Ctrl+Up", "Ctrl+PgDown", "Ctrl+Down", "Ctrl+PgDown").wait()
        assert person.at == place
        assert person.text(place) == before


def test_typing_goes_on_while_scans_are_checked_and_no_key_is_lost(person, bring_in, opened, desk, worker):
    arrival_id = bring_in("a", {**two_arches(), "scan.ply": arches.half(pair(1.1).upper)}, checked=False)
    opened(arrival_id)
    typed = "Please make it no thicker than the last one, and ring before it is sent."
    person.press("Alt+N")
    worker.look()
    for sign in typed:
        person.type(sign)
        QApplication.processEvents()
    person.wait()
    assert person.text("notes") == typed
    assert person.at == "notes"
    assert person.text(ITEMS) == "upper scan; lower scan; scan"
    assert desk.store.read.unchecked() == ()


def test_what_somebody_is_writing_of_what_came_is_not_touched_until_they_leave_it(person, bring_in, opened):
    opened(bring_in("a", unnamed()))
    person.press("Alt+W", "End").type("; phot")
    person.press("Ctrl+Up").wait()
    assert person.text(ITEMS) == "scan; scan; phot"
    person.type("o").press("Tab")
    person.wait()
    assert person.text(ITEMS) == "photo; upper scan; scan"


@pytest.mark.thorough
def test_a_field_of_what_came_in_which_nothing_was_written_follows_at_once(person, bring_in, opened):
    opened(bring_in("a", unnamed()))
    person.press("Alt+W", "Ctrl+Up").wait()
    assert person.text(ITEMS) == "upper scan; scan"
    person.press("End").type("; photo").press("Tab").wait()
    assert person.text(ITEMS) == "upper scan; scan; photo"


@pytest.mark.thorough
def test_text_that_is_marked_to_be_written_over_stays_marked(person, bring_in, opened):
    opened(bring_in("a", unnamed()))
    field = person.form.field(ITEMS)
    field.take_keys()
    field.edit.selectAll()
    person.press("Ctrl+Up").wait()
    person.type("x")
    assert person.text(ITEMS) == "x"


@pytest.mark.thorough
def test_what_somebody_wrote_of_what_came_is_kept_when_another_is_opened(person, bring_in, opened, desk):
    first, second = bring_in("a", unnamed()), bring_in("b", two_arches(1.1))
    opened(first).press("Alt+W", "End").type("; photo").press("Tab").wait()
    person.press("Ctrl+Up").wait()
    opened(second)
    opened(first)
    assert person.text(ITEMS).split("; ")[0] == "photo"
    assert "upper scan" in person.text(ITEMS)


@pytest.mark.thorough
def test_looking_at_scans_alone_sets_nothing_down(person, bring_in, opened, desk):
    first, second = bring_in("a", unnamed()), bring_in("b", two_arches(1.1))
    opened(first).press("Ctrl+Up").wait()
    opened(second)
    assert "Set down" not in person.news
    assert desk.store.read.arrival(first).prescription == {}


def test_saving_in_the_middle_of_what_came_takes_the_scans_along(person, bring_in, opened, desk):
    opened(bring_in("a", unnamed()))
    person.press("Alt+A").type("hard splint u 3").press("Alt+L").type("J.T.")
    person.press("Alt+W", "End").type("; photo").press("Ctrl+Up").wait().press("Ctrl+Return").wait()
    (found,) = find(desk, "J.T.")
    case = desk.store.read.case_of_job(found.number).case
    assert [(item.item, item.arch) for item in case.items] == [("photo", None), ("scan", "upper"), ("scan", None)]
    assert [scan.shows for scan in case.scans] == ["upper", None]


@pytest.mark.thorough
def test_booked_and_taken_back_the_scans_are_in_the_form_again(person, bring_in, opened):
    opened(bring_in("a", two_arches()))
    person.press("Alt+A").type("hard splint u 3").press("Ctrl+Return").wait()
    assert not strip(person).isVisible()
    person.press("F8").wait()
    assert under(person) == ["Upper", "Lower", "Both arches"]
    assert person.text(ITEMS) == "upper scan; lower scan"


def test_a_message_alone_is_shown_and_read_closer_by_a_key(person, desk, tmp_path, opened):
    (tmp_path / "m.eml").write_bytes(mail("Please fetch the scan from https://scans.example.com/share/7f3a"))
    (received,) = receive(desk, [tmp_path / "m.eml"])
    opened(received.arrival_id)
    assert strip(person).head.text() == "A message without scans"
    person.press("Ctrl+Up").wait()
    assert person.news == NO_SCAN
    person.press("Ctrl+L")
    assert "https://scans.example.com/share/7f3a" in person.place.scanning.looking.message.toPlainText()
    person.place.scanning.looking.reject()


@pytest.fixture
def looking(person, bring_in, opened, press, qtbot):
    """The dialog over an arrival of two scans that say no jaw, and keys pressed in it."""
    opened(bring_in("a", unnamed()))
    person.press("Ctrl+L")
    dialog = person.place.scanning.looking
    with qtbot.waitActive(dialog):
        dialog.activateWindow()
    person.wait()
    yield dialog
    if person.place.scanning.looking is not None:
        person.place.scanning.looking.reject()


def test_a_jaw_is_chosen_of_the_scan_that_is_looked_at(person, looking, press):
    press(looking, "PgDown", "Ctrl+Down")
    person.wait()
    assert looking.current.seen.file.name == "scan 2.ply"
    assert looking.title.text() == "Lower"
    assert looking.hint.text() == "scan 2.ply is the lower. F8 takes it back."
    assert person.text(ITEMS) == "lower scan; scan"
    press(looking, "F8")
    person.wait()
    assert looking.title.text() == "Which jaw?"
    assert person.text(ITEMS) == "scan; scan"


def test_after_looking_closer_the_keys_are_about_the_scan_that_was_looked_at(person, looking, press, qtbot):
    press(looking, "PgDown", "Esc")
    assert person.place.scanning.looking is None
    with qtbot.waitActive(person.window):
        person.window.activateWindow()
    person.press("Ctrl+Up").wait()
    assert person.news == "scan 2.ply is the upper."


@pytest.mark.thorough
def test_with_both_arches_in_view_no_scan_is_chosen(person, looking, press, worker):
    press(looking, "Ctrl+Up", "Ctrl+PgDown", "Ctrl+Down")
    person.wait()
    assert looking.list.count() == 3
    press(looking, "PgDown")
    person.wait()
    while looking.current is not None:
        press(looking, "PgDown")
    press(looking, "Ctrl+Up")
    person.wait()
    assert looking.hint.text() == NONE_CHOSEN
    assert person.text(ITEMS) == "upper scan; lower scan"


def test_closing_the_window_over_an_open_look_is_quiet(person, looking):
    person.place.flush()
    assert person.place.scanning.looking is None
    person.wait()


@pytest.mark.thorough
def test_scans_that_are_still_checked_are_told_in_the_list(person, bring_in, opened, desk):
    arrival_id = bring_in("a", two_arches(), checked=False)
    person.place.arriving.read()
    person.wait()
    (row,) = person.rows
    assert came_of(row) == "checking …"
    assert "2 scans are still being checked" in said_of(row)
    assert person.place.waiting.why.text().startswith("2 scans are still being checked. ")
    check_all(desk, CheckHere())
    opened(arrival_id)
    (row,) = person.rows
    assert came_of(row) == "scan"
    assert "checked" not in said_of(row)


def test_files_that_are_taken_in_are_told_as_scans(person, tmp_path):
    person.place.take_in([put(tmp_path / "a", two_arches())])
    person.wait()
    assert person.news == "2 scans taken in."


@pytest.mark.parametrize("scale", SIZES)
def test_the_field_in_use_stays_in_sight_under_the_strip(open_person, desk, bring_in, scale):
    arrival_id = bring_in("a", {**two_arches(), "scan.ply": arches.half(pair(1.1).upper)})
    person = open_person(desk, scale=scale)
    size = person.window.size()
    person.place.arriving.open(arrival_id)
    person.wait()
    for _ in range(5):
        QApplication.processEvents()
    assert person.window.size() == size, "no window grows for pictures"
    for key, place in (("Alt+N", "notes"), ("Alt+W", ITEMS), ("Alt+P", "practice")):
        person.press(key)
        assert person.at == place
        for _ in range(5):
            QApplication.processEvents()
        field = person.form.field(place).edit
        top = field.mapTo(person.form.viewport(), field.rect().topLeft()).y()
        assert top >= 0
        assert top + field.height() <= person.form.viewport().height()
