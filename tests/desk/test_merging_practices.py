"""Two entries of one practice made one: nothing that either had is lost, and the merge can be taken back."""

from datetime import date

import pytest

from intake.desk.book_in import amend, book
from intake.desk.directory import take_up
from intake.desk.history import told
from intake.desk.letters import write_to
from intake.desk.merging_practices import CannotMergePractices, merge, unmerge, what_merges
from intake.desk.tries import note_try
from intake.domain.practice import Practice, StandingInstruction
from intake.store.chain import Head
from intake.store.meanwhile import ChangedMeanwhile, NotNow
from tests.desk.desks import day_case
from tests.desk.opened import parcel

ALWAYS_3 = StandingInstruction(requirement="thickness", says="3 mm unless stated", since=date(2026, 1, 5))
TWIN = Practice(
    code="MHDP",
    name="Marlowe House",
    telephone="01632 960199",
    prescribers=("dr r. ashdown", "Dr N. Else"),
    transit_days=3,
    notes="Ring the side door.",
    former=("OLDM",),
    standing=(ALWAYS_3,),
)


def entry(desk, code):
    row = desk.store.read.practice(code)
    return row.practice if row else None


@pytest.fixture
def twins(desk):
    """A desk whose directory has one practice twice, and work of both: cases, a parcel, a call, a letter, a sender."""
    with desk.work() as work:
        work.practices.save(TWIN)
        work.scans.sender_is("scans@marlowe.example.com", "MHDP")
        work.commit()
    of_twin = day_case("02").model_copy(update={"practice": "MHDP"})
    own = day_case("09")
    ids = tuple(book(desk, case, f"form-{n}").case_id for n, case in enumerate((of_twin, own)))
    parcel(desk, practice="MHDP")
    note_try(desk, "MHDP", "no-answer")
    write_to(desk, "MHDP")
    return desk, ids


def asked(desk, case_id):
    return {query.requirement for query in desk.store.read.queries_of(case_id) if query.state == "open"}


def all_of(desk):
    read = desk.store.read
    cases = [(read.case(n).practice_code, read.case(n).case) for n in (1, 2)]
    return entry(desk, "MARLOW1"), entry(desk, "MHDP"), read.belongings("MARLOW1"), read.belongings("MHDP"), cases


def test_what_moves_and_what_is_taken_over_is_said_before_anything_does(twins):
    desk, _ = twins
    before = desk.store.verify_chain()
    look = what_merges(desk, "oldm", "marlow1")
    assert look.said == (
        "1 case, 1 letter or form, 1 parcel, 1 call and 1 mail address of MHDP will be Marlowe House Dental Practice’s "
        "(MARLOW1). MARLOW1 takes over its transit days, 1 prescriber, 1 standing instruction and its notes. "
        "Name and telephone of MARLOW1 stay as it has them. MHDP will be found as a former code of it."
    )
    assert desk.store.verify_chain() == before
    with pytest.raises(CannotMergePractices, match="This is the same practice"):
        what_merges(desk, "MHDP", "oldm")
    with pytest.raises(CannotMergePractices, match="has no practice “NONE”"):
        what_merges(desk, "NONE", "MARLOW1")


