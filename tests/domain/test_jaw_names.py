"""The jaw by a file's name: whole words in many languages, and never a name of people or places.

The words of other languages are from memory, common practice, no source. File names are invented.
"""

import unicodedata
from string import ascii_lowercase

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.jaw_names import JawNamed, jaw_named, stem

UPPERS = [
    "upper.stl", "UPPER.PLY", "Upper 2.obj", "20418_upper_final.stl", "maxilla.stl", "maxillary-arch.stl",
    "Oberkiefer.stl", "arcade supérieure.stl", "arcada superior.ply", "arcata superiore.stl", "bovenkaak.stl",
    "overkæbe.stl", "OVERKÆBE.STL", "overkaebe.stl", "överkäke.stl", "overkjeve.obj", "yläleuka.stl",
    "felső állcsont.stl", "άνω γνάθος.stl", "ΑΝΩ.stl", "верхняя челюсть.stl", "Верхня щелепа.stl",
]  # fmt: skip
LOWERS = [
    "lower.stl", "Mandible.ply", "mandibular arch.stl", "Unterkiefer.stl", "arcade inférieure.stl", "mandíbula.stl",
    "arcata inferiore.stl", "onderkaak.stl", "underkæbe.stl", "underkäke.stl", "underkjeve.stl", "alaleuka.stl",
    "żuchwa.stl", "ŻUCHWA.STL", "zuchwa.stl", "κάτω γνάθος.stl", "нижняя челюсть.stl", "НИЖНЯЯ.stl",
]  # fmt: skip
BITES = [
    "bite.stl", "Bite_left.ply", "occlusion.stl", "Biss.stl", "buccal 1.stl", "vestibular.stl", "oclusión.stl",
    "mordida.stl", "zgryz.stl", "прикус.stl",
]  # fmt: skip


@pytest.mark.parametrize("name", UPPERS)
def test_an_upper_in_the_languages_of_practices(name):
    assert jaw_named(name) == JawNamed("upper")


@pytest.mark.parametrize("name", LOWERS)
def test_a_lower_in_the_languages_of_practices(name):
    assert jaw_named(name) == JawNamed("lower")


@pytest.mark.parametrize("name", BITES)
def test_a_bite_in_the_languages_of_practices(name):
    assert jaw_named(name) == JawNamed("bite")


@pytest.mark.parametrize("form", ["NFC", "NFD", "NFKC", "NFKD"])
@pytest.mark.parametrize(
    ("name", "jaw"), [("Supérieur.stl", "upper"), ("żuchwa.stl", "lower"), ("нижний.stl", "lower")]
)
def test_accents_count_alike_however_the_other_computer_wrote_them(form, name, jaw):
    assert jaw_named(unicodedata.normalize(form, name)).jaw == jaw


@pytest.mark.parametrize(
    ("name", "jaw"),
    [
        ("UpperJaw.stl", "upper"),
        ("scanLower.stl", "lower"),
        ("UpperJaw_2.stl", "upper"),
        ("JTUpper.stl", "upper"),
        ("JTLowerJaw.stl", "lower"),
        ("upperjaw.stl", "upper"),
        ("LOWERJAW.stl", "lower"),
        ("20418upper1.stl", "upper"),
        ("upper", "upper"),
        ("case.upper", "upper"),
        ("case 20418.lower.stl", "lower"),
        ("BiteScan.stl", "bite"),
    ],
)
def test_joined_words_are_parted(name, jaw):
    assert jaw_named(name) == JawNamed(jaw)


@pytest.mark.parametrize(
    "name",
    [
        "max.stl", "Max Ashdown.stl", "Man.stl", "alt.stl", "Alt_Wilhelmine.ply", "Upperton.stl", "Lowery J.stl",
        "Lowerson.stl", "Supperfield.stl", "Flower.stl", "Okoro.stl", "Ukeson.stl", "Infante.stl", "Biteley.stl",
        "Maxine.stl", "Mandy.stl", "Superiora.stl", "Obermaier.stl", "also.stl", "Bissett.stl", "scan 1.stl",
        "20418.stl", "", ".stl", "..", "J.T.", "челюсть.stl", "扫描.stl",
    ],
)  # fmt: skip
def test_names_of_people_and_names_without_a_cue_say_no_jaw(name):
    assert jaw_named(name).jaw is None


