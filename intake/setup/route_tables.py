"""The tables of categories, with their boxes and routes, and of the benches that the routes go to."""

import re
from collections.abc import Mapping
from functools import partial
from typing import Any

from intake.domain.lab import Lab, Step
from intake.domain.route_words import bench_routes_words, read_bench_routes, read_route, route_words
from intake.setup.colours import PLAIN
from intake.setup.entry_ids import id_column, with_id
from intake.setup.entry_tables import Column, Table, Texts
from intake.setup.model_fields import ValueRefused
from intake.setup.renaming import rename_bench, rename_category
from intake.setup.taking_out import drop_benches, taking_out_bench, taking_out_category
from intake.setup.trying import Changeable
from intake.setup.typed import choice

LIGHTS = choice([("usual", "usual"), ("red", "red")])


def _box_named(setup: Changeable, row: int, value: str, lab: Lab) -> None:
    setup.put(("categories", row, "box", "colour"), value)
    known = {name.casefold(): colour for name, colour in PLAIN.items()}
    if value.casefold() in known:
        setup.put(("categories", row, "box", "hex"), known[value.casefold()])


def _read_box(text: str, lab: Lab, row: int | None) -> str:
    if not text:
        raise ValueRefused("Give the colour a name; it is printed beside it.")
    for at, category in enumerate(lab.categories):
        if at != row and category.box.colour.casefold() == text.casefold():
            raise ValueRefused(f"{text} is the box of {category.name}. Two boxes never share a name.")
    return text


def _read_hex(text: str, lab: Lab, row: int | None) -> str:
    known = {name.casefold(): colour for name, colour in PLAIN.items()}
    value = known.get(text.casefold(), text.lower())
    if not re.fullmatch("#[0-9a-f]{6}", value):
        raise ValueRefused("Write # and six digits or letters a to f, such as #1f6fb4, or a plain colour’s name.")
    return value


def _steps(route: tuple[Step, ...]) -> list[dict[str, Any]]:
    return [{"bench": step.bench, "days": step.days} for step in route]


def _route_changed(setup: Changeable, row: int, value: list[dict[str, Any]], lab: Lab) -> None:
    _put_routes(setup, {row: value}, lab)


def _put_routes(setup: Changeable, routes: Mapping[int, list[dict[str, Any]]], lab: Lab) -> None:
    """New routes for some categories; what was laid down of a bench goes when no route goes there any more."""
    for row, steps in routes.items():
        setup.put(("categories", row, "route"), steps)
    named = {step.bench for at, each in enumerate(lab.categories) if at not in routes for step in each.route}
    named |= {step["bench"] for steps in routes.values() for step in steps}
    drop_benches(setup, [name for name in lab.bench_by_name if name not in named])


def _first_free_box(lab: Lab) -> Texts:
    used = {category.box.colour.casefold() for category in lab.categories}
    values = {category.box.hex for category in lab.categories}
    free = ((name, value) for name, value in PLAIN.items() if name.casefold() not in used and value not in values)
    name, value = next(free, ("", ""))
    return {"box.colour": name, "box.hex": value}


CATEGORIES = Table(
    ("categories",),
    "Categories",
    "category",
    "The kinds of work: each has a box of its own colour and a route over the benches, by which its dates are counted.",
    (
        Column(("name",), "Category", "The kind of work, as tickets and lists call it.", 7.6, needed=True),
        Column(
            ("box", "colour"),
            "Box",
            "The name of its box’s colour, which is always printed; no two boxes share one. A plain name, such as "
            "Green, brings its value with it. The page Colours judges which boxes would be mistaken.",
            5.6,
            needed=True,
            change=_box_named,
            read=_read_box,
        ),
        Column(
            ("box", "hex"),
            "Value",
            "The colour as # and six digits or letters a to f, or the name of a plain colour.",
            6.4,
            needed=True,
            read=_read_hex,
            colour=True,
        ),
        Column(
            ("route",),
            "Route: benches and working days",
            "The benches in their order, each with its working days: Casting 1, Splints 3, Checking 1. A name that no "
            "route had before makes a new bench.",
            18,
            needed=True,
            change=_route_changed,
            show=lambda category, lab: route_words(category.route),
            read=lambda text, lab, row: _steps(read_route(text, lab.bench_by_name)),
            offer=True,
        ),
        id_column("categories", rename_category),
    ),
    goes=taking_out_category,
    begins=_first_free_box,
    adds=partial(with_id, "categories", "category"),
)

