"""What words mean for what is asked: the same word settles one question and says nothing to another.

Common practice of the telephone, no source, save where one is named.
"""

from datetime import date, datetime, timedelta
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.answer import Speaker
from intake.domain.answering import apply, changes_what_is_made, choices, counts, read_answer, spoken_of
from intake.domain.case import Item, Spoken, Waiver
from intake.domain.judging import judge
from intake.domain.reading import find_practice, read_case
from intake.resources import demo
from intake.setup.reading import read_practices, read_setup

LAB, PRACTICES = read_setup(demo("lab.toml")), read_practices(demo("practices.toml"))
NOW = datetime(2026, 11, 25, 13, 20)
"""A Wednesday."""
PRESCRIBER = Speaker(name="Dr R. Ashdown", authority="prescriber", route="telephone")
RECEPTION = Speaker(name="Jo", authority="team", route="telephone")
NUMBERS = [file.name[:2] for file in sorted(demo("day").glob("*.json"))]


@cache
def case_of(number):
    (file,) = demo("day").glob(f"{number}-*.json")
    case = read_case(file.read_bytes(), LAB, PRACTICES)
    return case, find_practice(case.practice, PRACTICES)


def questions(case, practice, now=NOW):
    return [finding for finding in judge(case, LAB, practice, now).findings if finding.level != "warns"]


def question(case, practice, requirement):
    return next(each for each in questions(case, practice) if each.requirement == requirement)


def read(text, number, requirement):
    case, practice = case_of(number)
    return read_answer(text, question(case, practice, requirement), case, LAB, practice, NOW)


def answered(case, practice, requirement, text):
    asked = question(case, practice, requirement)
    answer = read_answer(text, asked, case, LAB, practice, NOW).answer
    assert answer is not None
    return apply(case, asked, answer, PRESCRIBER, LAB, practice, NOW)


def offered(number, requirement):
    case, practice = case_of(number)
    return [each.words for each in choices(question(case, practice, requirement), case, LAB, practice, NOW)]


@pytest.mark.parametrize(
    ("text", "number", "requirement", "told"),
    [
        pytest.param("two", "71", "thickness", "Type the measure", id="two-is-no-yes-to-thirty-mm"),
        pytest.param("not needed", "71", "thickness", "Nothing is lacking", id="a-slip-lacks-nothing"),
        pytest.param("as written", "40", "thickness", "Type the measure", id="nothing-is-written"),
        pytest.param("yes", "40", "thickness", "Type the measure", id="yes-to-how-thick"),
        pytest.param("yes", "31", "appointment-feasible", "the day that it is moved to", id="yes-to-can-it-be-moved"),
        pytest.param("yes", "08", "impression-age", "Type when it was taken", id="yes-to-again-or-at-your-risk"),
        pytest.param("yes", "33", "impression-age", "Type when it was taken", id="yes-to-when-taken"),
        pytest.param("at our risk", "33", "impression-age", "no date", id="risk-when-nothing-is-old"),
        pytest.param("yes", "47", "colour", "in words", id="yes-to-which-colour"),
        pytest.param("don’t know", "05", "material", "in words", id="not-known"),
        pytest.param("not sure", "07", "patient", "label or reference", id="nobody-knows-the-patient"),
        pytest.param("upper", "06", "teeth", "no tooth", id="an-arch-for-teeth"),
        pytest.param("scan", "21", "working-arch", "No appliance sent in comes as a scan", id="an-appliance-as-a-scan"),
        pytest.param("no", "09", "opposing-arch", "Type post or scan", id="no-to-either-or"),
    ],
)
def test_a_word_that_says_nothing_to_what_is_asked_is_not_taken(text, number, requirement, told):
    refused = read(text, number, requirement)
    assert refused.answer is None
    assert told in refused.said.text


