"""Whether two scans are one, by the lengths that no motion and no other format changes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.scan_signature import same_scan, signature_difference
from tests.domain.scan_looks import figures

LENGTHS = (67.8, 21.4, 17.2, 6.1, 30.5)
ONE = figures(signature=LENGTHS)


def other(share, at=2, **changes):
    """The same scan with one of its lengths longer by a share."""
    lengths = tuple(length * (1 + share) if place == at else length for place, length in enumerate(LENGTHS))
    return figures(signature=lengths, **changes)


# What was measured: re-exported, reordered or moved; written with two decimals; resampled; the closest of 980 pairs.
@pytest.mark.parametrize(
    ("share", "triangles", "expected"),
    [
        (0.0, 200_000, "same"),
        (1.3e-6, 200_000, "same"),
        (1.3e-4, 200_000, "same"),
        (1.3e-6, 200_001, "probably"),
        (2.1e-4, 200_000, "probably"),
        (7e-3, 150_000, "probably"),
        (1.1e-2, 200_000, "no"),
        (2.5e-2, 200_000, "no"),
    ],
)
@pytest.mark.parametrize("at", range(len(LENGTHS)))
def test_copies_and_other_scans_as_they_were_measured(share, triangles, expected, at):
    again = other(share, at, triangles=triangles)
    assert same_scan(ONE, again) == same_scan(again, ONE) == expected


def test_the_limits_belong_to_the_nearer_verdict():
    at_same, at_probably = figures(signature=(10_000.0,)), figures(signature=(100.0,))
    assert same_scan(at_same, figures(signature=(9_998.0,))) == "same"
    assert same_scan(at_probably, figures(signature=(99.0,))) == "probably"


def test_the_difference_is_the_greatest_as_a_share_of_the_longer():
    assert signature_difference(figures(signature=(10.0, 4.0)), figures(signature=(9.0, 5.0))) == pytest.approx(0.2)


def test_what_has_no_signature_or_another_kind_of_one_is_no_match():
    bare, short = figures(signature=()), figures(signature=LENGTHS[:3])
    for one, two in ((bare, bare), (bare, ONE), (ONE, short), (short, ONE)):
        assert signature_difference(one, two) is None
        assert same_scan(one, two) == "no"


def test_lengths_of_nothing_are_alike():
    assert same_scan(figures(signature=(0.0, 1.0)), figures(signature=(0.0, 1.0))) == "same"


lengths = st.lists(st.floats(0, 1e6), max_size=5)


@given(lengths, lengths)
def test_any_two_are_compared_alike_either_way(one, two):
    first, second = figures(signature=tuple(one)), figures(signature=tuple(two))
    assert same_scan(first, second) == same_scan(second, first)
