"""Answers read from words and applied to the case: nothing guessed, nothing earlier lost."""

from datetime import date, datetime
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.domain.answer import Answer, Speaker
from intake.domain.answer_offers import BLANK, filled, offered
from intake.domain.answering import (
    apply,
    can_stand,
    changes_what_is_made,
    choices,
    confirmed,
    counts,
    disinfected_always,
    is_spoken,
    read_answer,
    standing_of,
)
from intake.domain.case import SeenFault, SeenScan
from intake.domain.judging import judge
from intake.domain.reading import find_practice, read_case
from intake.resources import demo
from intake.setup.reading import read_practices, read_setup

LAB, PRACTICES = read_setup(demo("lab.toml")), read_practices(demo("practices.toml"))
NOW = datetime(2026, 11, 25, 13, 20)
"""A Wednesday; post of today is here on Thursday."""
PRESCRIBER = Speaker(name="Dr R. Ashdown", authority="prescriber", route="telephone")
NURSE = Speaker(name="Ms Osterby", authority="on-behalf", route="telephone")
RECEPTION = Speaker(name="Jo", authority="team", route="telephone")
IN_WRITING = Speaker(name="Ms Osterby", authority="on-behalf", route="e-mail")


POSTED = "bite record in the post, here by Thu 26 Nov 2026"


@cache
def case_of(number):
    (file,) = demo("day").glob(f"{number}-*.json")
    case = read_case(file.read_bytes(), LAB, PRACTICES)
    return case, find_practice(case.practice, PRACTICES)


def asked_of(case, practice):
    return [f for f in judge(case, LAB, practice, NOW).findings if f.level != "warns"]


def question(number, requirement):
    case, practice = case_of(number)
    return next(f for f in asked_of(case, practice) if f.requirement == requirement), case, practice


def read(text, number, requirement):
    asked, case, practice = question(number, requirement)
    return read_answer(text, asked, case, LAB, practice, NOW)


def said(text, number, requirement):
    answer = read(text, number, requirement).answer
    assert answer is not None, read(text, number, requirement).said
    return answer


def after(text, number, requirement, speaker=NURSE):
    asked, case, practice = question(number, requirement)
    return apply(case, asked, said(text, number, requirement), speaker, LAB, practice, NOW)


@pytest.mark.parametrize(
    ("text", "number", "requirement", "kind", "says"),
    [
        ("3", "40", "thickness", "value", "3 mm"),
        ("1,5 mm", "40", "thickness", "value", "1.5 mm"),
        ("usual", "40", "thickness", "usual", "3 mm, the laboratory’s usual"),
        ("use the lab's usual", "40", "thickness", "usual", "3 mm, the laboratory’s usual"),
        ("a3,5", "24", "shade", "value", "A3.5"),
        ("upper", "15", "working-arch", "value", "upper"),
        ("u", "15", "working-arch", "value", "upper"),
        ("UR6 UR7", "06", "teeth", "value", "17, 16"),
        ("14 dec 9.30", "26", "appointment-date", "value", "Mon 14 Dec 2026, 09:30"),
        ("on 14 dec at 9.30", "26", "appointment-date", "value", "Mon 14 Dec 2026, 09:30"),
        ("post", "02", "bite-record", "promise", POSTED),
        ("in tonight’s post", "02", "bite-record", "promise", POSTED),
        ("post fri", "02", "bite-record", "promise", "bite record in the post, here by Mon 30 Nov 2026"),
        (
            "bite record in tonight's post",
            "02",
            "bite-record",
            "promise",
            POSTED,
        ),
        ("coming by post", "02", "bite-record", "promise", POSTED),
        ("not needed, says the prescriber", "02", "bite-record", "as-it-is", "not needed, says the prescriber"),
        ("lab default", "40", "thickness", "usual", "3 mm, the laboratory’s usual"),
        ("scan today", "02", "bite-record", "promise", "bite record as a scan, here by Wed 25 Nov 2026"),
        ("not needed", "02", "bite-record", "as-it-is", "not needed"),
        ("make it without", "02", "bite-record", "as-it-is", "make it without"),
        ("yes", "71", "thickness", "as-it-is", "30 mm, as written"),
        ("3", "71", "thickness", "value", "3 mm"),
        ("no", "70", "same-appliance-twice", "value", "once"),
        ("yes, two", "70", "same-appliance-twice", "as-it-is", "twice"),
        ("rings back 14.30", "40", "thickness", "ring-back", "rings back Wed 25 Nov 2026, 14:30"),
        ("prescriber will ring back", "40", "thickness", "ring-back", "rings back"),
        ("- nurse is asking him", "40", "thickness", "note", "“nurse is asking him”"),
        ("always 2", "40", "thickness", "value", "2 mm"),
    ],
)
def test_an_answer_is_read_as_the_desk_types_it(text, number, requirement, kind, says):
    answer = said(text, number, requirement)
    assert (answer.kind, answer.says) == (kind, says)
    assert answer.always == text.startswith("always")


