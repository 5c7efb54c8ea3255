"""Nothing that is half typed of a parcel is lost: undone, left, put aside, scanned over, or not to be kept."""

from intake.desk.parcels import open_parcels
from intake.errors import IntakeError
from intake.ui.parcels import asked
from tests.ui.parcels.conftest import LABEL


def test_keeping_a_parcel_is_undone_with_its_form_as_it_was(person, desk):
    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    person.press("2", "W", "Ctrl+Return")
    assert person.place == "arrivals"
    person.press("F8")
    assert open_parcels(desk) == ()
    assert person.place == "parcels"
    assert person.waiting == ()
    assert person.arrivals.writing.is_empty
    draft = person.form.draft
    assert (draft.label, draft.seen, [thing.kind for thing in draft.things]) == (LABEL, ("wet",), ["part"])
    person.press("Ctrl+D")
    (line,) = open_parcels(desk)
    assert line.label == LABEL
    assert "came before" not in person.news


def test_what_was_typed_into_a_case_stays_when_its_parcel_is_taken_back(person, desk):
    person.scan("practice", "MARLOW1")
    person.press("Ctrl+Return")
    person.press("Alt+A").type("hard splint upper 3mm")
    person.press("F8")
    assert person.arrivals.form.field("appliances[0]").text == "hard splint upper 3mm"
    assert person.arrivals.writing.half.arrival_id is None


def test_escape_goes_back_to_arrivals_and_keeps_what_is_half_typed(person):
    person.scan("parcel", LABEL)
    person.type("marl")
    person.press("Esc")
    assert not person.parcels.choices.isVisible()
    assert person.place == "parcels"
    person.press("Esc")
    assert person.place == "arrivals"
    person.press("Shift+F2")
    assert person.form.draft.label == LABEL
    assert person.form.practice_field.text in ("marl", "MARLOW1")


def test_a_new_parcel_puts_what_was_begun_aside_and_it_comes_back(person, desk):
    person.scan("parcel", LABEL)
    person.press("Ctrl+N")
    assert person.form.draft.is_empty
    person.scan("practice", "OXMERE")
    person.press("Ctrl+D")
    assert person.form.draft.label == LABEL


def test_another_label_never_takes_the_place_of_the_first(person):
    person.scan("parcel", LABEL)
    person.scan("parcel", "RR223456788DE")
    assert person.form.draft.label == LABEL
    assert "is not kept yet" in person.news
    assert person.keys.shown("keep-parcel") in person.news


def test_the_same_label_typed_and_scanned_is_one_parcel(person):
    person.type("RR 123 456 785 DE")
    person.scan("parcel", LABEL)
    assert person.form.draft.label == LABEL
    assert "not kept" not in person.news


def test_a_code_that_belongs_elsewhere_is_left_to_the_window(person):
    for kind in ("ticket", "reply", "bench", "box"):
        assert not person.scan(kind, "1")


def test_an_empty_form_is_not_kept(person, desk):
    person.press("Ctrl+Return", "Ctrl+D")
    assert open_parcels(desk) == ()
    assert "nothing to keep" in person.news


def test_what_cannot_be_kept_comes_back_with_the_reason(person, desk, monkeypatch):
    def refuse(*_):
        raise IntakeError("The disk is full.")

    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    with monkeypatch.context() as broken:
        broken.setattr(asked, "keep", refuse)
        person.press("W", "Ctrl+Return")
    assert person.place == "parcels"
    assert person.window.news.trouble_words.text() == "Not kept. The disk is full."
    assert (person.form.draft.label, person.form.draft.seen) == (LABEL, ("wet",))
    person.press("Ctrl+D")
    assert not person.window.news.trouble_words.isVisible()
    assert len(open_parcels(desk)) == 1


def test_what_is_scanned_before_the_data_are_open_is_looked_at_then(open_person, desk):
    person = open_person(None)
    person.scan("parcel", LABEL)
    person.press("Ctrl+Return")
    assert "still being opened" in person.news
    person.arrivals.set_desk(desk)
    person.parcels.set_desk(desk)
    person.wait()
    assert "Signed-for post" in person.form.label.small_print.text()
