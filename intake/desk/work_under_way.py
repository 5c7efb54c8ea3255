"""The work under way that a changed setup would have no place for."""

from collections.abc import Iterator

from intake.domain.lab import Lab
from intake.store.opening import Store


def not_possible(store: Store, in_force: Lab, lab: Lab) -> tuple[str, ...]:
    """The work under way that a setup has no place for, a sentence each with how much there is."""
    return tuple(_orphans(store, in_force, lab))


def _orphans(store: Store, in_force: Lab, lab: Lab) -> Iterator[str]:
    read = store.read
    if set(in_force.category_by_id) - set(lab.category_by_id):
        for category, (name, count) in sorted(read.open_jobs_by_category().items()):
            if category not in lab.category_by_id:
                lie = "open job lies in its box" if count == 1 else "open jobs lie in its boxes"
                yield f"Category {name} ({category}) is gone, and {count} {lie}. Keep it until they are finished."
    if set(in_force.bench_by_name) - set(lab.bench_by_name):
        for bench, count in sorted(read.boxes_at_benches().items()):
            if bench not in lab.bench_by_name:
                stand = "box stands there" if count == 1 else "boxes stand there"
                yield f"Bench {bench} is gone, and {count} {stand}. Keep its name until they have moved on."
    if set(in_force.type_by_id) - set(lab.type_by_id):
        for kind, count in sorted(read.open_appliances().items()):
            if kind not in lab.type_by_id and kind in in_force.type_by_id:
                ask = "open case asks for one" if count == 1 else "open cases ask for one"
                name = in_force.type_by_id[kind].name
                yield f"Appliance type {name} ({kind}) is gone, and {count} {ask}. Keep it until they are finished."
