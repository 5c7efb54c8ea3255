"""What was seen on opening, and the name on the bag, in the shipped rule book: what stops, what asks, what warns."""

from datetime import datetime

import pytest

from intake.domain.answer import Speaker
from intake.domain.answering import apply, choices, counts, read_answer
from intake.domain.case import Appliance, Case, Item, Options, Patient, SeenCondition
from intake.domain.form import read_form
from intake.domain.form_joining import joined_form
from intake.domain.form_writing import written_form
from intake.domain.judging import judge
from intake.domain.matching import joined
from intake.domain.parcels import accepted_words, is_done
from intake.domain.rulebook import ConditionSeen, NameFound
from intake.resources import demo, resource
from intake.setup.reading import read_practices, read_setup

LAB = read_setup(resource("setup", "default.toml"))
PRACTICES = read_practices(demo("practices.toml"))
MARLOWE = next(practice for practice in PRACTICES if practice.code == "MARLOW1")
NOW = datetime(2026, 11, 25, 10, 30)
COMPLETE = Case(
    practice="MARLOW1",
    prescriber="Dr R. Ashdown",
    patient=Patient(label="J.T.", reference="20418"),
    appliances=(Appliance(type="vacuum-formed-retainer", arch="upper", options=Options(thickness_mm=1)),),
    items=(Item(item="impression", arch="upper", material="addition-silicone", taken=datetime(2026, 11, 24, 15)),),
    hygiene="disinfected",
    appointment=datetime(2026, 12, 10, 9, 30),
    arrived=NOW,
)


def seen(*conditions, accepted_by="", note="", case=COMPLETE):
    condition = SeenCondition(seen=conditions, accepted_by=accepted_by, note=note)
    return case.model_copy(update={"condition": condition})


def found(name, case=COMPLETE):
    return case.model_copy(update={"patient": case.patient.model_copy(update={"found": name})})


def findings(case):
    return {finding.requirement: finding for finding in judge(case, LAB, MARLOWE, NOW).findings}


def levels(case):
    return {name: finding.level for name, finding in findings(case).items()}


def test_the_case_that_is_used_here_lacks_nothing():
    assert levels(COMPLETE) == {}
    assert levels(seen("dry")) == {}
    assert levels(seen("wet")) == {}


@pytest.mark.parametrize("flaw", ["torn-tray", "distorted", "crushed"])
def test_a_flaw_asks_for_a_new_one_until_somebody_takes_it_on(flaw):
    assert levels(seen(flaw)) == {"received-damaged": "asks"}
    assert levels(seen(flaw, accepted_by="AB")) == {"received-damaged": "warns"}


def test_a_flaw_is_told_with_what_was_seen_and_the_note():
    because = findings(seen("torn-tray", "blood", note="at UL6"))["received-damaged"].because
    assert because.startswith("On opening was seen: a torn tray (at UL6). ")


def test_blood_warns_with_the_caution_whoever_accepts_it():
    for case in (seen("blood"), seen("blood", accepted_by="AB")):
        assert levels(case) == {"blood-seen": "warns"}
        assert "Gloves and eye protection" in findings(case)["blood-seen"].question
        assert "Local rules decide." in findings(case)["blood-seen"].question


@pytest.mark.parametrize("flaw", ["prescription-missing", "prescription-unreadable"])
def test_without_a_prescription_that_can_be_read_nothing_is_made(flaw):
    """A custom-made device is made to a written prescription (Reg. (EU) 2017/745 Art. 2(3))."""
    assert levels(seen(flaw, accepted_by="AB")) == {"prescription-sheet": "stops"}
    sheet = COMPLETE.model_copy(update={"items": (*COMPLETE.items, Item(item="prescription-sheet"))})
    assert levels(seen(flaw, case=sheet)) == {}


def test_another_name_stops_and_a_near_one_warns():
    assert levels(found("J. Thornley")) == {}
    assert levels(found("T.J. 20418")) == {"name-found-near": "warns"}
    assert levels(found("M. Okafor")) == {"name-found-differs": "stops"}
    finding = findings(found("M. Okafor"))["name-found-differs"]
    assert finding.place == "patient.found"
    assert finding.because.startswith(
        "On the bag or tray stands “M. Okafor”, on the prescription “J.T. · 20418”. We change neither"
    )


def answer(case, requirement, words, authority="team"):
    question = findings(case)[requirement]
    read = read_answer(words, question, case, LAB, MARLOWE, NOW)
    assert read.answer is not None, read.said
    speaker = Speaker(name="Jo", authority=authority, route="telephone")
    return (
        read.answer,
        counts(question, read.answer, speaker),
        apply(case, question, read.answer, speaker, LAB, MARLOWE, NOW),
    )