@pytest.mark.parametrize(
    ("text", "number", "requirement", "told"),
    [
        ("thick", "40", "thickness", "Type the measure in mm"),
        ("usual", "24", "shade", "The setup has no usual for this"),
        ("not needed", "15", "working-arch", "cannot be left out"),
        ("Z9", "24", "shade", "not among the lab’s shades"),
        ("6", "06", "teeth", ""),
        ("hello", "02", "bite-record", "Type post or scan"),
        ("always 14 dec", "31", "appointment-feasible", "no standing instruction"),
        ("always", "40", "thickness", ""),
        ("never mind", "07", "practice", "change the prescription itself"),
        ("post", "03", "prescriber", "Nothing that could be sent"),
        ("scan", "07", "patient", "Nothing that could be sent"),
    ],
)
def test_what_is_no_answer_is_not_taken_for_one(text, number, requirement, told):
    refused = read(text, number, requirement)
    assert refused.answer is None
    assert told in refused.said.text


def test_post_over_a_weekend_and_a_bank_holiday_counts_the_carriers_days():
    """Thu 24 Dec 2026: Friday is Christmas Day, Monday the substitute day (UK government's published bank holidays)."""
    asked, case, practice = question("02", "bite-record")
    answer = read_answer("post", asked, case, LAB, practice, datetime(2026, 12, 24, 9)).answer
    assert answer.promise.by == date(2026, 12, 29)


@pytest.mark.parametrize(
    ("text", "requirement", "number", "made"),
    [
        ("3", "thickness", "40", True),
        ("not needed", "bite-record", "02", True),
        ("post", "bite-record", "02", False),
        ("14 dec", "appointment-date", "26", False),
        ("rings back", "thickness", "40", False),
        ("a2", "shade", "24", True),
        ("Dr X", "prescriber", "03", False),
    ],
)
def test_what_changes_what_is_made_is_the_prescribers_to_say(text, requirement, number, made):
    asked, _, _ = question(number, requirement)
    answer = said(text, number, requirement)
    assert changes_what_is_made(asked, answer) is made
    assert bool(counts(asked, answer, RECEPTION)) is made
    assert counts(asked, answer, NURSE) == ""
    assert is_spoken(asked, answer, NURSE) is made
    assert not is_spoken(asked, answer, IN_WRITING)


def test_a_spoken_answer_stands_on_the_case_until_it_is_confirmed():
    case = after("3", "40", "thickness")
    (spoken,) = case.spoken
    assert (spoken.says, spoken.by, spoken.on) == ("3 mm", "Ms Osterby", NOW.date())
    cautions = [f for f in judge(case, LAB, case_of("40")[1], NOW).findings if f.requirement == "spoken-answer"]
    assert [f.level for f in cautions] == ["warns"]
    assert "“3 mm” was said by Ms Osterby on Wed 25 Nov 2026 and is not confirmed" in cautions[0].because
    assert confirmed(case, case.spoken).spoken == ()
    assert after("3", "40", "thickness", IN_WRITING).spoken == ()


def test_the_word_of_the_team_alone_changes_nothing_in_what_is_made():
    assert after("3", "40", "thickness", RECEPTION) == case_of("40")[0]


def test_no_to_an_appliance_that_stands_twice_takes_the_second_away():
    before, practice = case_of("70")
    case = after("no", "70", "same-appliance-twice")
    assert len(case.appliances) == len(before.appliances) - 1
    assert "same-appliance-twice" not in {f.requirement for f in asked_of(case, practice)}


def test_what_shall_always_be_so_becomes_a_standing_instruction_of_that_kind_of_appliance():
    asked, case, _ = question("40", "thickness")
    assert can_stand(asked, LAB)
    stands = standing_of(asked, said("always 2", "40", "thickness"), PRESCRIBER, case, LAB, NOW.date())
    assert (stands.requirement, stands.types, stands.says) == (
        "thickness",
        ("occlusal-splint-soft",),
        "2 mm unless stated",
    )
    assert stands.source == "Dr R. Ashdown, the prescriber, by telephone"
    practice = case_of("40")[1].model_copy(update={"standing": (stands,)})
    assert "thickness" not in {f.requirement for f in asked_of(case, practice)}