@pytest.mark.parametrize(
    ("name", "jaw"),
    [
        ("OK.stl", "upper"), ("scan_OK.stl", "upper"), ("mx.stl", "upper"), ("sup.ply", "upper"), ("UK.stl", "lower"),
        ("md.stl", "lower"), ("inf.ply", "lower"), ("occlusal.stl", "bite"), ("Górny J.stl", "upper"),
        ("Dolna.stl", "lower"),
    ],
)  # fmt: skip
def test_short_forms_and_words_that_are_names_too_are_not_sure(name, jaw):
    assert jaw_named(name) == JawNamed(jaw, sure=False)


def test_a_word_that_is_sure_beats_a_short_form():
    assert jaw_named("upper UK.stl") == JawNamed("upper")
    assert jaw_named("lower scan ok.stl") == JawNamed("lower")
    assert jaw_named("upper occlusal.stl") == JawNamed("upper")


@pytest.mark.parametrize("name", ["upper bite.stl", "LowerBite.stl", "upper-lower occlusion.stl", "Biss OK.stl"])
def test_a_bite_beats_the_jaws(name):
    assert jaw_named(name) == JawNamed("bite")


@pytest.mark.parametrize(
    ("name", "jaw"),
    [
        ("upper bite splint.stl", "upper"),
        ("BiteSplint lower.stl", "lower"),
        ("occlusal splint upper.stl", "upper"),
        ("bite guard.stl", None),
        ("bite splint bite.stl", "bite"),
    ],
)
def test_the_name_of_an_appliance_is_no_bite(name, jaw):
    assert jaw_named(name).jaw == jaw


@pytest.mark.parametrize(
    "name", ["upper and lower.stl", "UpperLower.stl", "OK_UK.stl", "Ober- und Unterkiefer upper.stl"]
)
def test_a_name_that_says_both_jaws_says_neither(name):
    assert jaw_named(name).jaw is None


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("20418 upper.stl", "20418 lower.stl"),
        ("JT_UpperJaw.stl", "JT_LowerJaw.ply"),
        ("Oberkiefer 20418.stl", "20418_Unterkiefer.stl"),
        ("JT upper 1.stl", "JT bite 3.stl"),
        ("J. Tamm OK.obj", "J. Tamm UK.obj"),
        ("upper.3mf", "lower.dcm"),
    ],
)
def test_names_of_one_delivery_are_alike_but_for_the_jaw(one, other):
    assert stem(one) == stem(other)


@pytest.mark.parametrize(
    ("one", "other"), [("20418 upper.stl", "20419 lower.stl"), ("Tamm upper.stl", "Tonn lower.stl")]
)
def test_names_of_two_patients_are_not_alike(one, other):
    assert stem(one) != stem(other)


@given(st.text(max_size=60))
def test_any_name_is_read(name):
    assert jaw_named(name).jaw in (None, "upper", "lower", "bite")
    assert isinstance(stem(name), str)


@given(st.text(alphabet=ascii_lowercase, min_size=1, max_size=12))
def test_more_letters_on_a_word_take_its_meaning_away(letters):
    assert jaw_named(f"upper{letters}.stl").jaw == ("upper" if letters in ("jaw", "arch") else None)


@given(
    st.permutations(["upper", "20418", "Tamm", "final"]), st.sampled_from(["_", " ", "-", ".", "+", "__", " (", "#"])
)
def test_where_the_word_stands_and_what_parts_it_does_not_matter(words, between):
    assert jaw_named(f"{between.join(words)}.stl") == JawNamed("upper")