def test_the_practice_says_that_it_is_the_same_patient_and_both_names_stay():
    case = found("M. Okafor")
    said, why_not, after = answer(case, "name-found-differs", "yes")
    assert (said.says, why_not) == ("the same patient", "")
    assert levels(after) == {}
    assert (after.patient.label, after.patient.found) == ("J.T.", "M. Okafor")
    offered = choices(findings(case)["name-found-differs"], case, LAB, MARLOWE, NOW)
    assert offered[0].shown == "yes, the same patient"


def test_only_the_prescriber_lets_the_laboratory_work_with_what_came_flawed():
    case = seen("distorted")
    assert answer(case, "received-damaged", "as it is")[1] != ""
    after = answer(case, "received-damaged", "as it is", "prescriber")[2]
    assert levels(after) == {"spoken-answer": "warns"}  # it was said on the telephone
    said, _, after = answer(case, "received-damaged", "post")
    assert (said.kind, said.promise.items) == ("promise", ("impression", "model"))
    assert after == case
    words = [choice.words for choice in choices(findings(case)["received-damaged"], case, LAB, MARLOWE, NOW)]
    assert words[:3] == ["post", "scan", "as it is"]


def test_a_prescription_can_be_promised_by_post_or_by_mail_and_brings_itself():
    case = seen("prescription-missing")
    for words in ("post", "scan"):
        assert answer(case, "prescription-sheet", words)[0].promise.items == ("prescription-sheet",)
    brought = COMPLETE.model_copy(update={"items": (Item(item="prescription-sheet"),), "appliances": ()})
    assert levels(joined(case, brought)) == {}
    assert joined(COMPLETE, brought).items == COMPLETE.items


def test_what_joins_a_case_brings_what_was_seen_of_it_and_the_name_on_its_bag():
    part = seen("torn-tray", accepted_by="CD", note="lower", case=found("J. Thornley"))
    both = joined(seen("dry", case=found("J.T.")), part)
    assert both.condition == SeenCondition(seen=("dry", "torn-tray"), note="lower", accepted_by="CD")
    assert both.patient.found == "J.T.; J. Thornley"
    unaccepted = joined(seen("crushed"), part)
    assert unaccepted.condition.accepted_by == ""
    assert joined(COMPLETE, COMPLETE).condition is None


def test_what_was_accepted_stands_in_one_line_and_dry_needs_nobody():
    """Accepted with a flaw, so the report says what was wrong (ISO 15189:2022 7.2.6.2, as summarised)."""
    accepted = SeenCondition(seen=("dry", "wet", "torn-tray"), note="lower. ", accepted_by="AB")
    assert accepted_words(accepted) == "Wet and a torn tray (lower): accepted in spite of it by AB."
    assert accepted_words(SeenCondition(seen=("dry",), accepted_by="AB")) == ""
    assert accepted_words(SeenCondition(seen=("wet",))) == accepted_words(None) == ""


def test_the_name_on_the_bag_has_its_field_where_it_came_in_a_parcel_or_something_is_in_it():
    assert "patient.found" not in read_form({}, LAB, PRACTICES, NOW).places
    assert "patient.found" in read_form({"patient.found": "J.T."}, LAB, PRACTICES, NOW).places
    form = read_form({}, LAB, PRACTICES, NOW, seen("dry"))
    assert form.places.index("patient.found") == form.places.index("patient.reference") + 1
    assert form.case.condition.seen == ("dry",)


def test_a_case_with_a_name_found_is_written_to_the_form_and_read_back():
    case = found("J. Thornley; JT", seen("wet"))
    read = read_form(written_form(case, LAB, PRACTICES), LAB, PRACTICES, NOW, case)
    assert read.case.patient == case.patient
    assert read.case.condition == case.condition


def test_two_forms_of_one_case_keep_both_names():
    assert joined_form({"patient.found": "J.T."}, {"patient.found": "J. Thornley"})["patient.found"] == (
        "J.T.; J. Thornley"
    )
    assert joined_form({"patient.found": "J.T."}, {"patient.found": "J.T."})["patient.found"] == "J.T."


def test_a_rule_can_be_written_for_every_way_a_flaw_stands():
    assert ConditionSeen(condition=("wet",)).accepted is None
    assert NameFound(name_found="near").name_found == "near"
    wet = LAB.model_copy(
        update={
            "rules": tuple(
                rule.model_copy(update={"when": (ConditionSeen(condition=("wet",)),)})
                for rule in LAB.rules
                if rule.id == "blood-seen"
            )
        }
    )
    for case in (seen("wet"), seen("wet", accepted_by="AB")):
        assert [finding.requirement for finding in judge(case, wet, MARLOWE, NOW).findings] == ["blood-seen"]


def test_a_parcel_of_which_nothing_is_logged_is_not_finished():
    assert not is_done([])
    assert is_done([True, True])
    assert not is_done([True, False])
