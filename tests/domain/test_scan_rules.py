"""The lab’s own figures for scans: what contradicts itself is refused."""

import pytest

from intake.domain.scan_rules import ScanRules


@pytest.mark.parametrize(
    ("figures_of_the_lab", "said"),
    [
        ({"across_mm": 42}, "across_mm, 42, is more than across_usual_mm, 41"),
        ({"arch_least_mm": 100}, "arch_least_mm, 100, is more than arch_most_mm, 95"),
        ({"part_least_mm": 50}, "part_least_mm, 50, is more than arch_least_mm, 45"),
        ({"doubtful_share": 0.4}, "doubtful_share, 0.4, is more than through_share, 0.35"),
    ],
)
def test_figures_of_the_lab_that_contradict_each_other_are_refused(figures_of_the_lab, said):
    with pytest.raises(ValueError, match=said):
        ScanRules(**figures_of_the_lab)


@pytest.mark.parametrize("share", ["largest_share", "flipped_share", "non_manifold_share", "bite_share"])
def test_a_share_is_no_percentage(share):
    with pytest.raises(ValueError, match="less than or equal to 1"):
        ScanRules(**{share: 98})