@pytest.mark.parametrize(
    ("text", "number", "requirement", "kind", "says"),
    [
        ("as written", "71", "thickness", "as-it-is", "30 mm, as written"),
        ("yes", "53", "bite-record", "as-it-is", "18 mm, as written"),
        ("yes", "62", "shade", "as-it-is", "A6, as written"),
        ("two", "70", "same-appliance-twice", "as-it-is", "twice"),
        ("only one", "70", "same-appliance-twice", "value", "once"),
        ("it stays", "31", "appointment-feasible", "as-it-is", "the appointment stays"),
        ("pour it at our risk", "08", "impression-age", "as-it-is", "to be poured at the practice’s risk"),
        ("centric", "30", "bite-record", "value", "centric"),
        ("opened by 3 mm", "30", "bite-record", "value", "open 3 mm"),
        ("6", "53", "bite-record", "value", "6 mm"),
        ("lower", "38", "teeth", "value", "lower"),
        ("he will ring back", "05", "material", "ring-back", "rings back"),
        ("Dr Roskilly rings back thu", "05", "material", "ring-back", "rings back Thu 26 Nov 2026"),
        ("posted mon", "02", "bite-record", "promise", "bite record in the post, here by Tue 24 Nov 2026"),
        ("post mon", "02", "bite-record", "promise", "bite record in the post, here by Tue 1 Dec 2026"),
        ("post", "21", "working-arch", "promise", "appliance in the post, here by Thu 26 Nov 2026"),
        ("scan", "09", "opposing-arch", "promise", "scan, here by Wed 25 Nov 2026"),
    ],
)
def test_a_word_is_read_for_what_is_asked(text, number, requirement, kind, says):
    answer = read(text, number, requirement).answer
    assert answer is not None
    assert (answer.kind, answer.says) == (kind, says)


def test_ringing_back_on_a_day_is_from_the_beginning_of_that_day():
    assert read("rings back thu", "40", "thickness").answer.ring_back == datetime(2026, 11, 26)


@pytest.mark.parametrize(
    ("number", "requirement", "words"),
    [
        ("02", "bite-record", ["post", "scan", "not needed", "rings back …"]),
        ("15", "working-arch", ["upper", "lower", "both", "rings back …"]),
        ("21", "working-arch", ["post", "not needed", "rings back …"]),
        ("30", "bite-record", ["centric", "opened …", "post", "scan", "not needed", "rings back …"]),
        ("31", "appointment-feasible", ["moved to …", "stays", "rings back …"]),
        ("08", "impression-age", ["post", "scan", "at our risk", "taken …", "rings back …"]),
        ("33", "impression-age", ["taken …", "post", "scan", "rings back …"]),
        ("38", "teeth", ["lower", "rings back …"]),
        ("40", "thickness", ["usual", "not needed", "rings back …"]),
        ("47", "colour", ["clear", "not needed", "rings back …"]),
        ("70", "same-appliance-twice", ["yes", "no", "rings back …"]),
        ("71", "thickness", ["usual", "yes", "rings back …"]),
    ],
)
def test_the_usual_answers_fit_what_is_asked(number, requirement, words):
    assert offered(number, requirement) == words


def test_who_may_sign_is_offered_by_name():
    _, practice = case_of("03")
    assert offered("03", "prescriber") == [*practice.prescribers, "rings back …"]


COMPLETED = {
    "moved to …": "moved to 14 dec",
    "taken …": "taken 24 nov 9.00",
    "opened …": "opened 3",
    "protruded …": "protruded 6",
    "rings back …": "rings back 14.30",
}


@pytest.mark.parametrize("number", NUMBERS)
def test_what_is_offered_to_be_completed_reads_as_it_says_and_no_more_than_six_are(number):
    case, practice = case_of(number)
    for asked in questions(case, practice):
        offers = choices(asked, case, LAB, practice, NOW)
        assert len(offers) <= 6
        for each in offers:
            if "…" in each.words:
                answer = read_answer(COMPLETED[each.words], asked, case, LAB, practice, NOW).answer
                assert answer is not None
                assert answer.kind == each.kind


def test_when_an_impression_was_taken_is_put_to_the_one_that_is_asked_about():
    case, practice = case_of("33")
    right = Item(item="scan", arch="upper", taken=datetime(2026, 11, 24, 9, 0))
    case = case.model_copy(update={"items": (*case.items, right)})
    after = answered(case, practice, "impression-age", "24 nov 15.00")
    assert [item.taken for item in after.items] == [datetime(2026, 11, 24, 15, 0)] * 2 + [right.taken]


