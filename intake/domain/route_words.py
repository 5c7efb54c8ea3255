"""A route as it is typed and shown: `Casting 1, Splints 3, Checking 1`, the benches in order with working days."""

import re
from collections.abc import Iterable, Sequence

from intake.domain.lab import Category, Step
from intake.errors import IntakeError

EXAMPLE = "Casting 1, Splints 3, Checking 1"


class RouteUnclear(IntakeError):
    """What was typed is no route; the message says what would be right."""


def route_words(route: Sequence[Step]) -> str:
    """A route in words that `read_route` reads back."""
    return ", ".join(f"{step.bench} {step.days}" for step in route)


def read_route(text: str, benches: Iterable[str]) -> tuple[Step, ...]:
    """The benches and their working days, one day where none is said.

    A name that differs from one of `benches` in capitals alone is that bench; any other is a new one. Raises
    RouteUnclear.
    """
    known = {name.casefold(): name for name in benches}
    parts = _parts(text)
    if not parts:
        raise RouteUnclear(f"A route needs a bench at the least; write it as {EXAMPLE}.")
    return tuple(_step(part, known) for part in parts)


def bench_routes_words(bench: str, categories: Sequence[Category]) -> str:
    """In whose routes a bench stands, with its days there: `Splints 3, Sleep 1+2` where it stands twice."""
    told = []
    for category in categories:
        days = [str(step.days) for step in category.route if step.bench == bench]
        if days:
            told.append(f"{category.name} {'+'.join(days)}")
    return ", ".join(told)


def read_bench_routes(text: str, bench: str, categories: Sequence[Category]) -> dict[str, tuple[Step, ...]]:
    """The routes that change, by category id, when a bench is to stand in those that the text names, and in no other.

    A bench that comes new into a route stands before its last, which is nearly always the one that checks. Raises
    RouteUnclear.
    """
    named = {category.name.casefold(): category for category in categories}
    wanted: dict[str, list[int]] = {}
    for part in _parts(text):
        name, days = _name_and_days(part, named)
        category = named.get(name.casefold())
        if category is None:
            raise RouteUnclear(f"There is no category “{name}”; write it as {categories[0].name} 1.")
        if category.id in wanted:
            raise RouteUnclear(f"{category.name} stands twice; write a bench that comes twice as {category.name} 1+2.")
        wanted[category.id] = days
    if not wanted:
        raise RouteUnclear(f"A bench stands on a route; say on whose, such as {categories[0].name} 1.")
    changed = {each.id: _with_bench(each, bench, wanted.get(each.id, [])) for each in categories}
    return {each.id: changed[each.id] for each in categories if changed[each.id] != each.route}


def _with_bench(category: Category, bench: str, days: list[int]) -> tuple[Step, ...]:
    """The category's route with a bench of these days, once for each of them."""
    stands = [step for step in category.route if step.bench == bench]
    if len(stands) > 1 and days and len(days) != len(stands):
        raise RouteUnclear(f"It comes {len(stands)} times in the route of {category.name}; change that route itself.")
    others = tuple(step for step in category.route if step.bench != bench)
    if not days:
        if not others:
            raise RouteUnclear(f"It is the only bench of {category.name}; give {category.name} another one first.")
        return others
    if not stands:
        new = tuple(Step(bench=bench, days=each) for each in days)
        return (*category.route[:-1], *new, *category.route[-1:])
    left = iter(days)
    return tuple(Step(bench=bench, days=next(left)) if step.bench == bench else step for step in category.route)


def _step(part: str, known: dict[str, str]) -> Step:
    name, days = _name_and_days(part, known)
    if len(days) > 1:
        raise RouteUnclear(
            f"“{part}” is unclear; write a bench that comes twice where it comes, each time with its days."
        )
    return Step(bench=known.get(name.casefold(), name), days=days[0])


def _name_and_days(part: str, known: Iterable[str]) -> tuple[str, list[int]]:
    """A name and the days behind it; the whole of it where that is a name which ends in a number."""
    match = re.fullmatch(r"(.+?)\s+(\d+(?:\+\d+)*)(?:\s*d(?:ays?)?)?", part)
    if match is None or part.casefold() in known:
        if part.isdecimal():
            raise RouteUnclear(f"“{part}” has no name before it; write it as {EXAMPLE}.")
        return part, [1]
    days = [int(each) for each in match[2].split("+")]
    if not all(1 <= each <= 365 for each in days):
        raise RouteUnclear(f"{match[1]}: working days from 1 to 365 can be given.")
    return match[1], days


def _parts(text: str) -> list[str]:
    return [" ".join(part.split()) for part in re.split(r"[,\n]", text) if part.strip()]
