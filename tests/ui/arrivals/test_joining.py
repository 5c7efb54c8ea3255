"""What was promised and lies on the desk: offered in a line, put to its case by one key, taken back by another."""

import threading
import time

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk import expected
from intake.desk.answering import take_answer
from intake.desk.call_card import call_card
from intake.domain.answering import read_answer
from intake.domain.case import Item
from intake.ui.arrivals.promised import LOOKING, NOTHING
from tests.desk.waiting import RECEPTION, booked, question

KEY = "QUILLB2"


def promise(desk, case_id=None):
    """Takes down that a bite record is in the post."""
    case, asked = question(desk, KEY, "bite-record", case_id)
    read = read_answer("post", asked.finding, case.case, desk.lab, call_card(desk, KEY).practice, desk.now())
    take_answer(desk, asked.query_id, read.answer, RECEPTION)


@pytest.fixture
def held(desk):
    """A hard splint that lacks its bite record, its opening and its thickness; the bite record is promised."""
    made = booked(desk, "02")
    promise(desk)
    return made


@pytest.fixture
def parcel(held, desk):
    """What stands on the slip of the parcel with the bite record: practice, label, reference."""
    patient = desk.store.read.case(held.case_id).case.patient
    return KEY, patient.label, patient.reference


@pytest.fixture
def typed(person, parcel):
    """A person who has typed the parcel in, but for what came."""
    code, label, reference = parcel
    person.type(code).press("Tab", "Alt+L").type(label).press("Alt+F").type(reference)
    return person.wait()


@pytest.fixture
def printed(person):
    """What goes to the printer: each time the words and the tickets."""
    told = []
    person.place.joined.connect(lambda said, made: told.append((said, made.tickets)))
    return told


def offer(person):
    promised = person.place.verdict.promised
    return promised.words.text() if promised.isVisible() else ""


def items(desk, made):
    return [item.item for item in desk.store.read.case(made.case_id).case.items]


def test_practice_and_patient_bring_the_offer_with_its_key(typed, held):
    assert f"job {held.jobs[0].shown}, waits for this: bite record in the post" in offer(typed)
    assert typed.place.verdict.promised.button.text() == "Put it to that job  Ctrl+G"


def test_nothing_is_offered_before_the_patient_is_named(person, held):
    person.type(KEY).press("Tab").wait()
    assert offer(person) == ""
    person.press("Ctrl+G")
    assert person.news == NOTHING


def test_another_patient_is_offered_nothing(person, parcel):
    person.type(KEY).press("Tab", "Alt+L").type(parcel[1]).press("Alt+F").type("99999").wait()
    assert offer(person) == ""


def test_the_key_puts_it_to_the_case_clears_the_form_and_prints(typed, held, desk, printed):
    before = items(desk, held)
    typed.press("Alt+W").type("bite centric").wait()
    assert items(desk, held) == before, "nothing is joined by itself"
    typed.press("Ctrl+G").wait()
    assert items(desk, held) == [*before, "bite-record"]
    assert typed.form.is_empty()
    assert typed.at == "practice"
    assert offer(typed) == ""
    assert typed.news.startswith("Put to the case that waited for it: ")
    assert held.jobs[0].shown in typed.news
    ((said, tickets),) = printed
    assert said == typed.news
    assert tickets
    states = {query.requirement: query.state for query in desk.store.read.queries_of(held.case_id)}
    assert states["bite-record"] == "answered"


def test_undo_lets_the_case_wait_again_and_brings_the_form_back(typed, held, desk, printed):
    before, promised = items(desk, held), desk.store.read.expected(KEY)
    typed.press("Alt+W").type("bite centric").wait().press("Ctrl+G").wait()
    assert typed.window.news.undo_button.text() == "Undo: what was put to it  F8"
    typed.press("F8").wait()
    assert items(desk, held) == before
    assert desk.store.read.expected(KEY) == promised
    assert typed.text("items") == "bite centric"
    assert typed.news == "Taken back: the case waits again for what was promised, and the form is as it was."
    assert len(printed) == 2
    assert "waits for this" in offer(typed), "it is offered again"


def test_a_file_that_is_put_to_its_case_is_off_the_list_and_back_on_it_by_undo(person, held, desk, tmp_path):
    file = tmp_path / "bite.json"
    held_case = desk.store.read.case(held.case_id).case
    came = {"hygiene": "disinfected", "items": (Item(item="bite-record", kind="centric"),), "arrived": None}
    file.write_text(held_case.model_copy(update=came).model_dump_json())
    person.place.take_in([file])
    person.wait().press("F4").wait()
    assert "waits for this" in offer(person)
    person.press("Ctrl+G")
    assert person.rows == (), "gone from the list at once"
    person.wait()
    assert person.rows == ()
    (arrival,) = desk.store.read.arrivals("booked")
    assert arrival.case_id == held.case_id
    person.press("F8").wait()
    assert [row.source for row in person.rows] == [file.name]


