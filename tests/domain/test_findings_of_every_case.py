"""What the default rule book wants of every case, what it asks about, and what waivers and practices answer for."""

from datetime import date, datetime
from time import perf_counter

import pytest

from intake.domain.case import Case, Item, NewPractice, Options, Patient, Waiver
from intake.domain.practice import StandingInstruction
from tests.domain.complete_cases import (
    APPOINTMENT,
    ARRIVED,
    CENTRIC,
    COMPLETE,
    KNOWN,
    LOWER_SCAN,
    UPPER_SCAN,
    a_case,
    findings,
    said,
    with_appliance,
    with_options,
    without,
)

FOR_ALL = [
    ("practice-not-named", {"practice": None}, None, "stops practice"),
    ("practice-unknown-code", {"practice": "PX"}, None, "stops practice"),
    ("practice-blank", {"practice": " "}, None, "stops practice"),
    ("practice-without-a-way-to-reach-it", {"practice": NewPractice(name="Hollowbrook")}, None, "stops practice"),
    ("prescriber-not-named", {"prescriber": None}, KNOWN, "stops prescriber"),
    ("prescriber-blank", {"prescriber": "  "}, KNOWN, "stops prescriber"),
    ("patient-not-labelled", {"patient": Patient()}, KNOWN, "stops patient"),
    ("no-appointment", {"appointment": None}, KNOWN, "asks appointment-date"),
    ("appointment-too-soon", {"appointment": datetime(2026, 11, 27, 9)}, KNOWN, "asks appointment-feasible"),
    ("appointment-in-a-mistyped-year", {"appointment": datetime(2062, 12, 21, 9)}, KNOWN, "asks appointment-date"),
    ("appointment-beyond-the-calendar", {"appointment": date(9999, 12, 31)}, KNOWN, "asks appointment-date"),
    ("posted-after-it-arrived", {"posted": date(2026, 11, 26)}, KNOWN, "asks impression-age"),
    ("allergy-in-its-field", {"patient": Patient(label="J.T.", allergies=("nickel",))}, KNOWN, "warns allergy"),
    ("allergy-in-the-notes", {"notes": "Please ring. Allergic to latex!"}, KNOWN, "warns allergy"),
]


@pytest.mark.parametrize("kind", ["occlusal-splint-hard", "repair", "aligner-set"])
@pytest.mark.parametrize(("changes", "practice", "expected"), [f[1:] for f in FOR_ALL], ids=[f[0] for f in FOR_ALL])
def test_what_every_case_needs(kind, changes, practice, expected):
    assert said(a_case(kind, **changes), practice) == [expected]


@pytest.mark.parametrize(
    "practice",
    [NewPractice(name="Hollowbrook", telephone="01632 960273"), NewPractice(name="Hollowbrook", address=("9 Mews",))],
    ids=["by-telephone", "by-post"],
)
def test_a_practice_outside_the_directory_is_enough_when_it_can_be_reached(practice):
    assert said(a_case("repair", practice=practice), None) == []


def test_a_reference_alone_is_enough_for_a_patient():
    assert said(a_case("repair", patient=Patient(reference="20418"))) == []


def test_an_allergy_in_the_notes_of_an_appliance_is_not_overlooked():
    assert said(with_appliance(a_case("repair"), notes="allergic to methacrylate")) == ["warns allergy"]


def test_a_blank_among_the_allergies_is_none():
    assert said(a_case("repair", patient=Patient(label="J.T.", allergies=(" ",)))) == []
    (finding,) = findings(a_case("repair", patient=Patient(label="J.T.", allergies=("nickel", ""))))
    assert finding.because.startswith("Allergy named: nickel.")


@pytest.mark.parametrize("notes", ["No known allergies.", "Allergies: none", "nil allergies noted"])
def test_allergies_plainly_denied_are_not_warned_of(notes):
    assert said(a_case("repair", notes=notes)) == []


@pytest.mark.parametrize(
    "notes", ["No reply yet, allergic to latex", "Allergies: none but latex", "Allergies: no nickel"]
)
def test_an_allergy_that_is_not_plainly_denied_is_warned_of(notes):
    assert said(a_case("repair", notes=notes)) == ["warns allergy"]


HYGIENE = [
    ("disinfected", []),
    ("not-disinfected", ["warns hygiene-status"]),
    ("unknown", ["warns hygiene-status"]),
    ("not-applicable", ["warns hygiene-status"]),
]


@pytest.mark.parametrize(("hygiene", "expected"), HYGIENE, ids=[h for h, _ in HYGIENE])
def test_what_was_in_a_mouth_is_contaminated_until_known_otherwise(hygiene, expected):
    assert said(a_case("repair", hygiene=hygiene)) == expected


