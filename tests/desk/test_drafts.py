"""Half-typed forms: kept for each desk, as they were typed, until they are saved or cleared."""

from intake.desk.drafts import clear, keep, kept
from intake.domain.half_typed import HalfTyped
from tests.desk.desks import day_case, open_desk

TYPED = {"practice": "marl", "appliances": "hard splint upp", "notes": "  spaces stay,\nlines too; Łucja Ωμέγα  "}


def test_what_was_half_typed_comes_back_as_it_was(desk):
    half = HalfTyped("form-1", TYPED, arrival_id=3, case_id=4, version=5, kept=day_case("02"))
    keep(desk, half)
    assert kept(desk) == half


def test_the_last_that_was_kept_counts(desk):
    keep(desk, HalfTyped("form-1", {"notes": "a"}))
    keep(desk, HalfTyped("form-1", {"notes": "ab"}))
    assert kept(desk).typed == {"notes": "ab"}


def test_nothing_is_there_before_and_after(desk):
    assert kept(desk) is None
    clear(desk)
    keep(desk, HalfTyped("form-1", TYPED))
    clear(desk)
    assert kept(desk) is None


def test_each_desk_has_its_own(desk, tmp_path):
    other = open_desk(desk.store, tmp_path, name="second desk")
    keep(desk, HalfTyped("form-1", {"notes": "first"}))
    keep(other, HalfTyped("form-2", {"notes": "second"}))
    clear(other)
    assert kept(desk).typed == {"notes": "first"}
    assert kept(other) is None


def test_a_draft_of_a_later_release_is_taken_as_far_as_it_is_understood(desk):
    with desk.work() as work:
        work.drafts.keep(desk.name, {"token": "form-1", "typed": TYPED, "colour of the pen": "green"})
        work.commit()
    assert kept(desk) == HalfTyped("form-1", TYPED)


def test_keeping_a_draft_is_no_event_of_the_history(desk):
    before = desk.store.verify_chain()
    keep(desk, HalfTyped("form-1", TYPED))
    assert desk.store.verify_chain() == before
