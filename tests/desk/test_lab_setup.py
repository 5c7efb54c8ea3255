"""The lab setup at the desk: editions put in force and back, the file beside them, and which counts on opening."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from intake.app import lab_clock
from intake.desk.book_in import amend, book
from intake.desk.choose_printer import choose_printers
from intake.desk.hand_over import hand_over
from intake.desk.issue import issue_all
from intake.desk.lab_setup import (
    MeanwhileInForce,
    NotPossibleNow,
    editions,
    newer,
    put_in_force,
    setup_file,
)
from intake.desk.look_up import card
from intake.desk.people import NotForYou, enter_person, set_pin, sign_in, with_people
from intake.desk.setup_changes import compare, weigh
from intake.desk.setup_opening import SetupOpening
from intake.domain.scan_codes import ScanCode
from intake.resources import demo, resource
from intake.setup.reading import SetupWrong, read_setup
from intake.setup.writing import NotWritten
from tests.desk.desks import NOW, day_case

DEFAULT = resource("setup", "default.toml")


@pytest.fixture
def desk(desk, tmp_path):
    """A desk whose setup lies in its folder and is the first edition."""
    shutil.copy(demo("lab.toml"), tmp_path / "setup.toml")
    desk = replace(desk, folder=tmp_path)
    settled = settle(desk)
    return desk.with_setup(desk.lab, settled.edition)


def settle(desk):
    """Which setup is in force when the desk is opened anew."""
    return SetupOpening(desk.store, desk.folder / "setup.toml", DEFAULT, "AB", lambda lab: NOW).settle()


def changed(desk, old="slack_days = 2", new="slack_days = 3"):
    text = setup_file(desk).text
    assert text.count(old) == 1
    return text.replace(old, new)


def file_of(desk):
    return (desk.folder / "setup.toml").read_text(encoding="utf-8")


def put(desk, text, note="", of=None):
    return put_in_force(desk, text, note, of if of is not None else desk.edition).desk


def told(desk):
    return [(row.edition, row.source, row.of) for row in editions(desk)]


def test_the_file_that_is_found_first_is_the_first_edition_and_opening_again_adds_none(desk):
    again = settle(desk)
    assert (again.edition, again.notices) == (1, ())
    assert told(desk) == [(1, "first", None)]
    assert setup_file(desk).text == demo("lab.toml").read_text(encoding="utf-8")


def test_a_changed_setup_is_an_edition_and_a_file_and_one_that_was_there_before_is_put_back(desk):
    first = setup_file(desk).text
    second = put(desk, changed(desk), "winter")
    assert (second.lab.deadlines.slack_days, second.edition) == (3, 2)
    assert "slack_days = 3" in file_of(desk)
    assert compare(second, 1, 2)[0].sentence == "Deadlines, slack days: 2 → 3"
    third = put(second, first)
    assert (third.lab.deadlines.slack_days, file_of(desk)) == (2, first)
    assert told(desk) == [(3, "put-back", 1), (2, "window", None), (1, "first", None)]
    assert put(third, first).edition == 3, "the same again is no new edition"


def test_what_another_desk_put_in_force_meanwhile_is_never_taken_back_unseen(desk):
    other = put(replace(desk, person="CD"), changed(desk))
    mine = changed(desk, "slack_days = 3", "slack_days = 4")
    with pytest.raises(MeanwhileInForce, match="CD put another setup in force meanwhile, edition 2"):
        put(desk, mine)
    weighed = weigh(desk, mine, desk.edition)
    assert "CD put edition 2 in force" in weighed.cautions[0]
    assert [each.sentence for each in weighed.differences] == ["Deadlines, slack days: 3 → 4"]
    found = newer(desk)
    assert (found.edition, found.desk.lab, found.desk.person) == (2, other.lab, "AB")
    assert newer(found.desk) is None


def test_a_setup_that_is_wrong_or_cannot_be_written_changes_nothing(desk, monkeypatch):
    with pytest.raises(SetupWrong) as refused:
        put(desk, changed(desk, 'zone = "Europe/London"', 'zone = "Europe/Nowhere"'))
    line = refused.value.problems[0].line
    assert 'zone = "Europe/London"' in file_of(desk).splitlines()[line - 1]

    def full(path, text):
        raise NotWritten("The disk is full.")

    monkeypatch.setattr("intake.desk.lab_setup.write_whole", full)
    with pytest.raises(NotWritten):
        put(desk, changed(desk))
    assert told(desk) == [(1, "first", None)]


def test_only_a_lead_puts_a_setup_in_force_but_anybody_chooses_another_printer(desk):
    enter_person(desk, "HW", "Hilde Warrender", "lead")
    set_pin(desk, "HW", "4711", "4711")
    asked = with_people(desk)
    with pytest.raises(NotForYou, match="Only a lead may put a setup in force"):
        put(asked, changed(desk))
    chosen = choose_printers(asked, "labels", None)
    assert (chosen.lab.ticket.queue, chosen.edition) == ("labels", 2)
    lead = sign_in(chosen, "HW", "4711")
    assert put(lead, changed(lead), of=2).lab.deadlines.slack_days == 3


def in_box(desk, day="52"):
    """A booked case with its ticket printed; its first job's number."""
    booked = book(desk, day_case(day), day)
    issue_all(desk, booked.tickets)
    return booked.jobs[0]