def test_anybody_at_the_practice_may_say_when_an_impression_was_taken():
    case, practice = case_of("33")
    asked = question(case, practice, "impression-age")
    answer = read("24 nov 15.00", "33", "impression-age").answer
    assert not changes_what_is_made(asked, answer)
    assert counts(asked, answer, RECEPTION) == ""


def test_that_an_old_impression_is_poured_is_the_prescribers_risk_to_take():
    case, practice = case_of("08")
    asked = question(case, practice, "impression-age")
    assert counts(asked, read("at our risk", "08", "impression-age").answer, RECEPTION)


def test_of_several_bite_records_none_is_guessed():
    case, practice = case_of("30")
    (bite,) = [item for item in case.items if item.item == "bite-record"]
    case = case.model_copy(update={"items": (*case.items, bite)})
    refused = read_answer("centric", question(case, practice, "bite-record"), case, LAB, practice, NOW)
    assert refused.answer is None
    assert "Several bite records came" in refused.said.text


def test_a_bite_record_whose_position_is_known_keeps_it():
    case, practice = case_of("30")
    known = Item(item="bite-record", kind="protrusive", mm=6)
    case = case.model_copy(update={"items": (known, *case.items)})
    after = answered(case, practice, "bite-record", "centric")
    assert [item.kind for item in after.items if item.item == "bite-record"] == ["protrusive", "centric"]


def test_teeth_that_contradict_the_arch_leave_either_to_be_right():
    case, practice = case_of("38")
    by_arch, by_teeth = answered(case, practice, "teeth", "lower"), answered(case, practice, "teeth", "UR6 UL6")
    assert (by_arch.appliances[0].arch, by_arch.appliances[0].teeth) == ("lower", case.appliances[0].teeth)
    assert (by_teeth.appliances[0].arch, by_teeth.appliances[0].teeth) == ("upper", ("16", "26"))


def test_the_appointment_is_moved_and_nobody_has_to_sign_for_it():
    case, practice = case_of("31")
    after = answered(case, practice, "appointment-feasible", "moved to 14 dec at 9.30")
    assert after.appointment == datetime(2026, 12, 14, 9, 30)
    assert after.spoken == ()
    assert "appointment-feasible" not in {each.requirement for each in questions(after, practice)}


def three_alike_and_another():
    case, practice = case_of("70")
    splint = case_of("36")[0].appliances[0]
    return case.model_copy(update={"appliances": (case.appliances[0],) * 3 + (splint,)}), practice


def test_of_three_alike_that_are_one_the_other_appliance_stays():
    case, practice = three_alike_and_another()
    for asked in reversed([each for each in questions(case, practice) if each.requirement == "same-appliance-twice"]):
        answer = read_answer("no", asked, case, LAB, practice, NOW).answer
        case = apply(case, asked, answer, PRESCRIBER, LAB, practice, NOW)
    assert [each.type for each in case.appliances] == ["vacuum-formed-retainer", "occlusal-splint-hard"]


def test_what_was_said_of_an_appliance_that_went_is_said_of_the_case():
    case, practice = case_of("70")
    after = answered(case, practice, "same-appliance-twice", "no")
    (told,) = [each for each in judge(after, LAB, practice, NOW).findings if each.requirement == "spoken-answer"]
    assert (told.level, told.appliance) == ("warns", None)
    assert told.because.startswith("Same appliance twice “once” was said by Dr R. Ashdown on Wed 25 Nov 2026")


def test_an_appliance_that_is_not_there_twice_is_never_taken_away():
    case, practice = three_alike_and_another()
    last = [each for each in questions(case, practice) if each.requirement == "same-appliance-twice"][-1]
    answer = read_answer("no", last, case, LAB, practice, NOW).answer
    once = case.model_copy(update={"appliances": (case.appliances[0], case.appliances[3], case.appliances[3])})
    once = once.model_copy(update={"appliances": (*once.appliances[:2], case_of("15")[0].appliances[0])})
    assert apply(once, last, answer, PRESCRIBER, LAB, practice, NOW) == once


