"""What becomes of the rest of the setup when an entry is taken out: what keeps it, or what goes with it."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from intake.domain.lab import Category, Lab
from intake.domain.wording import listed
from intake.setup.editing import Place
from intake.setup.trying import Change, Changeable

NAMED = 4
"""So many uses are named; of more their number is told."""


@dataclass(frozen=True)
class TakingOut:
    """An entry that is to be taken out.

    Attributes:
        change: What takes it out.
        refused: Why it cannot be, in a sentence; empty where it can.
        also: What else that does, in a sentence; empty where nothing.
    """

    change: Change
    refused: str = ""
    also: str = ""


def taking_out(place: Place) -> TakingOut:
    """An entry that nothing else names."""
    return TakingOut(lambda setup: setup.take_out(place))


def taking_out_category(lab: Lab, at: int) -> TakingOut:
    """A category goes once no appliance type goes into its box; benches of its route alone go with it."""
    category = lab.categories[at]
    types = [kind.name for kind in lab.types if kind.category == category.id]
    gone = _benches_of_none([each for each in lab.categories if each is not category], lab)

    def change(setup: Changeable) -> None:
        setup.take_out(("categories", at))
        drop_benches(setup, gone)

    refused = f"{category.name} is the box of {_named(types)}. Give them another category first." if types else ""
    also = f"No other route goes to {listed(gone)}." if gone else ""
    return TakingOut(change, refused, also)


def taking_out_bench(lab: Lab, at: int) -> TakingOut:
    """A bench goes with its steps; the only bench of a route stays."""
    name = list(lab.bench_by_name)[at]
    on = [category for category in lab.categories if any(step.bench == name for step in category.route)]
    only = [category.name for category in on if all(step.bench == name for step in category.route)]

    def change(setup: Changeable) -> None:
        for where, category in enumerate(lab.categories):
            for step in reversed(range(len(category.route))):
                if category.route[step].bench == name:
                    setup.take_out(("categories", where, "route", step))
        drop_benches(setup, [name])

    if only:
        return TakingOut(change, f"{name} is the only bench of {_named(only)}. Give that route another bench first.")
    return TakingOut(
        change, also=f"It leaves the {'route' if len(on) == 1 else 'routes'} of {_named([c.name for c in on])}."
    )


def taking_out_type(lab: Lab, at: int) -> TakingOut:
    """An appliance type goes out of the rules that name it; a rule that is about it alone goes with it."""
    kind = lab.types[at]
    naming = [rule for rule in lab.rules if not isinstance(rule.types, str) and kind.id in rule.types]
    alone = [rule.id for rule in naming if set(rule.types) == {kind.id}]
    left = {rule.id for rule in lab.rules if not (rule in naming and set(rule.types) == {kind.id})}

    def change(setup: Changeable) -> None:
        for where in reversed(range(len(lab.rules))):
            rule = lab.rules[where]
            if rule not in naming:
                continue
            if set(rule.types) == {kind.id}:
                setup.take_out(("rules", where))
            else:
                setup.take_out(("rules", where, "types", rule.types.index(kind.id)))
        for requirement in lab.letter.answers:
            if requirement not in left:
                setup.take_out(("letter", "answers", requirement))
        setup.take_out(("types", at))

    return TakingOut(change, also=_rules_too(len(naming) - len(alone), alone))


def drop_benches(setup: Changeable, names: Collection[str]) -> None:
    """What is laid down of benches that no route goes to any more."""
    entries = setup.get(("benches",)) or ()
    for at in reversed(range(len(entries))):
        if entries[at]["name"] in names:
            setup.take_out(("benches", at))


def _benches_of_none(categories: Iterable[Category], lab: Lab) -> list[str]:
    """The benches that none of these categories' routes goes to."""
    named = {step.bench for category in categories for step in category.route}
    return [name for name in lab.bench_by_name if name not in named]


def _rules_too(others: int, alone: list[str]) -> str:
    told = []
    if others:
        told.append("One rule goes on without it." if others == 1 else f"{others} rules go on without it.")
    if alone:
        are = "is about it alone and goes" if len(alone) == 1 else "are about it alone and go"
        told.append(
            f"The {'rule' if len(alone) == 1 else 'rules'} {_named([f'“{each}”' for each in alone])} {are} with it."
        )
    return " ".join(told)


def _named(names: list[str]) -> str:
    if len(names) <= NAMED:
        return listed(names)
    return f"{', '.join(names[: NAMED - 1])} and {len(names) - NAMED + 1} others"