def test_a_practices_word_that_all_is_disinfected_settles_what_is_said_of_hygiene():
    """A blanket statement to the laboratory is a way that guidance for practices names (SDCEP)."""
    case, practice = case_of("02")
    case = case.model_copy(update={"hygiene": "unknown"})
    plain = practice.model_copy(update={"standing": ()})
    stated = plain.model_copy(update={"standing": (disinfected_always(PRESCRIBER, NOW.date()),)})

    def warned(by):
        return "hygiene-status" in {f.requirement for f in judge(case, LAB, by, NOW).findings}

    assert warned(plain)
    assert not warned(stated)


def about(finding):
    return finding.requirement, finding.appliance, finding.question


NUMBERS = [file.name[:2] for file in sorted(demo("day").glob("*.json"))]


@pytest.mark.parametrize("number", NUMBERS)
def test_every_usual_answer_reads_as_it_says_and_settles_its_question(number):
    case, practice = case_of(number)
    for asked in asked_of(case, practice):
        for choice in choices(asked, case, LAB, practice, NOW):
            if "…" in choice.words:
                continue
            answer = read_answer(choice.words, asked, case, LAB, practice, NOW).answer
            assert answer is not None
            assert answer.kind == choice.kind
            if answer.kind in ("promise", "ring-back", "note"):
                continue
            left = asked_of(apply(case, asked, answer, PRESCRIBER, LAB, practice, NOW), practice)
            same = [
                f
                for f in left
                if (f.requirement, f.appliance, f.question) == (asked.requirement, asked.appliance, asked.question)
            ]
            assert same == []


@pytest.mark.parametrize("number", NUMBERS)
def test_a_form_offers_only_answers_that_it_can_be_read_by(number):
    case, practice = case_of(number)
    for asked in asked_of(case, practice):
        for answer in offered(asked, case, LAB, practice, NOW):
            lines = [[text] * 9 for text in ("2", "1 dec", "UR1", "A1", "words")] + [["1 dec", "9.30"]]
            tried = (filled(answer, texts) for texts in (lines if BLANK.search(answer) else [[]]))
            assert any(read_answer(text, asked, case, LAB, practice, NOW).answer for text in tried)
        if asked.place.endswith(".arch"):
            assert "upper" in offered(asked, case, LAB, practice, NOW)
        elif asked.requirement == "working-arch":
            assert "upper" not in offered(asked, case, LAB, practice, NOW)


speakers = st.sampled_from([PRESCRIBER, NURSE, RECEPTION, IN_WRITING])


@settings(max_examples=60)
@given(st.sampled_from(NUMBERS), st.lists(st.tuples(st.integers(0, 20), st.integers(0, 5), speakers), max_size=8))
def test_no_answer_loses_what_was_waived_said_or_given_before(number, given_answers):
    case, practice = case_of(number)
    for which, choice, speaker in given_answers:
        open_ones = asked_of(case, practice)
        if not open_ones:
            break
        asked = open_ones[which % len(open_ones)]
        offers = [c for c in choices(asked, case, LAB, practice, NOW) if "…" not in c.words]
        if not offers:
            continue
        answer = read_answer(offers[choice % len(offers)].words, asked, case, LAB, practice, NOW).answer
        later = apply(case, asked, answer, speaker, LAB, practice, NOW)
        if len(later.appliances) == len(case.appliances):
            about = (asked.requirement, asked.appliance)
            assert {w for w in case.waived if (w.requirement, w.appliance) != about} <= set(later.waived)
            assert {s for s in case.spoken if (s.requirement, s.appliance) != about} <= set(later.spoken)
        case = later


@given(st.text(max_size=40), st.sampled_from([("40", "thickness"), ("02", "bite-record"), ("26", "appointment-date")]))
def test_whatever_is_typed_is_an_answer_or_a_sentence(text, asked):
    result = read(text, *asked)
    assert isinstance(result.answer, Answer) or result.said.wrong or not text.strip()


@pytest.mark.parametrize("fault", ["part", "broken"])
def test_a_scan_that_will_not_do_is_promised_anew_or_used_as_it_is(fault):
    told = SeenScan(shows="upper", name="u.stl", faults=(SeenFault(fault=fault, says="the upper scan will not do"),))
    case, practice = case_of("01")
    case = case.model_copy(update={"scans": (told,)})
    asked = next(each for each in asked_of(case, practice) if each.requirement.startswith("scan-"))
    kinds = [choice.kind for choice in choices(asked, case, LAB, practice, NOW)]
    assert kinds == ["promise", "promise", "as-it-is", "ring-back"]
    answer = read_answer("as it is", asked, case, LAB, practice, NOW).answer
    after = apply(case, asked, answer, IN_WRITING, LAB, practice, NOW)
    assert asked.requirement not in [each.requirement for each in asked_of(after, practice)]