def test_what_was_said_of_a_later_appliance_moves_with_it_and_stays_known():
    case, practice = three_alike_and_another()
    asked = question(case, practice, "same-appliance-twice")
    about = {"requirement": "thickness", "says": "2 mm", "by": "Dr L", "on": NOW.date()}
    case = case.model_copy(
        update={
            "spoken": (Spoken(appliance=3, **about),),
            "waived": (Waiver(requirement="colour", appliance=3, by="Dr L"),),
        }
    )
    answer = read_answer("no", asked, case, LAB, practice, NOW).answer
    after = apply(case, asked, answer, PRESCRIBER, LAB, practice, NOW)
    assert [(each.requirement, each.appliance) for each in after.spoken] == [
        ("thickness", 2),
        ("same-appliance-twice", None),
    ]
    assert [each.appliance for each in after.waived] == [2]
    assert spoken_of(after, "thickness", 3, "2 mm", "Dr L") == (Spoken(appliance=2, **about),)
    assert spoken_of(after, "thickness", 3, "3 mm", "Dr L") == ()


def test_of_two_answers_alike_the_one_about_this_appliance_is_meant():
    about = {"requirement": "thickness", "says": "2 mm", "by": "Dr L", "on": NOW.date()}
    first, second = (Spoken(appliance=index, **about) for index in (0, 1))
    case = case_of("40")[0].model_copy(update={"spoken": (first, second)})
    assert spoken_of(case, "thickness", 1, "2 mm", "Dr L") == (second,)


def test_a_confirmation_that_is_asked_for_takes_no_other_answer():
    """Where the setup lets no spoken answer free a job, its confirmation is asked for like anything else."""
    strict = LAB.model_copy(
        update={
            "rules": tuple(
                rule.model_copy(update={"level": "stops"}) if rule.id == "spoken-answer" else rule for rule in LAB.rules
            )
        }
    )
    case, practice = case_of("40")
    case = answered(case, practice, "thickness", "3")
    (asked,) = [each for each in judge(case, strict, practice, NOW).findings if each.requirement == "spoken-answer"]
    assert asked.level == "stops"
    assert choices(asked, case, strict, practice, NOW) == ()
    refused = read_answer("yes", asked, case, strict, practice, NOW)
    assert refused.answer is None
    assert "confirms it in writing" in refused.said.text
    assert read_answer("- they will write", asked, case, strict, practice, NOW).answer.kind == "note"


@given(st.integers(0, 400), st.sampled_from(["tomorrow 9.30", "fri", "+2w", "10 dec"]))
def test_a_day_that_was_said_is_the_same_day_whenever_the_case_is_changed(later, text):
    case, practice = case_of("26")
    asked = question(case, practice, "appointment-date")
    answer = read_answer(text, asked, case, LAB, practice, NOW).answer
    made = [apply(case, asked, answer, PRESCRIBER, LAB, practice, NOW + timedelta(days=days)) for days in (0, later)]
    assert made[0].appointment == made[1].appointment


@pytest.mark.parametrize("number", NUMBERS)
def test_nothing_that_was_understood_is_changed_by_saying_it_again(number):
    case, practice = case_of(number)
    texts = ("3", "2.5 mm", "A2", "clear", "18 dec 9.30", "24 nov 8.00", "Dr New", "UR6 UL6", "upper", "centric")
    for asked in questions(case, practice):
        for text in (*texts, *(each.words for each in choices(asked, case, LAB, practice, NOW))):
            answer = read_answer(text, asked, case, LAB, practice, NOW).answer
            if answer is None or (asked.requirement == "same-appliance-twice" and answer.kind == "value"):
                continue
            assert read_answer(answer.written, asked, case, LAB, practice, NOW).answer == answer
            once = apply(case, asked, answer, PRESCRIBER, LAB, practice, NOW)
            assert apply(once, asked, answer, PRESCRIBER, LAB, practice, NOW) == once


def test_the_promised_day_is_never_before_the_posting():
    """Over the Christmas of 2026, whose bank holidays the UK government publishes."""
    case, practice = case_of("02")
    asked = question(case, practice, "bite-record")
    for ahead in range(45):
        now = NOW + timedelta(days=ahead)
        by = read_answer("post", asked, case, LAB, practice, now).answer.promise.by
        assert by > now.date()
        assert by.weekday() != 6
        assert by not in (date(2026, 12, 25), date(2026, 12, 28), date(2027, 1, 1))