# Benches: those that the routes name.


_NEW = "\N{HORIZONTAL ELLIPSIS}"
"""Stands in routes for a bench that has no name yet."""


def _laid_down(setup: Changeable, name: str) -> int:
    """The row of what is laid down of a bench, made where nothing was."""
    entries = setup.get(("benches",)) or ()
    at = next((at for at, entry in enumerate(entries) if entry["name"] == name), None)
    if at is None:
        setup.add(("benches",), {"name": name})
        return len(entries)
    return at


def _bench_field(name: str, setup: Changeable, row: int, value: Any, lab: Lab) -> None:
    bench = list(lab.bench_by_name)[row]
    setup.put(("benches", _laid_down(setup, bench), name), value)


def _read_bench(text: str, lab: Lab, row: int | None) -> str:
    if not text or "," in text:
        raise ValueRefused("Give the bench a name, without a comma in it.")
    for at, name in enumerate(lab.bench_by_name):
        if at != row and name.casefold() == text.casefold():
            raise ValueRefused(f"There is a bench {name}.")
    return text


def _bench_renamed(setup: Changeable, row: int, value: str, lab: Lab) -> None:
    rename_bench(setup, list(lab.bench_by_name)[row], value)


def _read_routes_of(text: str, lab: Lab, row: int | None) -> dict[int, list[dict[str, Any]]]:
    bench = list(lab.bench_by_name)[row] if row is not None else _NEW
    at = {category.id: row for row, category in enumerate(lab.categories)}
    changed = read_bench_routes(text, bench, lab.categories)
    return {at[category]: _steps(route) for category, route in changed.items()}


def _routes_changed(setup: Changeable, row: int, value: Mapping[int, list[dict[str, Any]]], lab: Lab) -> None:
    _put_routes(setup, value, lab)


def _add_bench(setup: Changeable, values: Mapping[str, Any], lab: Lab) -> None:
    """A new bench: its steps, which were read before it had a name, and what is laid down of it."""
    name = values["name"]
    for row, steps in values["routes"].items():
        setup.put(
            ("categories", row, "route"), [step | {"bench": name} if step["bench"] == _NEW else step for step in steps]
        )
    laid_down = {key: value for key, value in values.items() if key != "routes"}
    setup.add(("benches",), laid_down)


BENCHES = Table(
    ("benches",),
    "Benches",
    "bench",
    "The benches that the routes go to. What a bench finishes in a day makes the picture of the load, on The day.",
    (
        Column(
            ("name",),
            "Bench",
            "Its name. Another name counts in every route.",
            8,
            needed=True,
            change=_bench_renamed,
            read=_read_bench,
        ),
        Column(
            ("capacity",),
            "Jobs a day",
            "The jobs that it finishes in a working day; empty where that is not counted.",
            5.9,
            change=partial(_bench_field, "capacity"),
        ),
        Column(
            ("pours",),
            "Pours",
            "Whether impressions are poured here: yes or no.",
            4,
            change=partial(_bench_field, "pours"),
        ),
        Column(
            ("light",),
            "Light",
            "The light that its boxes are seen by: red where resin must not set by daylight; the page Colours judges "
            "by it.",
            4,
            kind=LIGHTS,
            change=partial(_bench_field, "light"),
        ),
        Column(
            ("routes",),
            "On the routes of, with working days",
            "The categories whose route goes there, each with its working days: Splints 3, Sleep 4. In a route that it "
            "was not on it stands before the last bench; the table of categories says where exactly.",
            16,
            needed=True,
            change=_routes_changed,
            show=lambda bench, lab: bench_routes_words(bench.name, lab.categories),
            read=_read_routes_of,
        ),
    ),
    entries=lambda lab: tuple(lab.bench_by_name.values()),
    key="name",
    goes=taking_out_bench,
    adds=_add_bench,
    can_move=False,
)