def test_what_came_has_to_be_entered_first(typed, held, desk):
    before = items(desk, held)
    typed.press("Ctrl+G").wait()
    assert typed.news == "Enter first what came, such as b for a bite record."
    assert typed.at == "items"
    assert typed.text("patient.label")
    assert items(desk, held) == before


def test_items_that_cannot_be_read_are_put_right_first(typed, held, desk):
    before = items(desk, held)
    typed.press("Alt+W").type("bite xyzzy").wait().press("Ctrl+G").wait()
    assert "Not understood: xyzzy." in typed.said("items")
    assert items(desk, held) == before


def test_what_the_case_does_not_get_from_the_form_is_said(typed, held):
    typed.press("Alt+N").type("please hurry").press("Alt+W").type("bite centric").wait().press("Ctrl+G").wait()
    assert typed.news.endswith("Not taken over from the form: the notes.")


def test_a_case_that_another_desk_was_quicker_with_is_not_joined_twice_and_the_form_comes_back(typed, held, desk):
    typed.press("Alt+W").type("bite centric").wait()
    (match,) = typed.place.verdict.promised._found
    expected.join(desk, match, typed.place.writing.read.case)
    before = items(desk, held)
    typed.press("Ctrl+G").wait()
    assert items(desk, held) == before
    assert typed.text("items") == "bite centric"
    assert "Not saved." in typed.window.news.trouble_words.text()


def test_where_several_cases_wait_the_desk_chooses_one(person, desk, held, parcel):
    twin = booked(desk, "02", notes="the other arch")
    promise(desk, twin.case_id)
    code, label, reference = parcel
    person.type(code).press("Tab", "Alt+L").type(label).press("Alt+F").type(reference)
    person.press("Alt+W").type("bite centric").wait()
    assert "1 more of this patient’s waits for something too." in offer(person)
    before = items(desk, held), items(desk, twin)
    person.press("Ctrl+G").wait()
    assert (items(desk, held), items(desk, twin)) == before
    dialog = QApplication.activeModalWidget()
    for made, row in zip((held, twin), range(dialog.list.count()), strict=True):
        assert made.jobs[0].shown in dialog.list.item(row).text()
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Return):
        QTest.keyClick(dialog.windowHandle(), key)
    person.wait()
    assert items(desk, held) == before[0]
    assert items(desk, twin) == [*before[1], "bite-record"]


def test_a_booked_case_in_the_form_is_offered_nothing(person, desk, held):
    person.place.open_case(held.case_id)
    person.wait()
    assert person.text("patient.label")
    assert offer(person) == ""


def test_what_is_promised_while_a_form_is_open_is_offered_when_the_desk_comes_back(person, desk):
    made = booked(desk, "02")
    patient = desk.store.read.case(made.case_id).case.patient
    person.type(KEY).press("Tab", "Alt+L").type(patient.label).press("Alt+F").type(patient.reference).wait()
    assert offer(person) == ""
    promise(desk)
    person.press("F3", "F2").wait()
    assert "waits for this" in offer(person)


def test_typing_asks_for_the_newest_only_and_never_waits_for_the_store(person, parcel, desk, monkeypatch):
    """While the store is held up, keys are read at once; of all that was typed only the last is looked up."""
    gate, asked = threading.Event(), []
    look = expected.expected_for
    monkeypatch.setattr(expected, "expected_for", lambda *words: asked.append(words[1].patient.label) or look(*words))
    person.type(parcel[0]).press("Tab").wait()
    person.jobs.run(lambda: gate.wait(10))
    person.press("Alt+L")
    begun = time.perf_counter()
    person.type("A.B. CDEFGH")
    took = time.perf_counter() - begun
    person.press("Ctrl+G")
    assert person.news == LOOKING
    gate.set()
    person.wait()
    assert asked == ["A", "A.B. CDEFGH"]
    assert took < 11 * 0.1, "checklist 11: no key takes more than 100 ms"


def test_practice_patient_and_items_alone_ask_anew(typed, monkeypatch):
    asked, look = [], expected.expected_for
    monkeypatch.setattr(expected, "expected_for", lambda *words: asked.append(1) or look(*words))
    typed.press("Alt+N").type("notes are typed").press("Alt+A").type("hard splint u 3").wait()
    assert asked == []
    typed.press("Alt+W").type("b").wait()
    assert asked == [1]