def test_a_scan_needs_no_disinfection():
    assert said(a_case("whitening-tray", hygiene="unknown")) == []


AGES = [
    ("alginate", datetime(2026, 11, 25, 8, 20), None),
    ("alginate", datetime(2026, 11, 24, 16, 0), "warns impression-age"),
    ("alginate", datetime(2026, 11, 22, 11, 0), "asks impression-age"),
    ("extended-alginate", datetime(2026, 11, 24, 16, 0), None),
    ("extended-alginate", datetime(2026, 11, 21, 1, 0), "warns impression-age"),
    ("extended-alginate", datetime(2026, 11, 19, 9, 0), "asks impression-age"),
    ("addition-silicone", datetime(2026, 11, 20, 9, 0), None),
    ("condensation-silicone", datetime(2026, 11, 24, 17, 0), "asks impression-age"),
    ("addition-silicone", datetime(2026, 11, 26, 9, 0), "asks impression-age"),
]


@pytest.mark.parametrize(("material", "taken", "expected"), AGES, ids=[f"{m}-{t:%d-%H:%M}" for m, t, _ in AGES])
def test_an_impression_older_than_its_material_allows(material, taken, expected):
    impression = Item(item="impression", arch="upper", material=material, taken=taken)
    case = a_case("whitening-tray", items=(impression,))
    assert said(case) == ([expected] if expected else [])


def test_a_material_that_the_lab_does_not_know_is_warned_of_since_nobody_can_say_how_long_it_keeps():
    impression = Item(item="impression", arch="upper", material="chewing gum", taken=datetime(2026, 11, 24, 16, 0))
    (finding,) = findings(a_case("whitening-tray", items=(impression,)))
    assert (finding.level, finding.requirement) == ("warns", "impression-age")
    assert finding.because.startswith("“chewing gum” is not among the laboratory’s materials.")


def test_two_impressions_of_one_age_are_told_in_one_breath():
    taken = datetime(2026, 11, 24, 16, 40)
    items = tuple(Item(item="impression", arch=arch, material="alginate", taken=taken) for arch in ("upper", "lower"))
    (finding,) = findings(a_case("whitening-tray", items=items))
    assert finding.because.startswith(
        "The upper impression and the lower impression are 16 hours old, and alginate is best poured within 30 minutes."
    )


CONTRADICTIONS = [
    ("lower-teeth-on-an-upper-splint", {"teeth": ("36", "46")}, "stops teeth[0]"),
    ("teeth-that-mean-two", {"unclear_teeth": ("14",)}, "stops teeth[0]"),
    (
        "clasps-of-the-other-arch",
        {"options": Options(thickness_mm=2, bite_opening_mm=3, clasps=("36",))},
        "stops teeth[0]",
    ),
    ("thirty-millimetres", {"options": Options(thickness_mm=30, bite_opening_mm=3)}, "asks thickness[0]"),
    ("an-opening-of-twenty", {"options": Options(thickness_mm=2, bite_opening_mm=20)}, "asks bite-opening[0]"),
    ("a-shade-that-nobody-has", {"options": Options(thickness_mm=2, bite_opening_mm=3, shade="A6")}, "asks shade[0]"),
]


@pytest.mark.parametrize(("changes", "expected"), [c[1:] for c in CONTRADICTIONS], ids=[c[0] for c in CONTRADICTIONS])
def test_what_contradicts_itself_is_asked_about(changes, expected):
    assert said(with_appliance(a_case("occlusal-splint-hard"), **changes)) == [expected]


def test_an_upper_splint_with_only_a_lower_impression_is_asked_about():
    (finding,) = findings(without(a_case("occlusal-splint-hard"), UPPER_SCAN))
    assert finding.because == (
        "No impression, model or scan of the upper arch among the 2 items received "
        "(lower scan, scanned centric bite record). The upper hard occlusal splint cannot be made without it."
    )


@pytest.mark.parametrize("shade", ["a3,5", "A3½", " A3.5 ", "OM1"])
def test_a_shade_is_known_in_its_usual_spellings(shade):
    assert said(with_options(a_case("partial-plate-with-tooth"), shade=shade)) == []


def test_the_same_appliance_twice_is_asked_about_once():
    case = a_case("whitening-tray")
    assert said(case.model_copy(update={"appliances": case.appliances * 2})) == ["asks same-appliance-twice[1]"]
    lower = case.appliances[0].model_copy(update={"arch": "lower"})
    assert said(case.model_copy(update={"appliances": (*case.appliances, lower)})) == []


