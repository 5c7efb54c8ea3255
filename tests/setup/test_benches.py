"""What a setup says of benches, hand-over and boxes, and what of it cannot be."""

from pathlib import Path

import pytest

from intake.domain.bench_rules import Bench, BoxNumbers
from intake.resources import demo, resource
from intake.setup.reading import SetupWrong, contradictions, read_setup, setup_of

DEFAULT = resource("setup", "default.toml").read_text(encoding="utf-8")


def wrong(*changes):
    text = DEFAULT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    with pytest.raises(SetupWrong) as refused:
        setup_of(text, Path("setup.toml"))
    return str(refused.value)


def test_every_bench_of_the_routes_has_its_entry_and_impressions_are_poured_at_casting():
    for lab in (read_setup(resource("setup", "default.toml")), read_setup(demo("lab.toml"))):
        of_routes = {step.bench for category in lab.categories for step in category.route}
        assert {bench.name for bench in lab.benches} == of_routes
        assert [bench.name for bench in lab.benches if bench.pours] == ["Casting"]


def test_the_shipped_setup_counts_no_load_and_numbers_no_boxes_but_the_demos_lab_does():
    default, lab = read_setup(resource("setup", "default.toml")), read_setup(demo("lab.toml"))
    assert ({bench.capacity for bench in default.benches}, default.boxes) == ({None}, None)
    assert all(bench.capacity for bench in lab.benches)
    assert lab.boxes == BoxNumbers(first=1, last=400)


def test_without_a_word_about_it_a_box_goes_as_early_as_it_likes_but_disinfected():
    rules = read_setup(resource("setup", "default.toml")).hand_over
    assert (rules.ahead_days, rules.disinfected) == (None, True)


def test_a_bench_that_no_route_names_is_a_slip():
    said = wrong(('[[benches]]\nname = "Wire"', '[[benches]]\nname = "Wires"'))
    assert "bench “Wires”: no route goes there; the routes name Casting, Splints" in said


def test_a_bench_that_stands_twice_is_a_slip():
    assert "benches: “Wire” stands twice" in wrong(('[[benches]]\nname = "Acrylic"', '[[benches]]\nname = "Wire"'))


def test_a_bench_that_is_written_in_two_ways_is_a_slip():
    said = wrong(
        (
            'route = [{ bench = "Repairs", days = 1 }, { bench = "Checking"',
            'route = [{ bench = "Repairs" }, { bench = "checking"',
        )
    )
    assert "“checking” is written with other capitals too" in said


def test_boxes_that_end_before_they_begin_are_a_slip():
    lab = read_setup(demo("lab.toml")).model_copy(update={"boxes": BoxNumbers(first=40, last=4)})
    assert list(contradictions(lab)) == ["boxes: the first, 40, is more than the last, 4"]


def test_a_bench_that_only_routes_name_has_the_usual():
    lab = read_setup(resource("setup", "default.toml")).model_copy(update={"benches": ()})
    assert lab.bench_by_name["Checking"] == Bench(name="Checking")
    assert list(contradictions(lab)) == []
