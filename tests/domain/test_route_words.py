"""Routes as they are typed: benches with their working days."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.lab import Box, Category, Step
from intake.domain.route_words import RouteUnclear, bench_routes_words, read_bench_routes, read_route, route_words

NAMES = st.text(st.characters(codec="utf-8", categories=("L", "N", "Zs", "P")), min_size=1, max_size=12).filter(
    lambda name: name == " ".join(name.split()) and "," not in name and not name.isdecimal()
)
ROUTES = st.lists(st.builds(Step, bench=NAMES, days=st.integers(1, 365)), min_size=1, max_size=6)


def category(name, *steps):
    route = tuple(Step(bench=bench, days=days) for bench, days in steps)
    return Category(id=name.casefold(), name=name, box=Box(colour=name, hex="#123456"), route=route)


SPLINTS = category("Splints", ("Casting", 1), ("Splints", 3), ("Checking", 1))
MODELS = category("Models", ("Casting", 1))


@given(ROUTES)
def test_a_route_that_is_shown_reads_back_the_same(route):
    benches = dict.fromkeys(step.bench for step in route)
    if len({name.casefold() for name in benches}) == len(benches):
        assert list(read_route(route_words(route), benches)) == route


def test_a_bench_is_known_in_any_capitals_and_without_days_it_has_one():
    assert route_words(read_route("casting, Milling 2 days", ["Casting"])) == "Casting 1, Milling 2"
    assert route_words(read_route("Oven 2", ["Oven 2"])) == "Oven 2 1", "a bench whose name ends in a number"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (" , ", "A route needs a bench"),
        ("Casting, 3", "“3” has no name before it"),
        ("Casting 0", "working days from 1 to 365"),
        ("Casting 1+2", "write a bench that comes twice where it comes"),
    ],
)
def test_what_is_no_route_is_refused_with_what_would_be(typed, says):
    with pytest.raises(RouteUnclear, match=says.replace("+", r"\+")):
        read_route(typed, ["Casting"])


def test_a_bench_comes_into_a_route_before_its_last_and_goes_where_it_is_no_longer_named():
    changed = read_bench_routes("Splints 2", "Casting", (SPLINTS, category("Plates", ("Casting", 1), ("Acrylic", 1))))
    assert {name: route_words(route) for name, route in changed.items()} == {
        "splints": "Casting 2, Splints 3, Checking 1",
        "plates": "Acrylic 1",
    }
    changed = read_bench_routes("splints", "Printing", (SPLINTS, MODELS))
    assert route_words(changed["splints"]) == "Casting 1, Splints 3, Printing 1, Checking 1"


def test_a_bench_that_comes_twice_in_a_route_keeps_its_places():
    twice = category("Plates", ("Acrylic", 1), ("Setting up", 2), ("Acrylic", 3))
    assert bench_routes_words("Acrylic", (SPLINTS, twice)) == "Plates 1+3"
    assert route_words(read_bench_routes("Plates 2+2", "Acrylic", (twice,))["plates"]) == (
        "Acrylic 2, Setting up 2, Acrylic 2"
    )
    assert read_bench_routes("Plates 1+3", "Acrylic", (twice,)) == {}
    with pytest.raises(RouteUnclear, match="comes 2 times"):
        read_bench_routes("Plates 4", "Acrylic", (twice,))


@pytest.mark.parametrize(
    ("typed", "bench", "says"),
    [
        ("Crowns 2", "Casting", "There is no category “Crowns”"),
        ("Splints 1", "Casting", "It is the only bench of Models"),
        ("Splints 1, Splints 2", "Checking", "Splints stands twice"),
        ("", "Checking", "say on whose"),
    ],
)
def test_routes_that_cannot_be_are_refused_with_the_reason(typed, bench, says):
    with pytest.raises(RouteUnclear, match=says):
        read_bench_routes(typed, bench, (SPLINTS, MODELS))