@pytest.mark.parametrize(("unlike", "told"), [(1, 9_999), (10_000, 0)], ids=["all-alike", "all-unlike"])
def test_ten_thousand_appliances_are_judged_in_seconds(unlike, told):
    case = with_options(a_case("whitening-tray"), thickness_mm=1.0)
    (tray,) = case.appliances
    kinds = [tray.model_copy(update={"options": Options(thickness_mm=1 + n / 10_000)}) for n in range(unlike)]
    began = perf_counter()
    found = findings(case.model_copy(update={"appliances": tuple(kinds * (10_000 // unlike))}))
    assert perf_counter() - began < 20  # comparing each with each took over a minute
    assert len(found) == told


def test_splints_for_both_arches_are_asked_for_the_missing_arch_once():
    both = with_appliance(a_case("occlusal-splint-hard", items=(UPPER_SCAN, CENTRIC)), arch="both")
    (finding,) = findings(both)
    assert (finding.requirement, finding.question) == (
        "working-arch",
        "Please send an impression, model or scan of the lower arch.",
    )


def test_only_the_missing_arch_is_asked_for():
    (finding,) = findings(without(a_case("aligner-set"), LOWER_SCAN))
    assert finding.question == "Please send an impression, model or scan of the lower arch."
    nothing, _ = findings(a_case("aligner-set", items=()))
    assert nothing.question == "Please send an impression, model or scan of the upper and the lower arch."


@pytest.mark.parametrize("requirement", ["bite-record", "opposing-arch", "working-arch"])
def test_what_the_prescriber_waives_is_not_asked_for(requirement):
    bare = a_case("occlusal-splint-hard", items=())
    waived = bare.model_copy(update={"waived": (Waiver(requirement=requirement, by="Dr R. Ashdown"),)})
    assert [f.requirement for f in findings(bare)] == ["working-arch", "opposing-arch", "bite-record"]
    assert requirement not in [f.requirement for f in findings(waived)]
    assert len(findings(waived)) == 2


def test_a_waiver_for_one_appliance_leaves_the_others():
    splint = COMPLETE["occlusal-splint-hard"][0]
    lower = splint.model_copy(update={"arch": "lower"})
    waiver = Waiver(requirement="bite-record", appliance=1, by="Dr R. Ashdown")
    case = a_case("occlusal-splint-hard", appliances=(splint, lower), items=(UPPER_SCAN, LOWER_SCAN), waived=(waiver,))
    assert said(case) == ["stops bite-record[0]"]


@pytest.mark.parametrize("requirement", ["practice", "prescriber", "patient", "hygiene-status", "allergy"])
def test_who_it_is_for_and_what_could_hurt_cannot_be_waived(requirement):
    waiver = Waiver(requirement=requirement, by="Dr R. Ashdown")
    case = Case(
        items=(Item(item="impression", arch="upper"),),
        notes="allergic to nickel",
        waived=(waiver,),
        appointment=APPOINTMENT,
        arrived=ARRIVED,
    )
    assert requirement in [f.requirement for f in findings(case, None)]


def standing(requirement, *types):
    instruction = StandingInstruction(requirement=requirement, types=types, says="as always", since=date(2026, 1, 5))
    return KNOWN.model_copy(update={"standing": (instruction,)})


def test_a_standing_instruction_answers_for_its_types_only():
    practice = standing("thickness", "vacuum-formed-retainer")
    assert said(with_options(a_case("vacuum-formed-retainer"), thickness_mm=None), practice) == []
    assert said(with_options(a_case("occlusal-splint-soft"), thickness_mm=None), practice) == ["stops thickness[0]"]


def test_a_standing_instruction_without_types_answers_for_all():
    bare = with_options(a_case("occlusal-splint-soft"), thickness_mm=None)
    assert said(bare, standing("thickness")) == []


def test_a_standing_instruction_hides_no_slip_of_the_pen():
    thick = with_options(a_case("vacuum-formed-retainer"), thickness_mm=30.0)
    assert said(thick, standing("thickness")) == ["asks thickness[0]"]


def test_a_blanket_statement_speaks_where_nothing_is_said_but_not_against_what_is_said():
    practice = standing("hygiene-status")
    assert said(a_case("repair", hygiene="unknown"), practice) == []
    assert said(a_case("repair", hygiene="not-disinfected"), practice) == ["warns hygiene-status"]


def test_teeth_that_mean_two_are_told_with_both_meanings():
    practice = KNOWN.model_copy(update={"notation": "ask"})
    (finding,) = findings(with_appliance(a_case("wire-retainer"), unclear_teeth=("14",)), practice)
    assert finding.because.startswith("“14” can be 14 (UR4) or 26 (UL6).")
    (finding,) = findings(with_appliance(a_case("wire-retainer"), unclear_teeth=("UR16",)))
    assert finding.because.startswith("“UR16” can be 16 and 11 or 16 (UR6).")