def test_what_open_work_needs_stays_until_it_is_finished(desk):
    job = in_box(desk)
    text, category = setup_file(desk).text, desk.lab.category_by_id[job.category]
    without = text.replace(f'id = "{category.id}"', 'id = "other"').replace(
        f'category = "{category.id}"', 'category = "other"'
    )
    said = f"Category {category.name} ({category.id}) is gone, and 1 open job lies in its box. Keep it"
    with pytest.raises(NotPossibleNow) as refused:
        put(desk, without)
    assert str(refused.value).startswith(said)
    assert weigh(desk, without, 1).problems[0].startswith(said)
    made = next(kind for kind in desk.lab.types if kind.id in desk.store.read.open_appliances())
    with pytest.raises(NotPossibleNow, match="and 1 open case asks for one"):
        put(desk, text.replace(f'"{made.id}"', '"another-kind"'))
    bench = category.route[0].bench
    assert hand_over(desk, bench, ScanCode("ticket", job.number)).yes
    with pytest.raises(NotPossibleNow, match=f"Bench {bench} is gone, and 1 box stands there"):
        put(desk, text.replace(f'"{bench}"', '"Elsewhere"'))


def test_each_case_remembers_by_which_edition_it_was_judged(desk):
    first = book(desk, day_case("52"), "a")
    second = put(desk, changed(desk))
    other = book(second, day_case("02"), "b")
    read = desk.store.read
    assert [read.case(each.case_id).edition for each in (first, other)] == [1, 2]
    amend(second, first.case_id, first.version, day_case("52").model_copy(update={"notes": "as before"}))
    assert read.case(first.case_id).edition == 2
    told = card(second, first.jobs[0].number)
    assert [said.what.endswith("Judged by edition 1 of the setup.") for said in told.history[:1]] == [True]
    assert "Judged by edition 2 of the setup." in told.history[-1].what
    facts = {fact.words: fact.lines for fact in told.facts}
    assert facts["Judged by"] == ("edition 2 of the setup, in force from Wed 25 Nov 2026",)


CHANGED_BY_HAND = {
    "a value": (("slack_days = 2", "slack_days = 5"), 2, "changed by hand; it is in force as edition 2", 5),
    "a slip": (("slack_days = 2", "slack_days = two"), 1, "is not in force", 2),
    "a colour twice": (('colour = "Blue"', 'colour = "Yellow"'), 1, "Line ", 2),
    "a newer form": (('format = "intake-lab/1"', 'format = "intake-lab/2"'), 1, "another version of Intake", 2),
}


@pytest.mark.parametrize("name", CHANGED_BY_HAND)
def test_a_file_that_a_hand_changed_counts_where_it_can_be_used(desk, name):
    change, edition, says, days = CHANGED_BY_HAND[name]
    text = changed(desk, *change)
    (desk.folder / "setup.toml").write_text(text, encoding="utf-8")
    settled = settle(desk)
    assert (settled.edition, settled.lab.deadlines.slack_days) == (edition, days)
    (notice,) = settled.notices
    assert says in notice.text
    assert notice.trouble is (edition == 1)
    assert file_of(desk) == text, "what a hand wrote is left as it is"


def test_a_file_that_was_left_behind_or_taken_away_is_written_anew(desk):
    first = file_of(desk)
    second = put(desk, changed(desk))
    for said, act in {
        "was that of edition 1; it is written anew as edition 2": lambda: (desk.folder / "setup.toml").write_text(
            first
        ),
        "was missing; it is written anew as edition 2": (desk.folder / "setup.toml").unlink,
    }.items():
        act()
        settled = settle(desk)
        assert (settled.lab.deadlines.slack_days, settled.edition) == (3, 2)
        assert said in settled.notices[0].text
        assert file_of(desk) == setup_file(second).text


def test_the_setup_of_another_laboratory_is_not_taken_for_ones_own(desk):
    other = changed(desk, f'name = "{desk.lab.name}"', 'name = "Harbour Road Laboratory"')
    (desk.folder / "setup.toml").write_text(other, encoding="utf-8")
    book(desk, day_case("52"), "a")
    settled = settle(desk)
    assert settled.edition == 1
    assert "It is the setup of “Harbour Road Laboratory”" in settled.notices[0].text
    renamed = put(desk, other)
    assert renamed.lab.name == "Harbour Road Laboratory", "in Lab setup a laboratory gets another name"


def test_without_a_file_and_an_edition_the_shipped_setup_counts_and_nothing_is_written(desk, sqlite_place, tmp_path):
    from intake.store.opening import Store

    fresh = tmp_path / "fresh"
    fresh.mkdir()
    store = Store.open(fresh / "intake.db")
    settled = SetupOpening(store, fresh / "setup.toml", DEFAULT, "AB", lab_clock).settle()
    assert (settled.edition, settled.lab) == (None, read_setup(Path(DEFAULT)))
    assert not (fresh / "setup.toml").exists()
    store.close()


def test_what_was_written_when_the_power_failed_before_the_store_had_it_is_in_force_all_the_same(desk, monkeypatch):
    text = changed(desk)

    def cut_off(work):
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr("intake.store.work.Work.commit", cut_off)
        with pytest.raises(KeyboardInterrupt):
            put(desk, text)
    assert told(desk) == [(1, "first", None)]
    assert file_of(desk) == text
    settled = settle(desk)
    assert (settled.edition, settled.lab.deadlines.slack_days) == (2, 3)
