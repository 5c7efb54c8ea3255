"""What may be here already: offered with its reasons, and never for chance. Common practice, no source."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Appliance
from intake.domain.likeness import WITHIN, Seen, same_case
from tests.domain.complete_cases import the_lab

DAY = date(2026, 11, 25)
SPLINT = Appliance(type="occlusal-splint-hard", arch="upper")
SOFT = Appliance(type="occlusal-splint-soft", arch="upper")
RETAINER = Appliance(type="vacuum-formed-retainer", arch="upper")
HERE = Seen("MILL", ("Jane Thornley",), "20418", (SPLINT,), "post", DAY - timedelta(days=2))


def like(other=HERE, **said):
    mine = replace(replace(HERE, arrived=DAY), **said)
    return same_case(mine, other, the_lab())


def test_by_post_and_by_scan_is_told_with_every_reason():
    assert like(stream="scan").why == (
        "same practice",
        "reference 20418",
        "the same appliance",
        "by post then and as scans now",
        "2 days apart",
    )


@pytest.mark.parametrize(
    "said",
    [
        {},
        {"names": ("J. Thornley",)},
        {"names": ("J.T.",)},
        {"names": ()},
        {"names": ("Thornley, Jane",), "reference": ""},
        {"names": ("J. Thornley",), "reference": ""},
        {"names": ("J.T.",), "reference": ""},
        {"names": ("K.W.", "Jane Thornley"), "reference": ""},
        {"reference": "20481"},
        {"appliances": (SOFT,)},
        {"appliances": ()},
        {"practice": ""},
        {"practice": "QUAY"},
    ],
    ids=[
        "typed-twice",
        "initial",
        "initials-same-reference",
        "reference-alone",
        "name-the-other-way",
        "initial-without-reference",
        "initials-without-reference",
        "found-name",
        "slip-in-the-reference",
        "read-as-another-splint",
        "nothing-to-make-yet",
        "practice-not-named",
        "same-name-and-work-elsewhere",
    ],
)
def test_it_may_be_the_same(said):
    assert like(**said) is not None


@pytest.mark.parametrize(
    "said",
    [
        {"names": ("J.T.",), "practice": "QUAY", "reference": ""},
        {"names": ("J. Thornley",), "practice": "QUAY", "reference": ""},
        {"names": (), "practice": "QUAY"},
        {"names": ("K. Whitcombe",)},
        {"names": ("K. Whitcombe",), "reference": ""},
        {"reference": "31977"},
        {"names": ("J.T.",), "reference": "20481"},
        {"appliances": (RETAINER,)},
        {"appliances": (SPLINT.model_copy(update={"arch": "lower"}),)},
        {"names": ("J.T.",), "reference": "", "appliances": ()},
        {"names": ("J.T.",), "reference": "", "practice": ""},
        {"arrived": DAY + timedelta(days=WITHIN)},
        {"names": ("J.T.",), "reference": "", "arrived": DAY + timedelta(days=WITHIN // 2)},
        {"names": ("J.",), "reference": ""},
        {"names": (), "reference": ""},
    ],
    ids=[
        "initials-elsewhere",
        "an-initial-elsewhere",
        "a-number-elsewhere",
        "another-patient-with-that-reference",
        "another-patient",
        "another-reference",
        "initials-and-a-slip",
        "other-work",
        "the-other-arch",
        "initials-before-the-work-is-named",
        "initials-before-the-practice-is-named",
        "long-ago",
        "initials-some-time-ago",
        "one-letter",
        "nobody",
    ],
)
def test_it_is_not_the_same_or_only_by_chance(said):
    assert like(**said) is None


def test_what_was_sent_back_and_comes_again_says_so():
    assert "it was sent back" in like(replace(HERE, returned=True)).why


def test_the_surer_stand_first():
    surer = [
        like(),
        like(reference=""),
        like(names=("J. Thornley",), reference=""),
        like(names=("J.T.",), reference=""),
    ]
    scores = [each.score for each in surer]
    assert scores == sorted(scores, reverse=True)
    assert len(set(scores)) == 4
    assert like().score > like(practice="QUAY").score


seens = st.builds(
    Seen,
    practice=st.sampled_from(("MILL", "QUAY", "")),
    names=st.sampled_from(((), ("J.T.",), ("Jane Thornley",), ("J. Thornley", "Jane Thornley"), ("K.W.",))),
    reference=st.sampled_from(("", "20418", "20481")),
    appliances=st.sampled_from(((), (SPLINT,), (SOFT,), (RETAINER, SPLINT))),
    stream=st.sampled_from(("post", "scan")),
    arrived=st.dates(DAY - timedelta(days=40), DAY),
)


@given(seens, seens)
def test_it_makes_no_difference_which_came_first(one, other):
    there, back = same_case(one, other, the_lab()), same_case(other, one, the_lab())
    assert (there is None) == (back is None)
    assert there is None or (there.score == back.score and 0 < there.score <= 1)


@given(seens, seens)
def test_initials_at_two_practices_are_never_enough(one, other):
    one, other = replace(one, practice="MILL", names=("J.T.",)), replace(other, practice="QUAY", names=("J.T.",))
    assert same_case(one, other, the_lab()) is None