def test_everything_of_both_is_the_one_s_and_old_stickers_and_prescriptions_find_it(twins):
    desk, (of_twin, own) = twins
    dates = desk.store.read.jobs_of(own)[0].must_leave
    done = merge(desk, what_merges(desk, "MHDP", "MARLOW1"))
    one = entry(desk, "MARLOW1")
    assert entry(desk, "MHDP") is None
    assert (one.former, one.telephone, one.transit_days) == (("MHDP", "OLDM"), "01632 960101", 3)
    assert one.prescribers[-2:] == ("Ms T. Penhallick", "Dr N. Else"), "who signs at both is named once"
    moved = desk.store.read.case(of_twin)
    assert (moved.practice_code, moved.practice_name, moved.case.practice) == ("MARLOW1", one.name, "MARLOW1")
    read = desk.store.read
    assert len(read.attempts("MARLOW1")) == 1
    assert len(read.letters_to("MARLOW1")) == 1
    assert read.sender("scans@marlowe.example.com") == "MARLOW1"
    assert not read.belongings("MHDP").counts
    assert {job.case_id for job in read.find("mhdp")} == {of_twin, own}
    again = book(desk, day_case("04").model_copy(update={"practice": "oldm"}), "form-9")
    assert read.case(again.case_id).practice_code == "MARLOW1"
    assert read.jobs_of(own)[0].must_leave < dates, "the days on the way are the practice's now"
    said = [each.what for each in told(read.history_of_practice("MARLOW1"))]
    assert any(what.startswith("Entered in the directory: code “MHDP”") for what in said), (
        "the history of both is there"
    )
    assert said[-1] == "Became part of Marlowe House Dental Practice (MARLOW1)."
    assert said[-2].startswith(
        "Marlowe House (MHDP) became part of this practice, and with it 1 case, 1 letter or form"
    )
    assert (
        "Its practice MHDP is Marlowe House Dental Practice (MARLOW1) now: two entries of the directory were made one."
        in [each.what for each in told(read.history(of_twin))]
    )
    assert done.said.startswith(
        "Marlowe House (MHDP) is part of Marlowe House Dental Practice (MARLOW1) now, with 1 case"
    )
    assert isinstance(desk.store.verify_chain(), Head)


def test_a_standing_instruction_of_the_one_settles_what_the_other_was_asked(twins):
    desk, (_, own) = twins
    with desk.work() as work:
        stands = StandingInstruction(requirement="bite-opening", says="2 mm", since=date(2026, 1, 5))
        row = desk.store.read.practice("MHDP")
        work.practices.save(row.practice.model_copy(update={"standing": (ALWAYS_3, stands)}), row.version)
        work.commit()
    assert "bite-opening" in asked(desk, own)
    merge(desk, what_merges(desk, "MHDP", "MARLOW1"))
    assert "bite-opening" not in asked(desk, own)


def test_a_merge_that_is_taken_back_leaves_both_as_they_were(twins):
    desk, (of_twin, own) = twins
    before, dates = all_of(desk), [desk.store.read.jobs_of(n)[0].must_leave for n in (of_twin, own)]
    done = merge(desk, what_merges(desk, "MHDP", "MARLOW1"))
    unmerge(desk, done)
    assert all_of(desk) == before
    assert [desk.store.read.jobs_of(n)[0].must_leave for n in (of_twin, own)] == dates
    with pytest.raises(NotNow, match="was changed since"):
        unmerge(desk, done)
    assert told(desk.store.read.history(of_twin))[-1].what.startswith("Its practice is Marlowe House (MHDP) again")
    assert isinstance(desk.store.verify_chain(), Head)


def test_what_became_part_of_another_does_not_come_back_with_the_directory_s_file(twins, tmp_path):
    desk, _ = twins
    merge(desk, what_merges(desk, "MHDP", "MARLOW1"))
    file = tmp_path / "practices.toml"
    file.write_text('[[practices]]\ncode = "MHDP"\nname = "Marlowe House"\n', encoding="utf-8")
    assert take_up(desk, file) == desk
    assert entry(desk, "MHDP") is None


def test_what_was_changed_meanwhile_is_neither_merged_nor_parted(twins):
    desk, (of_twin, _) = twins
    look, case = what_merges(desk, "MHDP", "MARLOW1"), desk.store.read.case(of_twin)
    done = merge(desk, look)
    with pytest.raises(NotNow, match="The entry of Marlowe House was changed since"):
        merge(desk, look)
    with pytest.raises(ChangedMeanwhile, match="This case was changed at another desk"):
        amend(desk, of_twin, case.version, case.case.model_copy(update={"notes": "typed meanwhile"}))
    with desk.work() as work:
        row = desk.store.read.practice("MARLOW1")
        work.practices.save(row.practice.model_copy(update={"notes": "changed"}), row.version)
        work.commit()
    with pytest.raises(NotNow, match="was changed since"):
        unmerge(desk, done)
    assert entry(desk, "MHDP") is None
